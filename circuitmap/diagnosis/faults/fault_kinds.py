"""What can be wrong, and how often: all of it judgement, kept here and nowhere else.

Odds against "nothing is wrong with the draw" (odds 1). They add up to about .15, so that two faults at once stay near
seven in a hundred. The share of a kind is split among its candidates on the platform.
"""

from typing import Literal, NamedTuple

Kind = Literal[
    "added", "keeps-awake", "wrong-input", "by-itself", "lamp", "contact", "coil", "chafed", "unfused", "none-of-these"
]


class FaultKind(NamedTuple):
    kind: Kind
    share: float
    meaning: str


FAULT_KINDS: tuple[FaultKind, ...] = (
    FaultKind("added", 0.030, "something added, or on no sheet"),
    FaultKind("keeps-awake", 0.025, "a module keeps its network awake"),
    FaultKind("wrong-input", 0.025, "a module believes a wrong input"),
    FaultKind("by-itself", 0.013, "a part takes current by itself"),
    FaultKind("lamp", 0.013, "a lamp and its switch"),
    FaultKind("contact", 0.012, "a contact is stuck closed"),
    FaultKind("coil", 0.007, "a coil is still driven"),
    FaultKind("chafed", 0.011, "wiring chafed between two points"),
    FaultKind("unfused", 0.009, "unfused: alternator or starter"),
    FaultKind("none-of-these", 0.005, "none of these"),
)
SHARE: dict[Kind, float] = {kind.kind: kind.share for kind in FAULT_KINDS}
ODDS_OF_NOTHING = 1.0

OPTION_NOT_SAID = 0.5
"""Odds of what only exists with equipment that nobody said is fitted."""
FEEDS_KNOWN_DEAD = 0.02
"""A member of a network whose feeds are all known to be dead when parked hardly keeps it awake."""

# Weight among the candidates of "added": a part named on the card, an open end, a battery post, the tap between two
# batteries (12 V equipment on a 24 V vehicle), any other fuse.
ADDED_NAMED, ADDED_OPEN_END, ADDED_POST, ADDED_TAP, ADDED_FUSE = 8.0, 2.0, 1.3, 12.0, 1.0
UNFUSED_BEHIND_A_CONTACT = 0.2
"""Weight of a starter behind its open solenoid among "unfused", against an alternator whose diodes are always at the
battery."""
# Weight among "chafed": the wires behind a fuse that is live when parked, a ground side, a network line.
CHAFED_FUSE, CHAFED_GROUND_SIDE, CHAFED_LINE = 1.0, 1.0, 1.0


class ReplyChances(NamedTuple):
    """Chance of a reply in a key-on scan: healthy; leaking or keeping awake; unfed; feed not known."""

    healthy: float
    faulty: float
    unfed: float
    unknown_feed: float


SILENT = ReplyChances(0.02, 0.10, 0.98, 0.30)
UNSTEADY = ReplyChances(0.01, 0.10, 0.20, 0.30)

LINE_AWAKE_SEEN = 0.97
"""Chance of hearing a network busy, or finding its line up, when it is awake."""
LINE_ASLEEP_SEEN_AWAKE = 0.03

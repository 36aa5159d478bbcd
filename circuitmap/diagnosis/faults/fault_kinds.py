"""What can be wrong, one record for each kind: how often it happens and what shows it. All of it is judgement, kept
here and nowhere else.

Odds against "nothing is wrong with the draw" (odds 1). They add up to about .15, so that two faults at once stay near
seven in a hundred. The share of a kind is split among its candidates on the platform, which the `candidates_*` files
find, but among the usual number of them at the least; its words are in `reports/suspects/fault_kind_words.py`.
"""

from typing import Literal, NamedTuple, assert_never, get_args

Kind = Literal[
    "added", "keeps-awake", "wrong-input", "by-itself", "lamp", "contact", "coil", "chafed", "unfused", "extra-fuse",
    "none-of-these",
]  # fmt: skip

Trait = Literal["scan", "inputs", "coil-volts", "contact-volts", "own-cable", "network-pins", "its-place"]
"""How a kind shows itself, or can be got at.

`scan`: its module may be silent or unsteady in a scan, or missed by others' codes; `inputs`: the live data show it;
`coil-volts`, `contact-volts`: the volts of the relay in `contact`, or of the relay that it is, show it; `own-cable`: no
fuse protects it, a clamp goes round its cable; `network-pins`: it ends once the plug with its module's network pins is
out; `its-place`: it is not a part, but is looked for where its current is taken from.
"""


class FaultKind(NamedTuple):
    """`share`: its odds on any vehicle, at the most. `seen_by_looking`: how often a look, without any tool, finds it.
    `usual`: so many candidates of it has a vehicle that is typed in well; where fewer are typed in, the others are
    there all the same, and each candidate keeps its own odds (judgement, from the sample vehicles)."""

    kind: Kind
    share: float
    usual: float
    seen_by_looking: float
    traits: frozenset[Trait]


def _kind(kind: Kind, share: float, usual: float, seen_by_looking: float, *traits: Trait) -> FaultKind:
    return FaultKind(kind, share, usual, seen_by_looking, frozenset(traits))


def _record(kind: Kind) -> FaultKind:
    match kind:
        case "added":
            return _kind(kind, 0.029, 12.0, 0.30, "its-place")
        case "keeps-awake":
            return _kind(kind, 0.025, 6.0, 0.02, "scan", "network-pins")
        case "wrong-input":
            return _kind(kind, 0.025, 6.0, 0.10, "inputs", "network-pins")
        case "by-itself":
            return _kind(kind, 0.013, 8.0, 0.10, "scan")
        case "lamp":
            return _kind(kind, 0.013, 10.0, 0.75)
        case "contact":
            return _kind(kind, 0.012, 6.0, 0.20, "contact-volts")
        case "coil":
            return _kind(kind, 0.007, 4.0, 0.15, "coil-volts")
        case "chafed":
            return _kind(kind, 0.011, 12.0, 0.15, "its-place")
        case "unfused":
            return _kind(kind, 0.009, 1.0, 0.10, "own-cable")
        case "extra-fuse":
            return _kind(kind, 0.001, 2.0, 0.05)
        case "none-of-these":
            return _kind(kind, 0.005, 1.0, 0.02, "its-place")
        case _:
            assert_never(kind)


FAULT_KINDS: dict[Kind, FaultKind] = {kind: _record(kind) for kind in get_args(Kind)}
ODDS_OF_NOTHING = 1.0

OPTION_NOT_SAID = 0.5
"""Odds of what only exists with equipment that nobody said is fitted."""
TURNED_ON_TOO = 0.7
"""Chance that an input is wrong by its contact, which then also turns on what else hangs on it, and not by its wire or
in the module (judgement)."""
FED_FROM_UNKNOWN = 0.5
"""How often what feeds a contact, and is on no sheet, is live while parked (judgement)."""
FEEDS_KNOWN_DEAD = 0.02
"""A member whose feeds are all known to be dead when parked hardly keeps its network awake."""

# Weight among the candidates of "added": a part named on the card, an open end, a battery post, the tap between two
# batteries (12 V equipment on a 24 V vehicle), any other fuse.
ADDED_NAMED, ADDED_OPEN_END, ADDED_POST, ADDED_TAP, ADDED_FUSE = 16.0, 2.0, 1.3, 12.0, 1.0
ADDED_AT_THE_FUSE = 0.7
"""How often what somebody added behind a fuse is tapped right at it, or in its box, and not on the way to what it feeds
(judgement)."""
PLUGGED_IN = 4.0
"""How many times likelier a socket is than another part "by-itself": whatever is plugged in there is meant to take
current, and is what is forgotten (judgement)."""
SWITCHES_ITSELF, RUNS_BY_ITSELF = 4.0, 0.9
"""How many times likelier a load that is fed while parked and switches itself, by a thermostat inside, is than another
part "by-itself": it is made to run then; and how often it takes just what it takes running (judgement)."""
HALF_AWAKE = 0.2
"""How often a module "by-itself" hangs between asleep and awake, where it takes much awake (judgement)."""
FUSE_SEEN_THERE = 50.0
"""How many times likelier a fuse where none belongs is once somebody read a current over it, or had it out: that it is
there is known then, only not whether it matters (judgement)."""
LEFT_SET = 4.0
"""How many times likelier a latching relay is than another "contact": it stays as it was left, without anything stuck
(judgement)."""
ON_ALL_PINS = 0.5
"""Chance that what a part with several supply pins takes by itself is shared among them, rather than taken at one of
them (judgement)."""
STARTER_LEAKS = 0.5
"""How often current leaks at a starter, beside an alternator's rectifier (judgement)."""
UNFUSED_BEHIND_A_CONTACT = 0.05
"""Weight of a starter behind its open solenoid among "unfused", against an alternator whose diodes are always at the
battery."""
# Weight among "chafed": the wires behind a fuse that is live when parked, a ground side, a network line, the wire at a
# wake pin: plus has to be beside it.
CHAFED_FUSE, CHAFED_GROUND_SIDE, CHAFED_LINE, CHAFED_WAKE_WIRE = 1.0, 1.0, 1.0, 0.5
CHAFED_UNFUSED = 0.5
"""The same of all wires between a battery and the first fuse: few, thick, and in a sleeve; and rubbed through to metal
it burns rather than leaks (judgement)."""
CHAFED_OPEN_FEED = 0.5
"""The same of the wire that feeds something from where nobody typed in: as often as not it comes from a fuse that is
typed in, and counts there already (judgement)."""
BESIDE_A_CONTACT = 0.25
"""The same where a relay's contact feeds that wire: its contact does by sticking all that plus on the wire does, and is
made to carry plus to it (judgement)."""
WAKES_FOR_A_TIME = 0.1
"""An input that keeps its module awake for some minutes only, by the sheet, has to come anew again and again to hold it
awake: a contact that bounces (judgement)."""
WAKES_NOTHING = 0.01
"""An input that a module only reads, where the sheet names the pins that wake it: it would have to wake by a pin that
the sheet does not name (judgement)."""
ON_NO_WHOLE_SHEET = 0.05
"""How much of its odds an input keeps that nobody drew, of a module all of whose sheets were typed in as whole: there
it would have been seen (judgement; some sheets leave out what another volume shows)."""
AT_WORK = 0.5
"""Chance that a module of which it is typed in what it takes at work is at work where it does not let its network sleep
(judgement)."""
DEAD = 0.05
"""Chance that one of several things that are turned on together does not work: a burnt bulb, an open wire or ground, a
burnt contact behind a coil that is held (judgement)."""
HANGS, TURNS_ON = 0.05, 0.01
"""Chance that a module that keeps its network awake hangs as a whole: outputs of it do not turn off either; and that
it turns outputs on for an input that is wrong, which no sheet says (judgement)."""
LETS_SOME, LETS_SOME_AS_ASKED = 0.15, 0.5
"""Chance that an output which should be off lets a part of its load's current through, and not all of it: a transistor
that is on or off fails shorted more often than not; one that gives as much as is asked for works half open, and gets
hot by it (judgement)."""
FED_DEAD = 0.05
"""How much of its odds an input keeps whose switch is fed by what is dead while parked: besides the switch its feed
would have to be wrong, and that all else on it is not on speaks against it (judgement)."""
DRIVES_ITS_LINE = 0.8
"""Chance that a module which takes a wrong input for true wakes others for it by its own wake line: that is what such a
line is for, but it may be for another input (judgement)."""
DRIVES_IT_BY_ITSELF, DRIVES_IT_ANYWAY = 0.3, 0.05
"""The same of a module that never sleeps by a fault of its own, and of one that others keep awake (judgement)."""
ONE_NETWORK = 0.5
"""Chance that a gateway which one of its wake pins wakes wakes only one of its networks with it: what lets messages
through need not wake, and hardly a sheet says (judgement)."""


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

HELD_DOWN_BY_LINE, HELD_DOWN_BY_MEMBER, HELD_DOWN_ELSE = 0.80, 0.30, 0.02
"""Chance of finding a line held down when it is chafed, when one of its members keeps it awake, and otherwise: it has
no supply (judgement)."""

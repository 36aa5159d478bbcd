"""A planned test: what it may show, written down before it is done."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action

LEAST_TOLD = 0.05
"""An outcome less likely than this is not told: it would more likely than not be a slip."""
WORTH_NAMING = 0.35
"""A part less likely than this after an outcome is not named: it would not be the one to go to (judgement)."""
SURER = 0.15
"""A part is clearly surer after one outcome than after another if its probability rises by this much (judgement)."""
NEAR_CHANCE = 0.1
"""Probabilities closer than this make no difference to what is done next (judgement)."""
DECIDES_CHANCE = 0.85
"""A test decides something if a part has this probability after one of its outcomes (judgement)."""
HELPS = 0.6
"""Beside a deciding test, one that makes no part surer than this is not worth its minutes (judgement)."""
ALL_BUT_SURE = 0.85
"""A test that leaves all open is not worth its minutes once one outcome has this probability (judgement)."""

NAMES_THE_PART = ("found", "a wrong input")
"""Outcomes that show the very part, whichever it is."""

IN_PASSING, ABOUT_AS_MUCH = 0.4, 0.5
"""A step that takes no more than this share of the hands' minutes of another, and tells this share of its bits or as
many by the minute, is done before it (judgement)."""
NEARLY_AS_WORTH = 0.9
"""A clamp or a fuse read that parts what is left, in fewer minutes of hands than a wire is followed, is done before it
where it tells ABOUT_AS_MUCH, or this share by the minute: it finds something whatever is so, and touches nothing
(judgement)."""

LEADS_ELSEWHERE = 0.1
"""Outcomes less likely than this together send nobody elsewhere (judgement)."""
HALF_AS_WORTH, MUCH_MORE = 0.5, 2.0
"""The post and its cables, or a row, come before what names nobody from this share of its bits by the minute on; what
wakes the vehicle comes before a reading only from the second on (judgement)."""


class OutcomeBranch(NamedTuple):
    """One outcome: its probability, and the part it would point to with that part's probability then; likewise what the
    case would be about, and the second part (where two faults are there, both are counted)."""

    outcome: str
    probability: float
    part: str
    then: float
    about: str = ""
    about_then: float = 0.0
    beside: str = ""
    beside_then: float = 0.0


class PlannedTest(NamedTuple):
    """`bits` about the part to mend; `branches` are what is expected, written down before it is done. `found` is the
    current in A that was read behind the place that it reads; `ends` are the A beyond that below which a reading counts
    as nothing, and from which on it counts as most. `look_for` are the faults that a look, or the live data, is
    likeliest to show; `wire` is the control wire at fault that some outcome points to. `or_volts_at` are pins at which
    volts to ground say, with nothing woken, what the live data would. `of_two`: what is left are two faults at once.
    `in_use_shows` is what the pin at which volts are read shows while what its module watches is in use."""

    action: Action
    bits: float
    branches: tuple[OutcomeBranch, ...]
    found: float = 0.0
    ends: tuple[float, float] = (0.0, 0.0)
    look_for: tuple[Fault, ...] = ()
    wire: Fault | None = None
    or_volts_at: tuple[str, ...] = ()
    of_two: bool = False
    in_use_shows: str = ""

    @property
    def worth(self) -> float:
        """Bits per minute."""
        return self.bits / self.action.minutes


def points_to(branch: OutcomeBranch) -> tuple[str, float]:
    """The part that an outcome points to, or else what the case would be about, with its probability then; empty where
    neither is likely enough to be named."""
    if branch.then >= WORTH_NAMING:
        return branch.part, branch.then
    return (branch.about, branch.about_then) if branch.about_then >= WORTH_NAMING else ("", 0.0)


def tells_parts_apart(test: PlannedTest) -> bool:
    """Whether its outcomes would send somebody to different parts, or make one part clearly surer."""
    told = [branch for branch in test.branches if branch.probability >= LEAST_TOLD]
    if len(told) < 2:
        return False
    named = [branch for branch in told if branch.outcome in NAMES_THE_PART]
    if named and not (named[0].outcome == "a wrong input" and _leave_the_same(test, told)):
        return True
    if test.of_two and _second_is_told_apart(told):
        return True
    names, shares = zip(*map(points_to, told), strict=True)
    firsts = {branch.part for branch in told} if any(names) else set()
    if not any(names):
        return max(branch.probability for branch in told) < ALL_BUT_SURE
    return len(set(names)) > 1 or max(shares) - min(shares) >= SURER or len(firsts) > 1


def leads_on(test: PlannedTest) -> bool:
    """Whether its outcomes send somebody to different places, or to one and on; not where each of them leaves the same
    in the lead, or nothing."""
    if any(b.outcome in NAMES_THE_PART and b.probability >= LEAST_TOLD for b in test.branches):
        return True
    likeliest = max(test.branches, key=lambda b: round(b.probability, 9), default=None)
    stays = _named(test, likeliest) if likeliest is not None else set()
    elsewhere = (b.probability for b in test.branches if _named(test, b) - stays)
    return sum(elsewhere) >= LEADS_ELSEWHERE


def _named(test: PlannedTest, branch: OutcomeBranch) -> set[str]:
    """What an outcome points to; of two faults at once both."""
    second = branch.beside if test.of_two and branch.beside_then >= WORTH_NAMING else ""
    return {points_to(branch)[0], second} - {""}


def leads_on_instead(test: PlannedTest, first: PlannedTest) -> bool:
    """Whether a step leads on in the place of one that takes something out and leaves the same in the lead; or of one
    that names nobody, and halves what is left while nothing leads: then only what is clamped at the post, or read in a
    row, and tells as much in all."""
    if not leads_on(test):
        return False
    if not _names_somebody(first):
        return test.action.doing in ("at-the-post", "read-box") and test.bits >= first.bits
    return first.action.takes_out


def _names_somebody(test: PlannedTest) -> bool:
    return any(_named(test, b) for b in test.branches if b.probability >= LEAST_TOLD)


def leads_on_first(choices: list[PlannedTest], total: str) -> list[PlannedTest]:
    """A step after which the same would lead as before, or nothing, is not the first where another one leads on, and
    tells more by the minute, or wakes the vehicle and tells much more. But what flows in all, at `total`, is read
    first, and nothing is taken out before something is read."""
    first = choices[0] if choices else None
    if first is None or leads_on(first) or first.action.parts == (total,):
        return choices
    halves = not _names_somebody(first)
    gentle = [its for its in choices[1:] if leads_on(its) and not its.action.takes_out]
    gentle = [its for its in gentle if leads_on_instead(its, first)] if halves else gentle
    better = [its for its in gentle if its.worth >= _least(its, first) * first.worth]
    if not better:
        return choices
    best = max(better, key=lambda its: round(its.worth, 9))
    return [best, *(its for its in choices if its is not best)]


def _least(its: PlannedTest, first: PlannedTest) -> float:
    """The share of the first step's bits by the minute that another one has to tell to come before it."""
    if its.action.is_invasive:
        return MUCH_MORE
    return 1.0 if _names_somebody(first) else HALF_AS_WORTH


def _leave_the_same(test: PlannedTest, told: Sequence[OutcomeBranch]) -> bool:
    """Whether one part is all but sure whatever is seen: which of its faults it is, its proof tells. Of two things at
    once both are so sure."""
    first = len({branch.part for branch in told}) == 1 and min(branch.then for branch in told) >= ALL_BUT_SURE
    second = len({branch.beside for branch in told}) == 1 and min(b.beside_then for b in told) >= ALL_BUT_SURE
    return first and (second or not test.of_two)


def _second_is_told_apart(told: Sequence[OutcomeBranch]) -> bool:
    """Whether, of two things at once, the second is another, or clearly surer, after one outcome than after another."""
    names = {branch.beside if branch.beside_then >= WORTH_NAMING else "" for branch in told}
    shares = [branch.beside_then for branch in told]
    return names != {""} and (len(names) > 1 or max(shares) - min(shares) >= SURER)


def point_the_same_way(one: PlannedTest, other: PlannedTest) -> bool:
    """Whether two tests send somebody to the same parts, with the same chances: after one of them the other tells
    nothing more."""
    if one.of_two and "a wrong input" in {b.outcome for test in (one, other) for b in test.branches}:
        return False  # that names the second thing, whichever it is
    mine, others = (
        [b for b in test.branches if b.probability >= LEAST_TOLD and points_to(b)[0]] for test in (one, other)
    )
    if not len(mine) == len(others) > 1:
        return False
    for branch in mine:
        alike = next((its for its in others if _points_alike(branch, its)), None)
        if alike is None:
            return False
        others.remove(alike)
    return True


LEVEL = 0.98
"""A second part with this share of the first one's probability is level with it: either may stand first."""


def _points_alike(one: OutcomeBranch, other: OutcomeBranch) -> bool:
    (_, mine), (_, its) = points_to(one), points_to(other)
    alike = not _names_first(one).isdisjoint(_names_first(other))
    return alike and abs(mine - its) < NEAR_CHANCE and abs(one.probability - other.probability) < NEAR_CHANCE


def _names_first(branch: OutcomeBranch) -> set[str]:
    """The parts that an outcome may as well name first."""
    names = {points_to(branch)[0]}
    return names | (
        {branch.beside} if branch.then >= WORTH_NAMING and branch.beside_then >= LEVEL * branch.then else set()
    )


def best_left(test: PlannedTest) -> float:
    """How sure one part would become after the surest of the outcomes that are told; an input that is wrong is one
    part, whichever it is."""
    told = [branch for branch in test.branches if branch.probability >= LEAST_TOLD]
    return max((1.0 if b.outcome == "a wrong input" else b.then for b in told), default=0.0)


def quick_before_following(choices: list[PlannedTest]) -> list[PlannedTest]:
    """A wire is followed for so long that what is done in passing and tells about as much comes first: a plug pulled at
    a socket, a fuse read. Waiting for the vehicle to settle is nobody's work."""
    follow = choices[0] if choices and choices[0].action.doing == "follow" else None
    if follow is None:
        return choices
    most, least = IN_PASSING * follow.action.hands_and_reach, ABOUT_AS_MUCH * follow.bits
    as_good = (one for one in choices[1:] if one.bits >= least or one.worth >= follow.worth)
    quick = [one for one in as_good if one.action.hands_and_reach <= most]
    quick += [one for one in choices[1:] if one not in quick and _parts_by_reading(one, follow)]
    return [*quick, *(one for one in choices if one not in quick)]


def _parts_by_reading(one: PlannedTest, follow: PlannedTest) -> bool:
    """Whether a clamp or a fuse read parts what is left for fewer hands' minutes, and nearly as much for each."""
    reads = one.action.doing in ("clamp", "read-fuse", "read-box")
    quicker = one.action.hands_and_reach < follow.action.hands_and_reach
    enough = one.bits >= ABOUT_AS_MUCH * follow.bits or one.worth >= NEARLY_AS_WORTH * follow.worth
    return reads and quicker and enough and tells_parts_apart(one)


def cable_tells_more(row: PlannedTest, others: Sequence[PlannedTest]) -> bool:
    """Whether a clamp that parts what is left comes before a row of fuses: whatever the row shows, the same would be
    sought then."""
    first = others[0] if others else None
    clamps = first is not None and first.action.doing in ("clamp", "at-the-post")
    return clamps and first is not None and tells_parts_apart(first) and not tells_parts_apart(row)


HELD_PERHAPS = 0.05
"""From this probability on of what lets a relay hold itself nothing on its way is parted before it was measured
(judgement)."""


def measured_before_parted(
    choices: Sequence[PlannedTest], faults: Iterable[Fault], share_of: Callable[[str], float]
) -> list[PlannedTest]:
    """Volts at relays before anything is taken out that may let go, for good, what holds itself. `share_of` is how
    probable each part is."""
    held = (fault for fault in faults if fault.holds and share_of(fault.part) >= HELD_PERHAPS)
    way = frozenset(name for fault in held for flow in fault.brings for name in flow.way.through)
    volts = [n for n, one in enumerate(choices) if one.action.doing == "relay-volts"]
    if not way or not volts:
        return list(choices)
    early = [one for one in choices[: volts[-1]] if one.action.takes_out and not way.isdisjoint(one.action.parts)]
    measured = [one for one in choices[: volts[-1] + 1] if one not in early]
    return [*measured, *early, *choices[volts[-1] + 1 :]]

"""How one observation bears on each fault, as plain values.

Faults are told by their number (their place in a sequence). An observation knows which faults touch it and how; every
fault that it does not name leaves it as it is on a healthy car. The effects of two faults at once are united: a current
with the same key counts once, other currents add, and a network, contact or module that either of them wakes is awake.
"""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from math import hypot
from typing import Generic, Literal, NamedTuple, TypeVar

from circuitmap.diagnosis.weighing.reading_chance import MISREAD, Strip, chance_of_slip

Label = TypeVar("Label", bound=Hashable, covariant=True)
"""What was observed: carried along, never looked into."""


class Brought(NamedTuple):
    """A current that a fault brings to a reading: whose it is (counted once), its mean in A and its variance in A^2;
    and the chance that it is `nothing` at all: nobody typed it."""

    key: Hashable
    mean: float
    variance: float
    nothing: float = 0.0


class ZeroError(NamedTuple):
    """The unknown zero of one meter, as it enters a reading: `amps` is its standard deviation times how
    often (and with which sign) that meter's readings were added up here."""

    meter: str
    amps: float


class ReadBehind(NamedTuple):
    """A reading behind another one, which is taken off it where an explanation brings current there.

    In A: what it showed, the half of its last digit, the standard deviation of its error beyond that, and its zero
    (of the same meter as the reading that it is taken off). `healthy_mean` and `healthy_variance` are what a healthy
    car draws there.
    """

    amps: float
    half: float
    error: float
    zero: float
    healthy_mean: float
    healthy_variance: float


class MisreadBranch(NamedTuple):
    """That a branch was misread, as one explanation has it: the branch's number, the chance of it, and all that the
    explanation then brings to the reading that the branch is not taken off."""

    branch: int
    chance: float
    brought: tuple[Brought, ...]


@dataclass(frozen=True, slots=True)
class CurrentSighting(Generic[Label]):
    """A current as read, what a healthy car draws there, and what the faults bring.

    `branches` were read behind it and show a current. Under a fault that brings current to some of them, just these
    are taken off: `taken` has a bit for each. Under all others what a branch showed is no part of this reading but a
    slip, and what a healthy car draws there is. Two faults take off what either does. `slips` are those faults under
    which the reading of a branch hardly can be right: so far it is not taken off, and what they bring there flows here.

    `elsewhere` is the chance that a slip shows just this, where it is known that as much flows at another place.
    """

    label: Label
    strip: Strip
    healthy_mean: float
    healthy_variance: float
    brought: Mapping[int, tuple[Brought, ...]]
    zero: ZeroError | None = None
    misread: float = MISREAD
    branches: tuple[ReadBehind, ...] = ()
    taken: Mapping[int, int] = field(default_factory=dict)
    slips: Mapping[int, MisreadBranch] = field(default_factory=dict)
    elsewhere: float = 0.0

    @property
    def shared_zero(self) -> ZeroError | None:
        """The zero that it has in common with other readings of its meter; None where nothing can be off."""
        return self.zero if self.zero is not None and self.zero.amps != 0.0 else None

    @property
    def by_slip(self) -> float:
        """The chance of this reading by a slip alone, whatever is wrong."""
        return chance_of_slip(self.strip, self.misread, self.elsewhere)

    def without(self, taken: int, zero: float | None = None) -> Strip:
        """The reading with some branches taken off, for a zero in standard deviations (None: it is not known)."""
        off = [branch for n, branch in enumerate(self.branches) if taken >> n & 1]
        own = self.strip
        its_zero = self.zero.amps if self.zero is not None else 0.0
        if off:
            amps = (own.lowest + own.highest) / 2.0 - sum(branch.amps for branch in off)
            half = hypot((own.highest - own.lowest) / 2.0, *(branch.half for branch in off))
            read = (own.lowest + own.highest) / 2.0
            blur = hypot(own.blur, own.relative * read, *(branch.error for branch in off))
            its_zero -= sum(branch.zero for branch in off)
            own = Strip(amps - half, amps + half, blur)
        if zero is None:
            return own._replace(blur=hypot(own.blur, its_zero))
        return own._replace(lowest=own.lowest - its_zero * zero, highest=own.highest - its_zero * zero)

    def healthy(self, taken: int) -> tuple[float, float]:
        """Mean and variance of what a healthy car draws here beside the branches that are taken off."""
        left = [branch for n, branch in enumerate(self.branches) if not taken >> n & 1]
        return (
            self.healthy_mean + sum(branch.healthy_mean for branch in left),
            self.healthy_variance + sum(branch.healthy_variance for branch in left),
        )


class StateSighting(NamedTuple, Generic[Label]):
    """Something seen that is not a current: a line awake, a module silent, a fuse that draws.

    `healthy` is the chance of having seen it where no fault touches it; `touched` gives a rank for each fault that
    does, and `chances` the chance for each rank. Of two faults, the higher rank counts.
    """

    label: Label
    healthy: float
    chances: tuple[float, ...]
    touched: Mapping[int, int]


class Figure(NamedTuple):
    """What a fault brings to a reading by what is printed of it, in A, and how far that can be trusted: `exact`ly, for
    one `state` of several, or `unknown`. It may be `below` less, and `above` more, where a range is printed or usual.
    """

    key: Hashable
    amps: float
    trust: Literal["exact", "state", "unknown"]
    below: float = 0.0
    above: float = 0.0


class FigureSighting(NamedTuple, Generic[Label]):
    """A current as read, `amps`, beside what faults bring to it by what is printed; `healthy` A flow there anyhow. The
    figures of two faults add up. A figure is met if it is off by no more than `off` A, a range if it holds the reading
    to as much.

    `factors` on the chance of the reading: where figures that hold exactly are met, and missed; where others are met,
    and missed; and where a range holds it that is wider than `off` either way. It stays as it is where something brings
    a current of which nothing is printed, or nobody brings any.
    """

    label: Label
    amps: float
    off: float
    healthy: float
    figures: Mapping[int, tuple[Figure, ...]]
    factors: tuple[float, float, float, float, float]


class LimitSighting(NamedTuple, Generic[Label]):
    """No more than `most` A flow, the meter's errors included, beside what faults would take there by what is printed.
    The figures of two faults add up; what is not printed counts as nothing."""

    label: Label
    most: float
    figures: Mapping[int, tuple[Figure, ...]]


class TrySighting(NamedTuple, Generic[Label]):
    """Something was unplugged, pulled or opened, and a current was read before and after.

    `before` are the currents each fault brings with everything in place, `after` those that are left. `meanwhile` are
    those that are left until what was kept awake has fallen asleep, where it may not have had the time, or where a
    fault may hang on what is out. `ended` is the chance that it is what is left `after`: where nobody knows, one is as
    likely as the other.
    """

    label: Label
    before: Mapping[int, tuple[Brought, ...]]
    after: Mapping[int, tuple[Brought, ...]]
    healthy_mean: float
    healthy_variance: float
    removed_healthy_mean: float
    removed_healthy_variance: float
    outcome: "Outcome"
    meanwhile: Mapping[int, tuple[Brought, ...]] | None = None
    ended: float = 0.5


class Outcome(NamedTuple):
    """`name` is `normal`, `down` or `stays`, and `in_words` that nothing but this was said; `was` the reading before in
    A; `normal_up_to` what counts as normal in A; `step` the display step in A; `slip` the share of tries that show
    something else; `now` what is left, and by how much (`off`) the two readings may differ for what else is going on;
    both in A. `zero` is the standard deviation in A of the meter's zero where both readings have it in common; one of
    it is in `normal_up_to`. `ended` is the chance that what comes and goes went by itself."""

    name: str
    was: float
    normal_up_to: float
    step: float
    slip: float = 0.003
    now: float = 0.0
    off: float = 0.0
    in_words: bool = False
    zero: float = 0.0
    ended: float = 0.0


Sighting = (
    CurrentSighting[Label] | StateSighting[Label] | FigureSighting[Label] | LimitSighting[Label] | TrySighting[Label]
)

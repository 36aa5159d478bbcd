"""How one observation bears on each fault, as plain values.

Faults are told by their number (their place in a sequence). An observation knows which faults touch it and how; every
fault that it does not name leaves it as it is on a healthy car. The effects of two faults at once are united: a current
with the same key counts once, other currents add, and a network, contact or module that either of them wakes is awake.
"""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

from circuitmap.diagnosis.weighing.reading_chance import MISREAD, Strip

Label = TypeVar("Label", bound=Hashable, covariant=True)
"""What was observed: carried along, never looked into."""


class Brought(NamedTuple):
    """A current that a fault brings to a reading: whose it is (counted once), its mean in A and its
    variance in A^2."""

    key: Hashable
    mean: float
    variance: float


class ZeroError(NamedTuple):
    """The unknown zero of one meter, as it enters a reading: `amps` is its standard deviation times how
    often (and with which sign) that meter's readings were added up here."""

    meter: str
    amps: float


@dataclass(frozen=True, slots=True)
class CurrentSighting(Generic[Label]):
    """A net current as read, what a healthy car draws there, and what the faults bring.

    `other_strips` are the net current by other ways that branches may hang on the place; `strip_of` tells which of them
    holds under a fault (0: the first other one). Where two faults name different ones, either may hold.
    """

    label: Label
    strip: Strip
    healthy_mean: float
    healthy_variance: float
    brought: Mapping[int, tuple[Brought, ...]]
    zero: ZeroError | None = None
    misread: float = MISREAD
    other_strips: tuple[Strip, ...] = ()
    strip_of: Mapping[int, int] = field(default_factory=dict)


class StateSighting(NamedTuple, Generic[Label]):
    """Something seen that is not a current: a line awake, a module silent, a fuse that draws.

    `healthy` is the chance of having seen it where no fault touches it; `touched` gives a rank for each fault that
    does, and `chances` the chance for each rank. Of two faults, the higher rank counts.
    """

    label: Label
    healthy: float
    chances: tuple[float, ...]
    touched: Mapping[int, int]


class TrySighting(NamedTuple, Generic[Label]):
    """Something was unplugged, pulled or opened, and a current was read before and after.

    `before` are the currents each fault brings with everything in place, `after` those that are left.
    `chances` turns their moments into the chance of the outcome that was seen.
    """

    label: Label
    before: Mapping[int, tuple[Brought, ...]]
    after: Mapping[int, tuple[Brought, ...]]
    healthy_mean: float
    healthy_variance: float
    removed_healthy_mean: float
    removed_healthy_variance: float
    outcome: "Outcome"


class Outcome(NamedTuple):
    """`name` is `normal`, `down` or `stays`; `was` the reading before, in A; `normal_up_to` what counts as normal in A;
    `step` the display step in A; `slip` the share of tries that show something other than they should."""

    name: str
    was: float
    normal_up_to: float
    step: float
    slip: float = 0.04


Sighting = CurrentSighting[Label] | StateSighting[Label] | TrySighting[Label]

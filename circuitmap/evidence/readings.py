"""A reading: where, what the meter showed, which meter, when, and in what state the vehicle was."""

from dataclasses import dataclass, field
from math import inf, isinf
from typing import Literal, NamedTuple

from circuitmap.evidence.changes_seen import Change
from circuitmap.evidence.fuse_drop import ColdResistance, amps_through, hidden_below, of_smallest
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import Meter
from circuitmap.source import Span

Speaks = Literal["parked", "early", "woken"]
"""`parked`: asleep as far as anybody knows. `early`: the vehicle had not had time to fall asleep. `woken`: a door, a
re-fitted fuse or a scan came just before. The last two are evidence of that state, not of the parked one."""


During = Literal["", "floor", "event"]
"""Which of a log's two states it was while this was read, if somebody said so."""


class Given(NamedTuple):
    """What a battery gave by a look, in A."""

    battery: str
    amps: float
    meter: Meter


class AtOtherHeight(NamedTuple):
    """What a place `shown` A (None: no figure) carried of an event in which the whole current was `then` A, another
    height than that of the event that is looked at: between `low` and `high` A of this one."""

    shown: float | None
    then: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a meter showed at a fuse, a battery or a box's feeder.

    `amps` is the current shown, or worked out from the millivolts `drop` (V) and the fuse's `resistance`; its sign is
    that of the current away from the battery plus. None: no current can be given; `draws` tells whether anything was
    seen. `total` is the battery's current at that moment, `given` what the batteries gave at it, each by its name,
    where they were read in the same look. `minutes` since the vehicle was locked or last woken; `at` is the minute of
    the card's clock, None where there is none.
    `without` is what was unplugged or pulled at the time; `watched` that it was looked at for a while and did not move.
    `written` is the reading as somebody typed it, `by` who that was, if the card says so; `change` what became of the
    draw, said without a figure. `during`: whether what comes and goes was up, or down to the floor, when it was read.
    `height`: it was read in an event of another height, so what flows there now has bounds and no figure.
    `across`: so much of `amps` the meter did not see: it comes over from another battery.
    `in_use`: with the key on; what flows then is no draw of the parked vehicle, however long it is waited.
    """

    place: str
    meter: Meter
    amps: float | None = None
    drop: float | None = None
    draws: bool | None = None
    resistance: ColdResistance | None = None
    total: float | None = None
    given: tuple[Given, ...] = ()
    minutes: float | None = None
    log: Log | None = None
    without: tuple[str, ...] = ()
    speaks: Speaks = "parked"
    watched: bool = False
    change: Change | Literal[""] = ""
    written: str = ""
    by: str = ""
    during: During = ""
    height: AtOtherHeight | None = None
    in_use: bool = False
    across: float = 0.0
    span: Span | None = None
    at: float | None = field(default=None, compare=False)

    @property
    def on_meter(self) -> float | None:
        """The current that the meter showed, in A."""
        return None if self.amps is None else self.amps - self.across

    @property
    def half_step(self) -> float:
        """How far the display may be off either way, in A, from its last digit alone."""
        if self.resistance is not None:
            return hidden_below(self.resistance, self.meter.step, self.meter.counts)
        return self.meter.counts * self.meter.step

    @property
    def relative(self) -> float:
        """Standard deviation of the error in proportion."""
        own = self.resistance.relative if self.resistance is not None else 0.0
        return float((self.meter.relative**2 + own**2) ** 0.5)

    @property
    def zero(self) -> float:
        """Standard deviation in A of the meter's zero; none for millivolts, whose leads are zeroed, unless what they
        show puts that in doubt."""
        if self.resistance is None and self.drop is None:
            return self.meter.zero
        if self.resistance is None or self.meter.kind != "millivolts":
            return 0.0
        return amps_through(self.meter.zero, self.resistance)

    @property
    def lowest(self) -> float:
        """The least current in A that the display stands for."""
        if self.height is not None:
            return self.height.low
        if self.amps is None:
            return least_that_draws(self.resistance, self.drop) if self.draws else -inf
        return self.amps - self.half_step

    @property
    def highest(self) -> float:
        if self.height is not None:
            return self.height.high
        if self.amps is None:
            return inf if self.draws else self._hidden
        return self.amps + self.half_step

    @property
    def _hidden(self) -> float:
        """The current in A that nothing at a fuse of no published style may hide."""
        return MOST_THAT_HIDES if self.resistance is None else max(MOST_THAT_HIDES, self.half_step)

    @property
    def hides(self) -> float | None:
        """The current in A that a display of zero may hide; None when it shows something."""
        if isinf(self.highest) or self.lowest > 0.0:
            return None
        return max(self.highest, 2.0 * self.zero)

    @property
    def shows_current(self) -> bool:
        """Whether the reading is more than the display and the zero could make up."""
        if self.amps is None:
            return bool(self.draws)
        return self.lowest > 0.0 and abs(self.amps) > 2.0 * self.zero


# Judgement: a drop that shows on an unknown style of fuse is 10 mA at least; one that does not show may hide
# 150 mA (what a 40 A fuse of the known styles hides), or what a larger one hides by its rating.
LEAST_THAT_DRAWS = 0.010
MOST_THAT_HIDES = 0.150


def least_that_draws(resistance: ColdResistance | None, drop: float | None = None) -> float:
    """The least current in A at a fuse that shows a drop, in V: of an unknown fuse, as if it were the smallest."""
    if resistance is not None:
        return amps_through(0.0001, resistance)
    return max(LEAST_THAT_DRAWS, amps_through(abs(drop), of_smallest())) if drop is not None else LEAST_THAT_DRAWS


def amps_of_drop(drop: float, resistance: ColdResistance | None) -> float | None:
    """Current in A; None where the fuse's resistance is not known."""
    return None if resistance is None else amps_through(drop, resistance)

"""What a meter can tell: its display step, its zero, its error in proportion.

Typical values; "practice" is common practice, no source. A meter's own data replace them.
"""

from dataclasses import dataclass, replace
from typing import Literal

from circuitmap.failures import WrongUse

MeterKind = Literal["clamp", "low-current-clamp", "series", "millivolts"]


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter as it was used. Steps and errors of the first three kinds in A, of `millivolts` in V.

    `zero` is the standard deviation of its zero, the same for all its readings until it is zeroed again
    (`zeroed` counts how often that was done). `counts`: how many display steps a reading may be off either way.
    `relative` is the standard deviation of the error in proportion.
    """

    kind: MeterKind
    step: float
    zero: float
    counts: float
    relative: float
    zeroed: int = 0

    @property
    def name(self) -> str:
        """What readings that share a zero have in common."""
        return f"{self.kind} {self.zeroed}"

    @property
    def words(self) -> str:
        return {
            "clamp": "clamp",
            "low-current-clamp": "low-current clamp",
            "series": "meter in series",
            "millivolts": "millivolts across the fuse",
        }[self.kind]


# Steps and zeros of clamps: practice; general clamps are off by up to 50..100 mA, so 30 mA is one standard deviation.
# In series there is no zero that could be off. A display is rounded to half a step; +-2 counts is for the last digit of
# a millivolt range (practice).
METERS: tuple[Meter, ...] = (
    Meter("clamp", step=0.010, zero=0.030, counts=0.5, relative=0.02),
    Meter("low-current-clamp", step=0.001, zero=0.003, counts=0.5, relative=0.02),
    Meter("series", step=0.010, zero=0.0, counts=0.5, relative=0.01),
    Meter("millivolts", step=0.0001, zero=0.0, counts=2.0, relative=0.005),
)


_ZEROED_IN_PLACE: dict[MeterKind, float] = {"clamp": 0.010}
"""What is left of a zero, A, right after it was set round nothing, near the cable: one display step (common practice,
no source). A finer clamp is not better than it is anyway."""
ZEROED_FOR = 45.0
"""Minutes for which that holds: a clamp drifts with its warmth, and with what it was round before (judgement)."""


def zeroed_in_place(meter: Meter) -> float:
    """Standard deviation in A of the meter's zero right after it was zeroed."""
    return _ZEROED_IN_PLACE.get(meter.kind, meter.zero)


IN_SERIES = 10.0
"""Current in A from which on no meter is put in series: the range of common handheld meters (common practice, no
source); above it its fuse blows, or its leads burn."""


def zero_at_least(meter: Meter) -> Meter:
    """The meter with a zero that is off by no less than one step of its own display: nobody can set, or see, it finer
    (judgement). A meter in series has no zero."""
    return replace(meter, zero=max(meter.zero, meter.step)) if meter.zero > 0.0 else meter


def meter_named(kind: str, step: float | None = None) -> Meter:
    """The meter of a kind, with its own display step if known; raises WrongUse for a kind that is not one."""
    for meter in METERS:
        if meter.kind == kind:
            return meter if step is None else zero_at_least(replace(meter, step=step))
    known = ", ".join(meter.kind for meter in METERS[:3])
    raise WrongUse(f"There is no kind of meter called {kind}.", f"Meters: {known}.")


def read_with_step(meter: Meter, step_written: float) -> Meter:
    """The meter as used, for a reading that is written with a finer last digit than the meter is known to have."""
    return replace(meter, step=min(meter.step, step_written))

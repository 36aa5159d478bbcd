"""Several places that show about the same small current on one meter, or the same few millivolts: likelier its zero
than as many currents."""

from typing import NamedTuple

from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.evidence.readings import Reading

LEAST_PLACES = 3
"""So many places that show the same are no chance any more (judgement)."""
MOST_ZEROS = 3.0
"""A zero is off by no more than so many of its standard deviations (judgement)."""


class SharedZero(NamedTuple):
    """A `meter` whose zero may be off by `amps`, because that is what each of the `places` shows. Of millivolts `drop`
    is by how much, in V (0.0: of a clamp), `amps` is the mean of what that is at the places, and `read_so` are all
    places that were read by these leads."""

    meter: str
    amps: float
    places: tuple[str, ...]
    drop: float = 0.0
    read_so: tuple[str, ...] = ()


class _Shown(NamedTuple):
    """What a meter showed at a place, the half of its last digit, and its zero: in A, or of millivolts in V."""

    amount: float
    place: str
    half_step: float
    zero: float


def shared_zero(nets: Netted) -> SharedZero | None:
    """The meter whose zero may be off, by the most places; None where no reading points to it."""
    by_meter: dict[str, list[_Shown]] = {}
    for place, reading in nets.readings.items():
        if reading.amps is not None and reading.zero > 0.0 and reading.log is None:
            by_meter.setdefault(reading.meter.name, []).append(_shown(place, reading))
    best: SharedZero | None = None
    for meter, shown in by_meter.items():
        least = min(shown)
        # None of them shows less than that, or more than a zero can be.
        if not 2.0 * least.half_step < least.amount <= MOST_ZEROS * least.zero:
            continue
        alike = tuple(its.place for its in shown if its.amount - least.amount <= 2.0 * least.half_step * 1.001)
        if len(alike) >= LEAST_PLACES and (best is None or len(alike) > len(best.places)):
            best = SharedZero(meter, least.amount, tuple(sorted(alike)))
            if nets.readings[least.place].drop is not None:
                mean = sum(nets.readings[place].amps or 0.0 for place in alike) / len(alike)
                best = best._replace(amps=mean, drop=least.amount, read_so=tuple(sorted(its.place for its in shown)))
    return best


def _shown(place: str, reading: Reading) -> _Shown:
    """Of millivolts the same few are alike to the last digit, whatever its fuse makes of them."""
    if reading.drop is not None:
        return _Shown(reading.drop, place, reading.meter.step / 2.0, reading.meter.zero)
    return _Shown(reading.amps or 0.0, place, reading.half_step, reading.zero)

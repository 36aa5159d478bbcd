"""Several places that show about the same small current on one meter: likelier its zero than as many currents."""

from typing import NamedTuple

from circuitmap.diagnosis.seen.netting import Netted

LEAST_PLACES = 3
"""So many places that show the same are no chance any more (judgement)."""
MOST_ZEROS = 3.0
"""A zero is off by no more than so many of its standard deviations (judgement)."""


class SharedZero(NamedTuple):
    """A `meter` whose zero may be off by `amps`, because that is what each of the `places` shows."""

    meter: str
    amps: float
    places: tuple[str, ...]


def shared_zero(nets: Netted) -> SharedZero | None:
    """The meter whose zero may be off, by the most places; None where no reading points to it."""
    by_meter: dict[str, list[tuple[float, str, float, float]]] = {}
    for place, reading in nets.readings.items():
        if reading.amps is not None and reading.zero > 0.0 and reading.log is None:
            its = (reading.amps, place, reading.half_step, reading.zero)
            by_meter.setdefault(reading.meter.name, []).append(its)
    best: SharedZero | None = None
    for meter, shown in by_meter.items():
        least = min(shown)
        amps, _, half, zero = least
        if not 2.0 * half < amps <= MOST_ZEROS * zero:  # none of them shows less than that, or more than a zero can be
            continue
        alike = tuple(place for its, place, *_ in shown if its - amps <= 2.0 * half * 1.001)
        if len(alike) >= LEAST_PLACES and (best is None or len(alike) > len(best.places)):
            best = SharedZero(meter, amps, tuple(sorted(alike)))
    return best

"""What can run because it was switched on, by what was read: where less flows, it rests."""

from collections.abc import Mapping, Sequence

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.at_work import AtWork, may_be_at_work
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform

LEAST_OF_IT = 0.6
"""A reading of less than this share of what a part takes running is no reading of it running (judgement: what is typed
in may be that far off)."""


def _that_can_run(platform: Platform, its: tuple[AtWork, ...], readings: Sequence[Reading]) -> tuple[AtWork, ...]:
    """Those of them that can run, by what was read of the parked vehicle: what all batteries give together, and the
    place nearest to it on each way that was read, is enough for it. What feeds that place may have help from another
    battery."""
    if not its:
        return ()
    latest = {
        reading.place: reading.amps
        for reading in readings
        if reading.amps is not None and not reading.without and reading.speaks == "parked"
    }
    parts = platform.parts
    given = sum(amps for place, amps in latest.items() if isinstance(parts.get(place), Battery))
    beside = {place: amps for place, amps in latest.items() if not isinstance(parts.get(place), Battery)}
    return tuple(one for one in its if _can_run(one, given, beside))


def _can_run(one: AtWork, given: float, beside: Mapping[str, float]) -> bool:
    ways = (flow.way.places for flow in one.flows)
    on_the_way = (next((beside[place] for place in way if place in beside), one.amps) for way in ways)
    return min(given, *on_the_way) >= LEAST_OF_IT * one.amps


def switched_on(circuit: Circuit, fitting: Fitting, evidence: Evidence) -> tuple[AtWork, ...]:
    """What can run because it was switched on, on the vehicle that the evidence describes."""
    if not evidence.positions:
        return ()
    positions = tuple(sorted(evidence.positions.items()))
    key = (frozenset(fitting.items()), frozenset(evidence.absent), positions, frozenset(evidence.own_battery))
    kept = circuit.derived(_Kept).found
    if key not in kept:
        parked = Parked(circuit, fitting, frozenset(evidence.absent), evidence.positions, key[3])
        kept[key] = may_be_at_work(parked) if parked.turned else ()
        while len(kept) > _MOST_KEPT:
            kept.pop(next(iter(kept)))
    return _that_can_run(circuit.platform, kept[key], evidence.readings)


_MOST_KEPT = 8


class _Kept:
    """What may run with switches so, for the last few that were asked."""

    def __init__(self, _circuit: Circuit) -> None:
        self.found: dict[
            tuple[frozenset[tuple[str, bool]], frozenset[str], tuple[tuple[str, str], ...], frozenset[str]],
            tuple[AtWork, ...],
        ] = {}

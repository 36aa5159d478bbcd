"""A fuse at which the meter showed a current the other way round, and through which some fault feeds what is before it:
then that is how it flows there, and no slip."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.netting import runs_backwards
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import FIRST, SECOND, Fuse, Terminal


def with_fed_backwards(
    readings: Iterable[Reading], faults: Sequence[Fault], parked: Parked, tree: PlaceTree
) -> tuple[Reading, ...]:  # fmt: skip
    """The readings, those of such a fuse as large as they were."""
    return tuple(_its_size(r) if _is_turned(r, faults, parked, tree) else r for r in readings)


def _is_turned(reading: Reading, faults: Sequence[Fault], parked: Parked, tree: PlaceTree) -> bool:
    place = reading.place
    if reading.amps is None or reading.amps >= 0.0 or not runs_backwards(reading):
        return False
    if not isinstance(parked.platform.parts.get(place), Fuse) or not tree.is_dead(place):
        return False
    return any(feeds_backwards(fault, place, parked) for fault in _passing(faults, place))


def _its_size(reading: Reading) -> Reading:
    drop = -reading.drop if reading.drop is not None else None
    return replace(reading, amps=-(reading.amps or 0.0), drop=drop)


def _passing(faults: Sequence[Fault], place: str) -> Iterator[Fault]:
    return (fault for fault in faults if any(place in flow.way.places for flow in fault.brings))


def feeds_backwards(fault: Fault, fuse: str, parked: Parked) -> bool:
    """Whether a fault feeds the supply side of a fuse through it: with it out only its outgoing side is live."""
    if fault.state is None:
        return False
    without = parked.looked_at(fault.state, frozenset({fuse})).supply
    ends = [Terminal(fuse, pin) for pin in (FIRST, SECOND)]
    return all(end in parked.circuit.number for end in ends) and not without[ends[0]] and bool(without[ends[1]])

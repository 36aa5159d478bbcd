"""What was added to this car, by its card: the way its current takes, and what it takes standing by."""

from collections.abc import Container, Iterable, Mapping
from typing import TYPE_CHECKING

from circuitmap.diagnosis.car.currents import STANDING_BY, Draw, spread_of
from circuitmap.diagnosis.car.picture import Flow, FlowKey, moments
from circuitmap.diagnosis.car.ways import Way, posts_from
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Battery, Fuse, Part, Terminal

if TYPE_CHECKING:
    from circuitmap.diagnosis.car.parked import Parked


def ways_to_added(parked: "Parked", added: Iterable[tuple[str, str]]) -> dict[str, Way]:
    """For each thing that is on no sheet the way its current takes: its own cable first, where a clamp goes round."""
    found = {}
    for name, fed_from in added:
        way = _way_at(parked, parked.platform.parts[fed_from])
        if way is not None:
            found[name] = way._replace(places=(name, *way.places), through=way.through | {name})
    return found


def standing_by(ways: Mapping[str, Way], said: Mapping[str, Band], off: Container[str] = ()) -> tuple[Flow, ...]:
    """What each of these takes while nothing is wrong with it: as was `said` of it in A, else what such things do;
    nothing where it is `off`."""
    found = []
    for name, way in ways.items():
        if name in off:
            continue
        spread = spread_of(said[name]) if name in said else STANDING_BY
        if spread is not None:
            its = Draw(spread, name not in said)
            own = moments(its.spread)
            found.append(Flow(FlowKey(name, "", "asleep"), name, *own, way, its.assumed, whole=own))
    return tuple(found)


def _way_at(parked: "Parked", part: Part) -> Way | None:
    if isinstance(part, Fuse):
        return parked.way_behind(part)
    if isinstance(part, Battery):
        return Way(posts_from(parked.circuit, Terminal(part.name, "+")), frozenset({part.name}))
    ways = (parked.ways.to(terminal) for terminal in parked.circuit.terminals_of.get(part.name, ()))
    return next((way for way in ways if way is not None), None)

"""Whether what was once out too early was read since: a place through which nothing flows while the vehicle sleeps
takes no part in what is drawn, so nobody need take it out again to know."""

from collections.abc import Iterable

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree, nearest
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import Load


def read_since(
    out: Iterable[str], after: Reading, readings: Iterable[Reading], parked: Parked, tree: PlaceTree
) -> tuple[Reading, ...]:
    """Of the readings of the sleeping vehicle, later than the one `after` something was taken out, those that show that
    nothing flows there with it in; empty where not all that was `out` was read so, by itself or at what feeds it, or
    where what was read may hide that a module behind it is awake."""
    out, start = tuple(out), after.span.start if after.span is not None else None
    if start is None:
        return ()
    later = (r for r in readings if r.span is not None and r.span.start > start and r.log is None)
    latest = {r.place: r for r in later if r.speaks == "parked" and not r.in_use and set(out).isdisjoint(r.without)}
    found: dict[str, Reading] = {}
    for name in out:
        its = _tells_of(name, latest, parked, tree)
        if not its or not all(_shows_nothing(one, parked) for one in its):
            return ()
        found |= {one.place: one for one in its}
    return tuple(found.values())


def _tells_of(name: str, latest: dict[str, Reading], parked: Parked, tree: PlaceTree) -> tuple[Reading, ...]:
    """What was read of a place, or of all that feeds a load: the nearest place that was read on each of its ways."""
    if name in latest:
        return (latest[name],)
    if not isinstance(parked.platform.parts.get(name), Load):
        return ()
    found = []
    for _, _, way in parked.pins_of(name):
        place = nearest(tree.way_places(way.places), latest)
        if place is None or tree.is_post(place):
            return ()
        found.append(latest[place])
    return tuple(found)


def _shows_nothing(reading: Reading, parked: Parked) -> bool:
    """Whether nothing was seen to flow, and no module that hangs there could be awake and not be seen."""
    if reading.shows_current or reading.highest == float("inf"):
        return False
    behind = (
        load
        for load in parked.platform.loads
        if load.kind == "module" and any(reading.place in through for through in parked.supplies_of(load.name))
    )
    return all(load.awake is None or reading.highest < load.awake.low for load in behind)

"""Current where there should be none: at a place that nothing feeds with the car parked and everything off."""

from typing import TYPE_CHECKING, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.wiring.parts import FIRST, Fuse, Terminal

if TYPE_CHECKING:
    from circuitmap.circuit.demands import Demands


class DeadPlace(NamedTuple):
    """A fuse that draws `amps` (None: nobody knows how much). `needs` says, way by way, what must hold for that way to
    feed it; empty where no way is typed in. `label` are the key positions in which a label alone says it is fed."""

    place: str
    amps: float | None
    needs: "tuple[Demands, ...]"
    label: tuple[str, ...] = ()


def dead_and_drawing(parked: Parked, tree: PlaceTree, nets: Netted) -> tuple[DeadPlace, ...]:
    """Fuses that were seen to draw although the sound parked car leaves them without supply, the largest first."""
    drawing = [reading for reading in nets.readings.values() if reading.shows_current]
    labels = {reading.place: its for reading in drawing if (its := _label(parked, reading.place))}
    by_label = [DeadPlace(r.place, r.amps, (), labels[r.place]) for r in drawing if r.place in labels]
    readings = [r for r in drawing if r.place not in labels and tree.is_dead(r.place)]
    if not readings:
        return tuple(sorted(by_label, key=_largest_first))
    from circuitmap.circuit.ways import Ways  # seldom needed, and slow to import

    ways = Ways(parked.circuit, parked.fitting, "supply")
    found = []
    for reading in readings:
        paths = ways.to(Terminal(reading.place, FIRST)).paths
        found.append(DeadPlace(reading.place, reading.amps, tuple(path.demands for path in paths if path.demands)))
    return tuple(sorted((*found, *by_label), key=_largest_first))


def _largest_first(dead: DeadPlace) -> tuple[float, str]:
    return -(dead.amps or 0.0), dead.place


def _label(parked: Parked, place: str) -> tuple[str, ...]:
    """The key positions in which a label says that a fuse is fed, where no way to it is drawn and the car is parked in
    another one."""
    if not isinstance(parked.platform.parts.get(place), Fuse):
        return ()
    way = parked.ways.to(Terminal(place, FIRST))
    if way is not None and way.known:
        return ()
    here = parked.powered.run.key_position
    its = [stated for stated in parked.platform.stated if stated.part == place]
    fed = any(stated.always or here in stated.positions for stated in its)
    return () if fed else tuple(dict.fromkeys(position for stated in its for position in stated.positions))

"""Current where there should be none: at a place that nothing feeds with the car parked and everything off."""

from typing import TYPE_CHECKING, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.wiring.parts import FIRST, Terminal

if TYPE_CHECKING:
    from circuitmap.circuit.demands import Demands


class DeadPlace(NamedTuple):
    """A fuse that draws `amps` (None: nobody knows how much). `needs` says, way by way, what must hold for that way to
    feed it; empty where no way is typed in."""

    place: str
    amps: float | None
    needs: "tuple[Demands, ...]"


def dead_and_drawing(parked: Parked, tree: PlaceTree, nets: Netted) -> tuple[DeadPlace, ...]:
    """Fuses that were seen to draw although the sound parked car leaves them without supply, the largest first."""
    readings = [r for place, r in nets.readings.items() if r.shows_current and tree.is_dead(place)]
    if not readings:
        return ()
    from circuitmap.circuit.ways import Ways  # seldom needed, and slow to import

    ways = Ways(parked.circuit, parked.fitting, "supply")
    found = []
    for reading in readings:
        paths = ways.to(Terminal(reading.place, FIRST)).paths
        found.append(DeadPlace(reading.place, reading.amps, tuple(path.demands for path in paths if path.demands)))
    return tuple(sorted(found, key=lambda dead: (-(dead.amps or 0.0), dead.place)))

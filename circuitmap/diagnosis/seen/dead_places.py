"""Current where there should be none: at a place that nothing feeds with the car parked and everything off."""

from collections.abc import Container, Sequence
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.observed import Tried
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


def dead_and_drawing(
    parked: Parked, tree: PlaceTree, nets: Netted, tried: Sequence[Tried] = ()
) -> tuple[DeadPlace, ...]:
    """Fuses that were seen to draw, or with which out the draw fell, although the sound parked car leaves them without
    supply, the largest first."""
    drawing = [reading for reading in nets.readings.values() if reading.shows_current]
    labels = {reading.place: its for reading in drawing if (its := _label(parked, reading.place))}
    by_label = [DeadPlace(r.place, r.amps, (), labels[r.place]) for r in drawing if r.place in labels]
    readings = [r for r in drawing if r.place not in labels and tree.is_dead(r.place)]
    fell = _fell(tried, tree, {reading.place for reading in readings})
    if not readings and not fell:
        return tuple(sorted(by_label, key=_largest_first))
    from circuitmap.circuit.ways import Ways  # seldom needed, and slow to import

    ways = Ways(parked.circuit, parked.fitting, "supply")
    found = []
    for place, amps in (*((reading.place, reading.amps) for reading in readings), *fell.items()):
        paths = ways.to(Terminal(place, FIRST)).paths
        found.append(DeadPlace(place, amps, tuple(path.demands for path in paths if path.demands)))
    return tuple(sorted((*found, *by_label), key=_largest_first))


def _fell(tried: Sequence[Tried], tree: PlaceTree, known: Container[str]) -> dict[str, float | None]:
    """The dead fuses with which out, and with nothing else but such, the draw fell; how much is known where one alone
    was out, or one more than before."""
    falls: dict[frozenset[str], float] = {}
    found: dict[str, float | None] = {}
    for one in tried:
        out, before, after = frozenset(one.attempt.out), one.attempt.before, one.attempt.after
        if one.why_not or one.outcome in ("stays", "took over") or not all(map(tree.is_dead, out)):
            continue
        if before is not None and before.amps is not None and after.amps is not None:
            falls[out] = before.amps - after.amps
        for place in out - found.keys():
            if place not in known:
                less = falls.get(out - {place}, 0.0 if len(out) == 1 else None)
                found[place] = falls[out] - less if less is not None and out in falls else None
    return found


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

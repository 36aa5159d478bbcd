"""What each battery and each fuse carries in a state of the vehicle, as far as currents are typed in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import LoadPower, Powered
from circuitmap.power.why import why
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, Resistor, Terminal


@dataclass(frozen=True, slots=True)
class Carried:
    """The current through batteries (several, where each may feed the others' loads) or a fuse (several in parallel).

    `amps` are those of `parts`. `untyped` draw here as well, but nobody typed how much; of `shared` it is typed how
    much they draw by all their fuses together, but not how much by each. Coils of relays are not counted.
    """

    kind: Literal["battery", "fuse"]
    names: tuple[str, ...]
    amps: Band
    parts: tuple[str, ...]
    untyped: tuple[str, ...]
    shared: tuple[str, ...]


class _Drawn(NamedTuple):
    """What one load takes by one or several of its pins; no `amps` where that was not typed in."""

    part: str
    pins: tuple[Terminal, ...]
    amps: Band | None


_Place = tuple[Literal["battery", "fuse"], tuple[str, ...]]


def carried(powered: Powered, constant: Mapping[str, bool]) -> tuple[Carried, ...]:
    """Batteries first, then fuses in the order in which they were typed, each where anything certain passes it.
    `constant` are the loads that nothing turns off: they take what they take asleep."""
    together = _in_parallel(powered)
    sums: dict[_Place, tuple[list[Band], dict[str, None], dict[str, None], dict[str, None]]] = {}
    for load in powered.loads.values():
        for drawn in _drawn(powered, load, constant.get(load.name, False)):
            ways = [_places(powered, pin, together) for pin in drawn.pins]
            for place in dict.fromkeys(place for way in ways for place in way):
                amps, parts, untyped, shared = sums.setdefault(place, ([], {}, {}, {}))
                if drawn.amps is None:
                    untyped[drawn.part] = None
                elif all(place in way and _whole(way, place) for way in ways):
                    amps.append(drawn.amps)
                    parts[drawn.part] = None
                else:
                    shared[drawn.part] = None
    order = {name: number for number, name in enumerate(powered.circuit.platform.parts)}
    found = [
        Carried(kind, names, Band(sum(its.low for its in amps), sum(its.high for its in amps)), *map(tuple, named))
        for (kind, names), (amps, *named) in sums.items()
    ]
    return tuple(sorted(found, key=lambda its: (its.kind != "battery", min(order.get(name, 0) for name in its.names))))


def _drawn(powered: Powered, load: LoadPower, constant: bool) -> Iterator[_Drawn]:
    """What a load surely takes. One that waits at its control pin, or may, takes what it takes asleep, where that is
    typed."""
    part = powered.circuit.platform.parts[load.name]
    pins = tuple(pin.terminal for pin in load.pins if pin.live == Answer.YES)
    if isinstance(part, Resistor) and part.ohms and load.draws == Answer.YES and pins:
        amps = powered.circuit.platform.supply_volts / part.ohms
        yield _Drawn(load.name, pins[:1], Band(amps, amps))
    if not isinstance(part, Load) or not pins or {load.supply, load.ground} != {Answer.YES}:
        return
    waits = load.draws != Answer.YES
    asleep, awake, running = (part.asleep, part.asleep_at), (part.awake, part.awake_at), (part.running, part.running_at)
    if part.kind == "module":
        whole, by_pin = awake if load.awake == Answer.YES else asleep
    elif waits or (constant and part.asleep is not None):
        whole, by_pin = asleep
    else:
        whole, by_pin = running if part.running is not None else asleep
    if by_pin:
        for pin in pins:
            if pin.pin in by_pin:
                yield _Drawn(load.name, (pin,), by_pin[pin.pin])
    elif whole is not None or not (waits or part.kind in _TAKE_NOTHING):
        yield _Drawn(load.name, pins, whole)


def _places(powered: Powered, pin: Terminal, together: Mapping[str, tuple[str, ...]]) -> tuple[_Place, ...]:
    """The batteries and fuses whose current a pin's is, by its shortest way."""
    way = why(powered, pin)
    links = (step.link for step in way.steps if step.link is not None)
    fuses = dict.fromkeys(together.get(link.part, (link.part,)) for link in links if link.kind in PROTECTIVE)
    batteries = powered.batteries(pin) or ((way.source.part,) if way.origin == "battery" and way.source else ())
    places: list[_Place] = [("battery", batteries)] if batteries else []
    return (*places, *(("fuse", names) for names in fuses))


def _whole(way: tuple[_Place, ...], place: _Place) -> bool:
    """Whether all of a pin's current surely passes a place on its way: where several batteries feed it, only the last
    fuse, and the batteries together, are sure."""
    kind, names = way[0]
    several = kind == "battery" and len(names) > 1
    return not several or place in (way[0], way[-1])


def _in_parallel(powered: Powered) -> Mapping[str, tuple[str, ...]]:
    """Fuses with both sides on the same two pieces of metal: each carries a share that nobody knows."""
    circuit, state = powered.circuit, powered.state
    piece = _pieces(powered)
    by_ends: dict[frozenset[int], list[str]] = {}
    for link, (a, b) in zip(circuit.links, circuit.ends, strict=True):
        fitted = link.kind in PROTECTIVE and holds(link.condition, state.fitting) == Answer.YES
        if fitted and link.part not in state.pulled:
            by_ends.setdefault(frozenset((piece[a], piece[b])), []).append(link.part)
    return {name: tuple(names) for names in by_ends.values() if len(names) > 1 for name in names}


def _pieces(powered: Powered) -> list[int]:
    """For each terminal the first one of those that nothing but wire, splices and plugs joins it to."""
    circuit, state = powered.circuit, powered.state
    piece = [-1] * len(circuit.nodes)
    for start in range(len(piece)):
        if piece[start] >= 0:
            continue
        piece[start] = start
        todo = [start]
        while todo:
            for i in circuit.at[todo.pop()]:
                link = circuit.links[i]
                if link.kind in _METAL and holds(link.condition, state.fitting) != Answer.NO:
                    new = [end for end in circuit.ends[i] if piece[end] < 0]
                    for end in new:
                        piece[end] = start
                    todo += new
    return piece


_TAKE_NOTHING = ("socket", "starter")
"""What takes no current by itself: a socket with nothing in it, an open contact (practice, see `typical`)."""

_METAL = ("wire", "copper", "chart", "joint", "cavity")

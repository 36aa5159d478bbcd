"""What each battery, fuse and strap carries in a state of the vehicle, as far as currents are typed in."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.behind_resistors import behind_resistors
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.power.returning import returns_of
from circuitmap.power.series_currents import currents_in_series
from circuitmap.power.side_by_side import fuses_side_by_side
from circuitmap.power.why import why
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Part, Relay, Resistor, Terminal, is_unnamed


@dataclass(frozen=True, slots=True)
class Carried:
    """The current through batteries (several, where each may feed the others' loads), a fuse (several in parallel), or
    what it returns through: a shunt, a sensor in the minus cable, a wire with a name, such as a strap.

    `amps` are those of `parts`. `untyped` draw here as well, but nobody typed how much; of `shared` it is typed how
    much they draw by all their fuses together, or alone, but not how much by each, or through one another. Coils of
    relays are counted where it was typed what they take.
    """

    kind: Literal["battery", "fuse", "return"]
    names: tuple[str, ...]
    amps: Band
    parts: tuple[str, ...]
    untyped: tuple[str, ...]
    shared: tuple[str, ...]


class _Drawn(NamedTuple):
    """What one load takes by one or several of its pins; no `amps` where that was not typed in. It goes back by one of
    the terminals `back`, to what feeds `fed_at`: its own pins, or those of the loads before it. `less`: it was typed,
    but here it takes less, and nobody knows how much."""

    part: str
    pins: tuple[Terminal, ...]
    amps: Band | None
    back: tuple[Terminal, ...] = ()
    fed_at: tuple[Terminal, ...] = ()
    less: bool = False


_Place = tuple[Literal["battery", "fuse", "return"], tuple[str, ...]]
_Sum = tuple[list[Band], dict[str, None], dict[str, None], dict[str, None]]
"""Amperes, whose they are, of whom none are typed, who shares them."""
_ORDER = ("battery", "fuse", "return")


def carried(powered: Powered, constant: Mapping[str, bool]) -> tuple[Carried, ...]:
    """Batteries first, then fuses in the order in which they were typed, each where anything certain passes it.
    `constant` are the loads that nothing turns off: they take what they take asleep."""
    together = fuses_side_by_side(powered)
    sums: dict[_Place, _Sum] = {}
    loads = (_drawn(powered, n, constant.get(name, False)) for n, name in enumerate(powered.plan.loads))
    for takes in (*loads, _drawn_by_coils(powered), _drawn_in_series(powered)):
        for drawn in takes:
            ways = [_places(powered, pin, together, drawn.back) for pin in drawn.pins]
            for place in dict.fromkeys(place for way in ways for place in way):
                amps, parts, untyped, shared = sums.setdefault(place, ([], {}, {}, {}))
                share = next(way[place] for way in ways if place in way)
                if drawn.amps is None:
                    (shared if drawn.less else untyped)[drawn.part] = None
                elif all(place in way and _whole(way, place) for way in ways):
                    amps.append(Band(share * drawn.amps.low, share * drawn.amps.high))
                    parts[drawn.part] = None
                else:
                    shared[drawn.part] = None
            for name, share, whole in returns_of(powered, drawn.fed_at or drawn.pins, drawn.back):
                amps, parts, untyped, shared = sums.setdefault(("return", (name,)), ([], {}, {}, {}))
                if drawn.amps is None:
                    (shared if drawn.less else untyped)[drawn.part] = None
                elif whole:
                    amps.append(Band(share * drawn.amps.low, share * drawn.amps.high))
                    parts[drawn.part] = None
                else:
                    shared[drawn.part] = None
    order = {name: number for number, name in enumerate(powered.circuit.platform.parts)}
    found = [
        Carried(kind, names, Band(sum(its.low for its in amps), sum(its.high for its in amps)), *map(tuple, named))
        for (kind, names), (amps, *named) in sums.items()
    ]
    return tuple(sorted(found, key=lambda its: (_ORDER.index(its.kind), min(order.get(name, 0) for name in its.names))))


def _drawn(powered: Powered, number: int, constant: bool) -> Iterator[_Drawn]:
    """What a load surely takes. One that waits at its control pin, or may, takes what it takes asleep, where that is
    typed. Nothing without a way back to the battery that feeds it, and a module not without the supply it needs."""
    load = powered.loads[powered.plan.loads[number]]
    part = powered.circuit.platform.parts[load.name]
    pins = tuple(pin.terminal for pin in load.pins if pin.live == Answer.YES)
    if isinstance(part, Resistor) and part.ohms and load.draws == Answer.YES and pins:
        amps = powered.circuit.platform.supply_volts / part.ohms
        yield _Drawn(load.name, pins[:1], Band(amps, amps), powered.circuit.loads[load.name].grounds)
    if not isinstance(part, Load) or load.name in powered.state.feeding:
        return
    flows = powered.draws[number] if part.kind == "module" else powered.between_plus_and_minus(number)
    if not pins or flows != YES:
        return
    waits = load.draws != Answer.YES
    back = powered.circuit.loads[load.name].grounds
    asleep, awake, running = (part.asleep, part.asleep_at), (part.awake, part.awake_at), (part.running, part.running_at)
    if part.kind == "module" or (load.awake == Answer.YES and part.awake is not None):
        whole, by_pin = awake if load.awake == Answer.YES else asleep
    elif waits or (constant and part.asleep is not None):
        whole, by_pin = asleep
    else:
        whole, by_pin = running if part.running is not None else asleep
    if by_pin and not all(is_unnamed(pin.pin) for pin in pins):  # which of those takes how much nobody can say
        for pin in pins:
            if pin.pin in by_pin:
                yield _Drawn(load.name, (pin,), by_pin[pin.pin], back)
    elif whole is not None and whole == part.running and behind_resistors(powered, load.name):
        yield _Drawn(load.name, pins, None, back, less=True)
    elif whole is not None or not (waits or part.kind in _TAKE_NOTHING):
        yield _Drawn(load.name, pins, whole, back)


def _drawn_by_coils(powered: Powered) -> Iterator[_Drawn]:
    """What the coils of relays take that are surely pulled in, where it was typed."""
    nodes, seen = powered.circuit.nodes, powered.supply
    for coil in powered.plan.coils:
        part = powered.circuit.platform.parts[coil.relay]
        if isinstance(part, Relay) and part.takes is not None and powered.energised[coil.relay] == Answer.YES:
            live = [nodes[its] for its in (coil.plus, coil.minus) if seen[nodes[its]] == Answer.YES]
            if live:
                minus = coil.minus if live[0] == nodes[coil.plus] else coil.plus
                yield _Drawn(coil.relay, (live[0],), part.takes, (nodes[minus],))


def _drawn_in_series(powered: Powered) -> Iterator[_Drawn]:
    """What loads and coils take through one another: from a battery where one of them is live, and back from where one
    is grounded."""
    found = currents_in_series(powered)
    live = tuple(its.at_plus for its in found if its.at_plus is not None)
    for its in found:
        amps = Band(its.amps, its.amps) if its.amps is not None else None
        less = its.name not in its.untyped or _is_typed(powered.circuit.platform.parts[its.name])
        if its.at_plus is not None:
            yield _Drawn(its.name, (its.at_plus,), amps, less=less)
        if its.at_ground is not None:
            yield _Drawn(its.name, (), amps, (its.at_ground,), live, less)


def _is_typed(part: Part) -> bool:
    """Whether any of what it takes was typed in."""
    return isinstance(part, Load) and any(its is not None for its in (part.running, part.asleep, part.awake))


def _places(
    powered: Powered, pin: Terminal, together: Mapping[str, tuple[str, ...]], back: Sequence[Terminal]
) -> dict[_Place, float]:
    """The batteries and fuses whose current a pin's is, by its shortest way, and how much of it flows there: before a
    converter it is as much less as the voltage is higher, its own loss not counted. A battery to which nothing returns
    from `back`, behind an open switch in the minus, gives nothing."""
    way = why(powered, pin)
    links = [step.link for step in way.steps if step.link is not None]
    batteries = powered.batteries(pin) or ((way.source.part,) if way.origin == "battery" and way.source else ())
    if not any(link.output is not None and link.output.volts for link in links):
        batteries = _returned_to(powered, batteries, back)
    places: dict[_Place, float] = {}
    volts = powered.circuit.platform.supply_volts
    at = next((link.output.volts for link in reversed(links) if link.output is not None and link.output.volts), volts)
    here = volts
    if batteries:
        places["battery", batteries] = at / here
    for link in links:
        if link.output is not None and link.output.volts:
            here = link.output.volts
        elif link.kind in PROTECTIVE:
            places.setdefault(("fuse", together.get(link.part, (link.part,))), at / here)
    return places


def _returned_to(powered: Powered, batteries: tuple[str, ...], back: Sequence[Terminal]) -> tuple[str, ...]:
    """Those of some batteries that current from these pins surely returns to; all, where that is not known of any."""
    number, ground, net_of = powered.circuit.number, powered.settled.reach.ground, powered.nets.net_of
    bits = 0
    for pin in back:
        bits |= ground[net_of[number[pin]]] if pin in number else 0
    theirs = {cell.battery for n, cell in enumerate(powered.plan.cells) if bits >> n & 1}
    return tuple(its for its in batteries if its in theirs) if bits else batteries


def _whole(way: Mapping[_Place, float], place: _Place) -> bool:
    """Whether all of a pin's current surely passes a place on its way: where several batteries feed it, only the last
    fuse, and the batteries together, are sure."""
    order = list(way)
    kind, names = order[0]
    several = kind == "battery" and len(names) > 1
    return not several or place in (order[0], order[-1])


_TAKE_NOTHING = ("socket", "starter")
"""What takes no current by itself: a socket with nothing in it, an open contact (practice, see `typical`)."""

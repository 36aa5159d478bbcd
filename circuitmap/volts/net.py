"""The net of resistances of one state: what conducts, what takes current, what gives it.

Nodes are those of the circuit; all volts are against the minus of one battery, where the black lead is held.
"""

from collections import deque
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple, assert_never

from circuitmap.circuit.links import Circuit, Link
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import function_named
from circuitmap.power.nets import NO, YES
from circuitmap.quantities import Band
from circuitmap.volts.closed import Closed, closed_in, may_conduct
from circuitmap.volts.nominal import nominal_volts
from circuitmap.volts.ohms import SOUND, THICK_CABLE, OhmBand, fuse_ohms, wire_ohms
from circuitmap.volts.takers import Takes, takes_of
from circuitmap.wiring.ampacity import thinnest_for
from circuitmap.wiring.parts import WORKS_EITHER_WAY, Fuse, Load, Relay, Resistor, Terminal

RESTED = Band(12.2, 12.7)
USUAL_RESTED = 12.6
"""Volts of a charged 12 V battery at rest, inside (a table giving BCI as its source says 12.24 half full to 12.65:
seen)."""
CHARGING = Band(13.5, 14.7)
USUAL_CHARGING = 14.2
"""Volts while the alternator feeds (common practice, no source)."""
DIODE_DROP = 0.7
"""Volts across a diode that conducts (common practice, no source)."""


class Resistance(NamedTuple):
    """Something that conducts between two nodes. `link` is the link's number, -1 for a way that nobody typed in; of a
    diode (`drop` volts) only the bounds of the drop are known, and it conducts from `a` to `b`."""

    a: int
    b: int
    link: int
    ohms: OhmBand
    drop: float = 0.0


class CurrentTaker(NamedTuple):
    """A load or coil, from its supply pin `pin` to its ground pin; it takes `share` of what `takes` says."""

    a: int
    b: int
    part: str
    takes: Takes
    share: float
    pin: str = ""

    def is_of(self, names: Container[str]) -> bool:
        """Whether it is one of these loads, or belongs to one of these pins."""
        return self.part in names or f"{self.part}.{self.pin}" in names


class SourceCell(NamedTuple):
    """What gives current: its volts without load, and the ohms inside it. `name`: the battery, the output of a
    converter, or the place from which an undrawn feed comes. `one_way`: a converter's, into which nothing flows back;
    what it takes for that is the taker number `before`, -1: left out."""

    plus: int
    minus: int
    name: str
    volts: Band
    usual: float
    ohms: OhmBand
    one_way: bool = False
    before: int = -1


@dataclass(frozen=True)
class ResistanceNet:
    """`reference` is the node whose volts are 0. `closed` says what conducts and why."""

    circuit: Circuit
    reference: int
    resistances: tuple[Resistance, ...]
    takers: tuple[CurrentTaker, ...]
    cells: tuple[SourceCell, ...]
    closed: Closed

    def at_link(self, link: int) -> int:
        """The number of the resistance that a link is; -1 where it does not conduct."""
        return next((n for n, its in enumerate(self.resistances) if its.link == link), -1)


class NoBattery(NamedTuple):
    """No battery is typed in, or none is fitted: there are no volts to work out."""


def net_of(
    powered: Powered,
    running: Iterable[str],
    at_posts: Mapping[str, float],
    drew: frozenset[str] = frozenset(),
    closed: Closed | None = None,
    sound: "ResistanceNet | None" = None,
) -> ResistanceNet | NoBattery:
    """The net in a state while `running` run. `at_posts` are volts measured at batteries; `drew` are loads that are
    switched on besides, although something may keep the current from them. `closed` says what conducts, where that is
    known; `sound` is the net of the same car with nothing interrupted, whose resistances are taken over."""
    circuit, plan = powered.circuit, powered.plan
    fitted = [cell for cell in plan.cells if powered.nets.link_level[cell.link] != NO]
    if not fitted:
        return NoBattery()
    running = tuple(running)
    if closed is None:
        closed = closed_in(powered, running)
    feeding = _batteries_of(powered, running)
    tops = {(cell.battery, cell.plus) for cell in fitted}  # of two in a row the lower one's minus is where the lead is
    ends = [cell for cell in fitted if (cell.battery, cell.minus) not in tops] or fitted
    reference = next((cell.minus for cell in ends if cell.battery in feeding), ends[0].minus)
    known = {its.link: its for its in sound.resistances if its.link >= 0} if sound is not None else {}
    made = _made_in(circuit, closed)
    new = [i for i in closed.links if i not in known and i not in made and circuit.links[i].kind != "load"]
    ratings = _ratings(powered, closed) if new else {}
    for i in new:
        drop = DIODE_DROP if circuit.links[i].kind == "diode" else 0.0
        known[i] = Resistance(*circuit.ends[i], i, _ohms_of(circuit, i, ratings), drop)
    resistances = [known[i] for i in sorted(closed.links) if i in known]
    number = circuit.number
    body = number.get(Terminal("case"))
    for node in closed.undrawn_grounds:
        if body is not None and node != body:
            resistances.append(Resistance(node, body, -1, SOUND["undrawn"]))
    on = frozenset((*running, *drew, *(name for n, name in enumerate(plan.loads) if powered.draws[n] == YES)))
    takers = [*_takers(powered, on)]
    for taker in takers:  # a load whose ground nobody typed in is taken to be grounded
        if circuit.nodes[taker.b].pin == "?ground" and body is not None:
            resistances.append(Resistance(taker.b, body, -1, SOUND["undrawn"]))
    cells = [*_cells(powered, at_posts)]
    for node in closed.undrawn_feeds:
        volts, usual = _emf(powered, nominal_volts(circuit)[node])
        cells.append(
            SourceCell(
                node, reference, str(circuit.nodes[node]), Band(volts.low * 0.95, volts.high), usual, SOUND["undrawn"]
            )
        )
    charged = _joined_to(circuit, closed, made)
    for n, cell in enumerate(cells):
        most = max((its for node, its in charged if node == cell.plus), default=0.0)
        if cell.ohms.mark != "typed" and cell.volts.high < most <= cell.volts.high * _CHARGES:
            cells[n] = cell._replace(volts=Band(cell.volts.low, most))
    for i, ground in made.items():
        before, cell = _converter(circuit, i, ground, len(takers))
        takers.append(before)
        cells.append(cell)
    return ResistanceNet(circuit, reference, tuple(resistances), tuple(takers), tuple(cells), closed)


GIVES = Band(0.96, 1.15)
"""What a converter gives, as a share of the volts that were typed (judgement: one that is called after 12 V may give
the 13.8 V of a battery being charged)."""
LOSES = 1.25
"""How much more a converter takes than it gives, in watts, at the most (judgement; what was typed as its own draw is
counted besides)."""


def _made_in(circuit: Circuit, closed: Closed) -> dict[int, int]:
    """The outputs that conduct and make a voltage of their own, one link of each, with the node of the module's ground
    pin."""
    found: dict[str, tuple[int, int]] = {}
    for i in sorted(closed.links):
        output = circuit.links[i].output
        if output is not None and output.volts and output.module in circuit.loads:
            grounds = (circuit.number.get(pin) for pin in circuit.loads[output.module].grounds)
            ground = next((node for node in grounds if node is not None), None)
            if ground is not None:
                found.setdefault(output.contact, (i, ground))
    return dict(found.values())


_CHARGES = 1.2
"""How far a converter's volts may be above a battery's that it charges; further, and that is no way to charge it
(judgement)."""


def _joined_to(circuit: Circuit, closed: Closed, made: Iterable[int]) -> list[tuple[int, float]]:
    """The nodes that the outputs of converters are joined to, each with the most that such a one may give."""
    found = []
    for i in made:
        output = circuit.links[i].output
        seen, todo = {circuit.ends[i][1]}, [circuit.ends[i][1]]
        while todo:
            node = todo.pop()
            for near in circuit.at[node]:
                other = sum(circuit.ends[near]) - node
                if near in closed.links and near not in made and other not in seen:
                    seen.add(other)
                    todo.append(other)
        found += [(node, output.volts * GIVES.high) for node in seen if output is not None]
    return found


def _converter(circuit: Circuit, i: int, ground: int, taker: int) -> tuple[CurrentTaker, SourceCell]:
    """What a converter takes before, which hangs on what it gives, and the source that it is behind."""
    source, plus = circuit.ends[i]
    link = circuit.links[i]
    volts = link.output.volts if link.output is not None else 0.0
    takes = Takes("power", nominal_volts(circuit)[source], 1.0, 1.0, LOSES, True, "what it gives")
    return CurrentTaker(source, ground, link.part, takes, 1.0, link.a.pin), SourceCell(
        plus, ground, link.contact, Band(volts * GIVES.low, volts * GIVES.high), volts,
        SOUND["converter inside"], True, taker,
    )  # fmt: skip


def _batteries_of(powered: Powered, running: Iterable[str]) -> frozenset[str]:
    """The batteries that feed what runs: the black lead is held to the minus of the first of them."""
    functions = (function_named(powered.circuit, name) for name in running)
    pins = (pin for its in functions if its is not None for pin in its.supplies)
    return frozenset(battery for pin in pins for battery in powered.batteries(pin))


def _emf(powered: Powered, nominal: float) -> tuple[Band, float]:
    """The volts of a battery of so many nominal volts without load, and what is usual."""
    times = nominal / 12.0
    band, usual = (CHARGING, USUAL_CHARGING) if powered.state.feeding else (RESTED, USUAL_RESTED)
    return Band(band.low * times, band.high * times), usual * times


def _cells(powered: Powered, at_posts: Mapping[str, float]) -> Iterator[SourceCell]:
    """The cells of batteries; one whose posts were measured holds that voltage, whatever is drawn."""
    platform = powered.circuit.platform
    several: dict[str, int] = {}
    for cell in powered.plan.cells:
        several[cell.battery] = several.get(cell.battery, 0) + 1
    for cell in powered.plan.cells:
        if powered.nets.link_level[cell.link] == NO:
            continue
        count = several[cell.battery]
        measured = at_posts.get(cell.battery)
        if measured is not None:
            its = measured / count
            held = OhmBand(_HELD, _HELD, _HELD, "typed", "measured at its posts")
            yield SourceCell(cell.plus, cell.minus, cell.battery, Band(its, its), its, held)
            continue
        nominal = getattr(platform.parts[cell.battery], "volts", None) or platform.supply_volts
        volts, usual = _emf(powered, nominal / count)
        times = nominal / count / 12.0
        of_12 = SOUND["battery inside"]
        inside = of_12._replace(low=of_12.low * times, usual=of_12.usual * times, high=of_12.high * times)
        yield SourceCell(cell.plus, cell.minus, cell.battery, volts, usual, inside)


_HELD = 1e-6


def _takers(powered: Powered, on: frozenset[str]) -> Iterator[CurrentTaker]:
    """Everything that lets current through: what is on, and what any current would go through (lamps, heaters, motors,
    coils), be it on or not."""
    circuit, plan = powered.circuit, powered.plan
    nominal = nominal_volts(circuit)
    counts: dict[tuple[str, int], int] = {}
    for path in plan.paths:
        if may_conduct(powered, path.link):
            key = plan.loads[path.load], path.supply
            counts[key] = counts.get(key, 0) + 1
    for path in plan.paths:
        name = plan.loads[path.load]
        part = circuit.platform.parts[name]
        if name in powered.state.feeding or not may_conduct(powered, path.link) or not path.supply_known:
            continue
        passive = part.kind in (*WORKS_EITHER_WAY, "resistor") and not path.controls and not path.needs
        surely = powered.nets.link_level[path.link] == YES
        pin = circuit.nodes[path.supply].pin
        is_on = name in on or f"{name}.{pin}" in on
        if not is_on and not (passive and surely):
            continue
        takes = takes_of(part, nominal.between(path.supply, path.ground), _runs(powered, part, is_on), pin)
        if takes is not None:
            share = 1.0 / counts[name, path.supply]
            if part.kind == "module" and not takes.by_pin:  # what it takes is that of all its supply pins together
                share /= sum(load == name for load, _ in counts)
            yield CurrentTaker(*circuit.ends[path.link], name, takes, share, pin)
    for coil in plan.coils:
        takes = takes_of(circuit.platform.parts[coil.relay], nominal.between(coil.plus, coil.minus), True)
        if takes is not None and powered.nets.link_level[coil.link] == YES:
            yield CurrentTaker(coil.plus, coil.minus, coil.relay, takes, 1.0)


def _runs(powered: Powered, part: object, on: bool) -> bool:
    """Whether a load takes what it takes running; a module that nothing woke takes what it takes asleep."""
    if isinstance(part, Load) and part.kind == "module" and on:
        sleeper = powered.plan.sleeper_number.get(part.name)
        return sleeper is None or powered.settled.standing.awake[sleeper] != NO
    return True


def _ohms_of(circuit: Circuit, i: int, ratings: Mapping[int, float]) -> OhmBand:
    """What a sound link has."""
    link = circuit.links[i]
    part = circuit.platform.parts.get(link.part)
    match link.kind:
        case "wire" | "copper" | "chart":
            return _wire(circuit, i, link, ratings)
        case "fuse":
            return fuse_ohms(part.style, part.rating) if isinstance(part, Fuse) else SOUND["fusible"]
        case "link":
            return SOUND["fusible"]
        case "breaker":
            return SOUND["breaker"]
        case "contact":
            return SOUND["relay contact"] if isinstance(part, Relay) else SOUND["switch contact"]
        case "output":
            return SOUND["output"]
        case "cavity":
            return SOUND["cavity"]
        case "body":
            return SOUND["ring"]
        case "joint":
            return SOUND["joint"]
        case "diode" | "resistor" | "coil" | "load" | "battery":
            of_battery = [ratings.get(node) == 0.0 for node in circuit.ends[i]]
            if isinstance(part, Resistor) and part.ohms:
                return OhmBand(part.ohms * 0.95, part.ohms, part.ohms * 1.05, "typed", "its ohms")
            if link.kind == "resistor":
                return SOUND["shunt"] if any(of_battery) else SOUND["dropping"]
            return SOUND["joint"]
        case _ as unknown:
            assert_never(unknown)


def _wire(circuit: Circuit, i: int, link: Link, ratings: Mapping[int, float]) -> OhmBand:
    platform = circuit.platform
    wire = link.wire
    if wire is not None and wire.size is not None:
        return wire_ohms(wire.size, wire.length)
    boxes = [platform.box_of(end.part) for end in (link.a, link.b)]
    if link.kind == "copper" or (boxes[0] is not None and boxes[0] is boxes[1]):
        return SOUND["tracks"]
    rating = ratings.get(circuit.ends[i][0], ratings.get(circuit.ends[i][1], 0.0))
    size = thinnest_for(rating) if rating else THICK_CABLE
    what = f"no size typed: taken as the {size:.3g} mm2 that a {rating:g} A fuse allows" if rating else "no size typed"
    return wire_ohms(size, wire.length if wire is not None else None)._replace(source=what, mark="judgement")


def _ratings(powered: Powered, closed: Closed) -> dict[int, float]:
    """For each node the rating of the fuse before it; on the ground side of a load, of the fuse before that load."""
    circuit = powered.circuit
    parts = circuit.platform.parts
    around = _around(circuit, closed.links)
    found: dict[int, float] = {}
    if circuit.platform.body_return:  # what hangs on a battery's post before any fuse carries all of its current
        for cell in powered.plan.cells:
            for post in (cell.minus, cell.plus):
                _spread(found, post, 0.0, around)
    for i, link in enumerate(circuit.links):
        part = parts.get(link.part)
        if link.kind in PROTECTIVE and i in closed.links and isinstance(part, Fuse) and part.rating:
            _spread(found, circuit.ends[i][1], part.rating, around)
    for i, link in enumerate(circuit.links):
        a, b = circuit.ends[i]
        if link.kind in ("load", "coil") and found.get(a) and b not in found:
            _spread(found, b, found[a], around)
    return found


def _around(circuit: Circuit, links: frozenset[int]) -> dict[int, list[int]]:
    """Nodes joined to each node by what conducts and is no fuse and no way into the body."""
    around: dict[int, list[int]] = {}
    for i in links:
        if circuit.links[i].kind not in (*PROTECTIVE, "body"):
            a, b = circuit.ends[i]
            around.setdefault(a, []).append(b)
            around.setdefault(b, []).append(a)
    return around


def _spread(found: dict[int, float], start: int, rating: float, around: Mapping[int, list[int]]) -> None:
    queue = deque([start])
    seen = {start}
    while queue:
        node = queue.popleft()
        if found.get(node, float("inf")) <= rating:
            continue
        found[node] = rating
        for other in around.get(node, ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)

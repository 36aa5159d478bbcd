"""A circuit as tables of numbers, made once: every evaluation of a state starts from them."""

from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.circuit.links import Circuit, Link
from circuitmap.power.driven_lines import driven_lines, perhaps_driven
from circuitmap.power.state import SOURCES
from circuitmap.power.wake_pins import WakePin, WakePins, carried, leads_back, led_past
from circuitmap.wiring.drawn_whole import is_drawn_whole
from circuitmap.wiring.parts import FIRST, WORKS_EITHER_WAY, Condition, Fuse, Joint, Load, Relay, Switch, Terminal
from circuitmap.wiring.platform import Output, Stated


class Cell(NamedTuple):
    """A battery, or one of two in series: a source of current of its own."""

    link: int
    plus: int
    minus: int
    battery: str
    condition: Condition


class Coil(NamedTuple):
    relay: str
    link: int
    plus: int
    minus: int


class Control(NamedTuple):
    """A pin that switches a load on, by its node: while plus reaches it, or ground where no supply ever reaches it.
    `known`: what leads to it was typed in."""

    node: int
    by_ground: bool
    known: bool


class LoadPath(NamedTuple):
    """Where a load takes current, from a supply pin to a ground pin; link number and node numbers.

    `supply_known` and `ground_known` are false when that side was not transcribed (no pin, or no wire to any of them);
    `either_way`: the current may flow through it in both directions; `controls` are the pins one of which must be on
    for it to draw; empty where it has no such pins; `needs` are nodes that must all be live.
    """

    load: int
    link: int
    supply: int
    ground: int
    supply_known: bool
    ground_known: bool
    either_way: bool
    condition: Condition
    controls: "tuple[Control, ...]" = ()
    needs: tuple[int, ...] = ()


class Sleeper(NamedTuple):
    """A part that can be awake or asleep: a module, a member of a network, a part with outputs.

    `paths` are numbers of load paths. `needs_all`: all of its pins must say so, not any.
    """

    name: str
    load: int
    paths: tuple[int, ...]
    wake_pins: tuple[WakePin, ...]
    run_on_low: float
    run_on_high: float
    needs_all: bool = False


class PlannedContact(NamedTuple):
    """`opposite` are links that cannot be closed while this one is: the other throw of a changeover contact."""

    relay: int
    energised: bool
    opposite: tuple[int, ...]


class SwitchContact(NamedTuple):
    switch: str
    closed_in: tuple[str, ...]
    rest: str
    is_key: bool


class Plan:
    """The tables. `relays`, `loads` and `sleepers` are in name order; everything else refers to them by number."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        platform = circuit.platform
        number = circuit.number
        links = circuit.links
        self.cells = tuple(
            Cell(i, number[link.a], number[link.b], link.part, link.condition)
            for i, link in enumerate(links)
            if link.kind == "battery"
        )
        self.feeders = tuple(self._feeders())
        self._pluses = frozenset(cell.plus for cell in self.cells)
        self._returns = frozenset(number[end] for end in circuit.on_ground)
        self._led_to: dict[frozenset[int], dict[int, tuple[int, int] | None]] = {}
        minuses = {cell.minus for cell in self.cells}
        self.returns = tuple(number[t] for t in circuit.returns if number[t] not in minuses)
        self.bodies = tuple(number[t] for t in circuit.on_ground if number[t] not in minuses)
        """The body, also where a switch in the minus lies before it."""
        self.unknown_supplies = tuple(sorted(number[t] for t in circuit.unknown_supplies if t in number))
        self.unknown_grounds = tuple(sorted(number[t] for t in circuit.unknown_grounds if t in number))

        self.loads = tuple(sorted(circuit.loads))
        load_number = {name: n for n, name in enumerate(self.loads)}
        coils = sorted((link.part, i) for i, link in enumerate(links) if link.kind == "coil")
        self.coils = tuple(Coil(part, i, *circuit.ends[i]) for part, i in coils)
        self.relays = tuple(sorted(p.name for p in platform.parts.values() if isinstance(p, Relay)))
        self.relay_number = {name: n for n, name in enumerate(self.relays)}
        held = {p.name: p.holds.high for p in platform.parts.values() if isinstance(p, Relay) and p.holds}
        self.holds = tuple(held.get(name, 0.0) for name in self.relays)
        """Minutes that each relay may stay pulled in once its coil is off."""
        self.coils_of: tuple[list[int], ...] = tuple([] for _ in self.relays)
        for n, coil in enumerate(self.coils):
            self.coils_of[self.relay_number[coil.relay]].append(n)
        self.paths = tuple(
            self._load_path(i, link, load_number[link.part])
            for i, link in enumerate(links)
            if link.kind == "load" and link.part in load_number
        )
        self.paths_of: tuple[tuple[int, ...], ...] = self._by_load()
        self.assumes_ground = tuple(self._ground_may_be_assumed(name) for name in self.loads)
        self.stated = self._stated_sources()
        self.sleepers, self.works_output = self._sleepers(load_number)
        worked = set(self.works_output.values())
        self.sleeper_number = {its.name: n for n, its in enumerate(self.sleepers) if n not in worked}
        self.driven_lines = driven_lines(circuit, {its.name: its.wake_pins for its in self.sleepers if its.wake_pins})
        self.perhaps_driven = perhaps_driven(circuit.platform)

        self.switch_contacts: dict[int, SwitchContact] = {}
        self.relay_contacts: dict[int, PlannedContact] = {}
        self.outputs: dict[int, tuple[int, Output]] = {}
        for i, link in enumerate(links):
            if link.kind == "contact":
                part = platform.parts[link.part]
                if isinstance(part, Switch):
                    rest = part.positions[0] if part.positions else ""
                    self.switch_contacts[i] = SwitchContact(part.name, link.closed_in, rest, part.is_key)
                elif link.energised is not None:
                    relay = self.relay_number[link.part]
                    self.relay_contacts[i] = PlannedContact(relay, link.energised, self._opposite(i, link))
            elif link.output is not None:
                mind = self.works_output.get(link.output)
                self.outputs[i] = (self.sleeper_number[link.output.module] if mind is None else mind, link.output)
        self.bleeders = tuple(i for i, its in enumerate(links) if its.kind == "resistor" and its.part in circuit.loads)
        self.keys = tuple(p for p in platform.parts.values() if isinstance(p, Switch) and p.is_key)

    def sleepers_called(self, name: str) -> tuple[int, ...]:
        """The sleeper of a part, by number, or those of an output, one for each line that says when it is on."""
        part = self.sleeper_number.get(name)
        return (part,) if part is not None else tuple(n for o, n in self.works_output.items() if o.contact == name)

    def _load_path(self, i: int, link: Link, load: int) -> LoadPath:
        part = self.circuit.platform.parts[link.part]
        pins = self.circuit.loads[link.part]
        ground_known = pins.ground_drawn and any(self._is_wired(pin) for pin in pins.grounds)
        two_terminals = len(pins.supplies) == 1 and len(pins.grounds) == 1 and ground_known
        either_way = two_terminals and part.kind in (*WORKS_EITHER_WAY, "resistor")
        either_way = either_way or (ground_known and isinstance(part, Switch))  # the coils of a latching relay
        a, b = self.circuit.ends[i]
        controls = self._controls_of(link.part)
        needed, known = part.needs if isinstance(part, Load) else (), (*pins.supplies, *pins.perhaps)
        needs = tuple(self.circuit.number[its] for pin in needed if (its := Terminal(part.name, pin)) in known)
        return LoadPath(load, i, a, b, pins.supply_drawn, ground_known, either_way, link.condition, controls, needs)

    def _feeders(self) -> Iterator[Cell]:
        """Every alternator and charger, from ground to supply, as a cell that is there while it feeds. One whose
        ground nobody drew has it where batteries have theirs."""
        circuit = self.circuit
        for i, link in enumerate(circuit.links):
            if link.kind == "load" and circuit.platform.parts[link.part].kind in SOURCES:
                wired = any(self._is_wired(pin) for pin in circuit.loads[link.part].grounds)
                minuses = () if wired else circuit.on_ground
                for minus in (link.b, *minuses):
                    plus = circuit.number[link.a]
                    yield Cell(i, plus, circuit.number[minus], link.part, link.condition)

    def _controls_of(self, name: str) -> tuple[Control, ...]:
        """The control pins of a load that does not decide for itself, such as a starter or a fan; a module decides for
        itself."""
        part = self.circuit.platform.parts[name]
        if not isinstance(part, Load) or part.kind == "module":
            return ()
        found = []
        for pin in part.pins_with("control"):
            node = self.circuit.number.get(Terminal(name, pin), -1)
            by_plus = node >= 0 and self._leads_to(self._pluses, node, name)
            by_ground = node >= 0 and not by_plus and self._leads_to(self._returns, node, name)
            found.append(Control(node, by_ground, by_plus or by_ground))
        return tuple(found)

    def _is_wired(self, pin: Terminal) -> bool:
        """Whether anything outside its own part leads to a pin, be it through a switch inside that part."""
        at = self.circuit.links_at
        return any(
            any(other.wire for other in at(link.other(pin)))
            if link.kind == "contact"
            else link.part != pin.part or link.kind == "body"
            for link in at(pin)
        )

    def _by_load(self) -> tuple[tuple[int, ...], ...]:
        found: list[list[int]] = [[] for _ in self.loads]
        for n, path in enumerate(self.paths):
            found[path.load].append(n)
        return tuple(tuple(paths) for paths in found)

    def _ground_may_be_assumed(self, name: str) -> bool:
        """False where every sheet that shows the load is whole: then its ground would have been seen. What is known by
        rows of a fuse chart alone is taken to be grounded."""
        return not is_drawn_whole(self.circuit.platform, name)

    def _sleepers(self, load_number: dict[str, int]) -> tuple[tuple[Sleeper, ...], dict[Output, int]]:
        """All of them, and which of them is that of an output that its inputs switch. Each such line has one of its
        own: several lines for one pin turn it on one or the other."""
        platform = self.circuit.platform
        names = {p.name for p in platform.parts.values() if p.kind == "module"}
        names.update(p.name for p in platform.loads if p.run_on is not None or p.pins_with("wake"))
        names.update(output.module for output in platform.outputs)
        names.update(name for network in platform.networks.values() for name in network.member_names)
        names.update(gateway.module for gateway in platform.gateways)
        grounds = (*self.bodies, *(cell.minus for cell in self.cells))
        pluses = (*(cell.plus for cell in self.cells), *(node for node, _ in self.stated))
        self.wakes = WakePins(self.circuit, pluses, grounds)
        found = []
        for name in sorted(names):
            part = platform.parts.get(name)
            load = load_number.get(name, -1)
            wake_pins: tuple[WakePin, ...] = ()
            low = high = 0.0
            if isinstance(part, Load):
                wake_pins = self.wakes.of(part)
                if part.run_on is not None:
                    low, high = part.run_on
            found.append(Sleeper(name, load, self.paths_of[load] if load >= 0 else (), wake_pins, low, high))
        works: dict[Output, int] = {}
        for output in platform.outputs:
            if output.when == "live":  # awake as long as its inputs say so, whatever its module does besides
                load = load_number.get(output.module, -1)
                part = platform.parts.get(output.module)
                pins = self.wakes.works(output, part) if isinstance(part, Load) else ()
                paths = self.paths_of[load] if load >= 0 else ()
                works[output] = len(found)
                found.append(Sleeper(output.contact, -1, paths, pins, 0.0, 0.0, True))
        return tuple(found), works

    def _opposite(self, i: int, link: Link) -> tuple[int, ...]:
        circuit = self.circuit
        return tuple(
            j
            for j in circuit.inside.get(link.part, ())
            if j != i and circuit.links[j].kind == "contact" and circuit.links[j].energised is not link.energised
            if {link.a, link.b} & {circuit.links[j].a, circuit.links[j].b}
        )

    def _stated_sources(self) -> tuple[tuple[int, Stated], ...]:
        """Labels of a sheet that stand in for a supply which is not drawn: no battery is found behind them."""
        found = []
        for stated in self.circuit.platform.stated:
            terminal = stated_terminal(self.circuit, stated)
            node = self.circuit.number.get(terminal)
            if node is not None and not self._drawn_to_a_battery(node, stated.part):
                found.append((node, stated))
        return tuple(found)

    def _drawn_to_a_battery(self, node: int, beside: str) -> bool:
        """Whether any way leads from a node to a battery's plus, with every contact closed, not through `beside`."""
        return self._leads_to(self._pluses, node, beside)

    def _leads_to(self, ends: frozenset[int], node: int, beside: str) -> bool:
        """The same for any ends: pluses, or grounds."""
        circuit = self.circuit
        supply = any(end == cell.plus for end in ends for cell in self.cells)
        if ends not in self._led_to:
            self._led_to[ends] = self._all_led_to(ends, supply)
        led_to = self._led_to[ends]
        if node not in led_to:
            return False
        links = circuit.links
        if not beside or led_past(led_to, node, lambda i: links[i].part == beside):
            return True
        return leads_back(circuit, node, ends, supply, lambda i, _: links[i].part == beside)

    def _all_led_to(self, ends: frozenset[int], supply: bool) -> dict[int, tuple[int, int] | None]:
        """All nodes to which a way leads from these ends, beside any part, each with the last link of a shortest way
        and the node before it."""
        found: dict[int, tuple[int, int] | None] = dict.fromkeys(sorted(ends))
        queue = deque(found)
        while queue:
            at = queue.popleft()
            for i, other in carried(self.circuit, at, supply, back=False):
                if other not in found:
                    found[other] = i, at
                    queue.append(other)
        return found


def stated_terminal(circuit: Circuit, stated: Stated) -> Terminal:
    """The terminal that a sheet's label speaks of: the feed side of a fuse, the supply of a load, else the pin
    itself."""
    part = circuit.platform.parts.get(stated.part)
    if stated.pin or part is None or isinstance(part, Joint):
        return Terminal(stated.part, stated.pin)
    if isinstance(part, Fuse):
        return Terminal(stated.part, FIRST)
    pins = circuit.loads.get(stated.part)
    return pins.supplies[0] if pins else Terminal(stated.part, stated.pin)


def plan_of(circuit: Circuit) -> Plan:
    """The tables of a circuit; made at the first call and kept for the lifetime of the circuit."""
    return circuit.derived(Plan)

"""Every conductor of a vehicle in a state, taken from the platform itself: the first half of the slow evaluator."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product

from circuitmap.circuit.links import Circuit
from circuitmap.power.plan import plan_of
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Fitting, holds
from circuitmap.wiring.parts import (
    Battery,
    Condition,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Part,
    Relay,
    Resistor,
    Switch,
    Terminal,
)
from circuitmap.wiring.platform import Output

Level = int
BODY = Terminal("case")


@dataclass
class Conductor:
    """Current passes between `a` and `b`; from a to b only if `one_way`. `level` says how surely, asked each time."""

    a: Terminal
    b: Terminal
    level: Callable[[], Level]
    one_way: bool = False
    moves: bool = False
    """Whether it is a contact or an output."""
    now: Level = 0
    """`level()` when it was last looked at."""
    condition: Condition = ()


@dataclass
class Cell:
    name: str
    plus: Terminal
    minus: Terminal
    level: Level
    feeds: bool = False
    """Whether it is an alternator or charger: what comes to its ground is not passed on to its plus."""
    condition: Condition = ()


@dataclass(frozen=True)
class World:
    """One way things may really be: which outputs are on by request, which undrawn places are live or grounded, which
    parts carry waking across."""

    requested: frozenset[str]
    true_supplies: frozenset[Terminal]
    true_grounds: frozenset[Terminal]
    crossed: frozenset[tuple[str, str, str]]


class SlowWiring:
    """What conducts in one state of one vehicle: in one possible world, or with everything unknown left open."""

    def __init__(self, circuit: Circuit, state: VehicleState, world: World | None = None) -> None:
        self.circuit, self.platform, self.state, self.world = circuit, circuit.platform, state, world
        self.unknown_supplies, self.unknown_grounds = set(circuit.unknown_supplies), set(circuit.unknown_grounds)
        if world is not None:
            self.unknown_supplies &= world.true_supplies
            self.unknown_grounds &= world.true_grounds
        self.stated = {(circuit.nodes[node], its) for node, its in plan_of(circuit).stated}
        self.relays: dict[str, Level] = {p.name: 0 for p in self.platform.parts.values() if isinstance(p, Relay)}
        self.fed: dict[str, Level] = {}
        self.awake: dict[str, Level] = {}
        self.out = state.unplugged | state.pulled
        self.conductors = [*self._wires(), *self._insides(), *self._outputs(), *self._body()]
        self._ask()

    @property
    def key(self) -> str:
        for part in self.platform.parts.values():
            if isinstance(part, Switch) and part.is_key:
                return self.state.key or self.state.switches.get(part.name, part.positions[0])
        return self.state.key

    @cached_property
    def conducting_with(self) -> list[list[Conductor]]:
        """The conductors that are there with each of these choices."""
        return [[it for it in self.conductors if holds(it.condition, choice)] for choice in self.choices]

    @cached_property
    def choices(self) -> list[Fitting]:
        """Every full choice of the equipment that nobody mentioned."""
        open_ones = [name for name in self.platform.options if name not in self.state.fitting]
        return [
            {**self.state.fitting, **dict(zip(open_ones, its, strict=True))}
            for its in product((True, False), repeat=len(open_ones))
        ]

    def _fitted(self, condition: Condition) -> Level:
        return int(holds(condition, self.state.fitting))

    def has_plus(self, terminal: Terminal) -> Level:
        """How surely plus is there: at first nowhere."""
        return 0

    def _always(self, condition: Condition) -> Callable[[], Level]:
        level = self._fitted(condition)
        return lambda: level

    def _cells(self) -> Iterator[Cell]:
        for part in self.platform.parts.values():
            if isinstance(part, Battery):
                posts = ["+", "mid", "-"] if part.series else ["+", "-"]
                for upper, lower in pairwise(posts):
                    level = 0 if part.name in self.out else self._fitted(part.condition)
                    ends = Terminal(part.name, upper), Terminal(part.name, lower)
                    yield Cell(f"{part.name} {upper}", *ends, level, condition=part.condition)
            elif self.feeds(part.name):
                pins = self.circuit.loads[part.name]
                wired = {end for wire in self.platform.wires_at.get(part.name, ()) for end in (wire.a, wire.b)}
                drawn = any(pin in wired or pin.pin == "case" for pin in pins.grounds)
                for plus, minus in product(pins.supplies, (*pins.grounds, *(() if drawn else self.circuit.returns))):
                    fitted = self._fitted(part.condition)
                    yield Cell(f"{part.name} {plus} {minus}", plus, minus, fitted, True, part.condition)

    def feeds(self, name: str) -> bool:
        """Whether it is an alternator or charger that feeds."""
        return name in self.state.feeding and name not in self.out and name in self.circuit.loads

    def _wires(self) -> Iterator[Conductor]:
        for wire in self.platform.wires:
            ends = [self.platform.parts[end.part] for end in (wire.a, wire.b)]
            if any(p.name in self.out and p.kind in ("splice", "bar", "ground", "terminal", "battery") for p in ends):
                continue
            far = ends[1]
            unsure = wire.kind == "chart" and not (isinstance(far, Fuse | Joint) or far.kind == "module")
            conditions = (wire.condition, *(p.condition for p in ends))
            level = min(*(self._fitted(its) for its in conditions), 1 if unsure else 2)
            yield Conductor(wire.a, wire.b, lambda level=level: level, condition=sum(conditions, ()))

    def _insides(self) -> Iterator[Conductor]:
        for part in self.platform.parts.values():
            if part.name in self.out:
                continue
            owner = part.owner if isinstance(part, Switch) else part.name
            if owner in self.out:
                continue
            pin = lambda pin, name=owner: Terminal(name, pin)  # noqa: E731
            level, needs = self._always(part.condition), part.condition
            if (isinstance(part, Fuse) and not part.empty) or isinstance(part, Resistor):
                yield Conductor(pin("1"), pin("2"), level, condition=needs)
            elif isinstance(part, Diode):
                yield Conductor(pin("1"), pin("2"), level, one_way=True, condition=needs)
            elif isinstance(part, Joint | Ground):
                yield from self._joined(part, level)
            elif isinstance(part, Switch):
                for a, b in {(c.pin_a, c.pin_b) for c in part.contacts}:
                    closed = {p for c in part.contacts if (c.pin_a, c.pin_b) == (a, b) for p in c.closed_in}
                    its = (*needs, *self.platform.parts[part.owner].condition)
                    yield Conductor(pin(a), pin(b), self._switch(part, a, b, closed), moves=True, condition=its)
            elif isinstance(part, Load):
                for one, other in part.joined:
                    yield Conductor(pin(one), pin(other), level, condition=needs)
            elif isinstance(part, Relay):
                for contact in part.contacts:
                    ends = pin(contact.pin_a), pin(contact.pin_b)
                    yield Conductor(*ends, self._relay(part, contact), moves=True, condition=needs)

    def _joined(self, part: Part, level: Callable[[], Level]) -> Iterator[Conductor]:
        here = [end for wire in self.platform.wires_at.get(part.name, ()) for end in (wire.a, wire.b)]
        here = [end for end in here if end.part == part.name]
        for one in here:
            for other in here:
                if part.kind != "connector" or (one.pin == other.pin and one.half != other.half):
                    yield Conductor(one, other, level, condition=part.condition)

    def _stuck(self, *names: str) -> bool:
        return any(name in self.state.stuck for name in names)

    def _switch(self, part: Switch, a: str, b: str, closed: set[str]) -> Callable[[], Level]:
        position = self.state.switches.get(part.name, part.positions[0])
        if part.is_key and self.state.key:
            position = self.state.key
        short = a if b == "case" else b
        on = position in closed or self._stuck(f"{part.name}.{short}", f"{part.name}.{a}-{b}")
        fitted = min(self._fitted(part.condition), self._fitted(self.platform.parts[part.owner].condition))
        level = fitted if on else 0 if closed else min(1, fitted)
        return lambda: level

    def _relay(self, part: Relay, contact) -> Callable[[], Level]:  # type: ignore[no-untyped-def]
        fitted = self._fitted(part.condition)
        if part.flashes or self._stuck(f"{part.name}.{contact.pin_b}"):
            return lambda: fitted
        for other in part.contacts:
            if other.energised != contact.energised and self._stuck(f"{part.name}.{other.pin_b}"):
                return lambda: 0

        def level() -> Level:
            pulled_in = self.relays[part.name]
            return min(fitted, pulled_in if contact.energised else 2 - pulled_in)

        return level

    def _outputs(self) -> Iterator[Conductor]:
        for output in self.platform.outputs:
            if output.module in self.out:
                continue
            part = self.platform.parts[output.module]
            pins = self.circuit.loads[output.module]
            on, needs = self._output(output, part), (*output.condition, *part.condition)
            if output.action == "feeds":
                sources = (Terminal(output.module, output.source),) if output.source else pins.supplies
                for source in sources:
                    yield Conductor(source, output.terminal, on, one_way=True, moves=True, condition=needs)
            else:
                for ground in pins.grounds:
                    yield Conductor(output.terminal, ground, on, one_way=True, moves=True, condition=needs)

    def _output(self, output: Output, part: Part) -> Callable[[], Level]:
        most = min(self._fitted(output.condition), self._fitted(part.condition))
        if self._stuck(output.contact):
            return lambda: most

        def level() -> Level:
            fed = self.fed.get(output.module, 0)
            if output.when == "awake":
                return min(most, self.awake.get(output.module, 0))
            if output.when == "request":
                wanted = 1 if self.world is None else 2 if output.contact in self.world.requested else 0
                return min(most, fed, wanted)
            if output.when == "live":
                return min([most, fed, *(self.has_plus(Terminal(output.module, pin)) for pin in output.inputs)])
            if output.when == "in" and self.key not in output.positions:
                return 0
            return min(most, fed)

        return level

    def _body(self) -> Iterator[Conductor]:
        if not self.platform.body_return:
            return
        for part in self.platform.parts.values():
            if isinstance(part, Ground):
                if not part.wired and part.name != "case" and part.name not in self.out:
                    its = part.condition
                    yield Conductor(Terminal(part.name), BODY, self._always(its), condition=its)
            elif part.name not in self.out:
                for terminal in self.circuit.terminals_of.get(part.name, ()):
                    if terminal.pin == "case":
                        yield Conductor(terminal, BODY, lambda: 2)
        for link in self.circuit.links:
            if link.assumed == "body" and not {link.a.part, link.b.part} & self.out:
                yield Conductor(link.a, link.b, self._always(link.condition), condition=link.condition)

    def _ask(self) -> None:
        for it in self.conductors:
            it.now = it.level()

"""What the relays and outputs that a state turns on hang on themselves: what feeds a coil and what grounds it, and what
comes to the inputs that an output waits for. What flows through them hangs on all of that."""

from collections.abc import Iterable

from circuitmap.circuit.links import BODY, Circuit
from circuitmap.diagnosis.car.ways import CurrentWays, names_on
from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import Side, way_to
from circuitmap.power.nets import NO
from circuitmap.power.plan import LoadPath, plan_of
from circuitmap.power.wake_pins import WakePin
from circuitmap.wiring.parts import Ground, Joint, Load

_DEEPEST = 12
"""Outputs that ask for outputs, one behind the other, that are followed (judgement: the samples have two)."""


class HeldBy:
    """One state beside the parked vehicle. `of` gives for each relay that it pulls in, and each output that its inputs
    turn on, the names without any one of which it is off again. An output that is stuck hangs on none of its inputs."""

    def __init__(self, powered: Powered, parked: Powered, ways: CurrentWays) -> None:
        self._powered, self._ways = powered, ways
        plan = powered.plan
        relays, before = powered.settled.standing.relays, parked.settled.standing.relays
        self._coils: dict[str, list[tuple[int, int]]] = {}
        for n, coil in enumerate(plan.coils):
            number = plan.relay_number[coil.relay]
            if relays[number] > before[number] and powered.nets.coils[n][2] != NO:
                self._coils.setdefault(coil.relay, []).append((coil.plus, coil.minus))
        awake, was = powered.settled.standing.awake, parked.settled.standing.awake
        self._asked: dict[str, tuple[str, tuple[WakePin, ...]]] = {
            output.contact: (output.module, plan.sleepers[n].wake_pins)
            for output, n in plan.works_output.items()
            if awake[n] > was[n] and output.contact not in powered.state.stuck
        }
        self._gates = frozenset(self._coils.keys() | self._asked.keys())
        self._known: dict[str, frozenset[str]] = {}
        self._grounds = powered.circuit.derived(_Grounds).names
        self._waiting = powered.circuit.derived(_Waiting).by_load

    def behind(self, owner: str, through: frozenset[str]) -> frozenset[str]:
        """What a current hangs on besides its way `through`, by what that passes, and by what its owner waits for."""
        if owner not in self._waiting:
            return self.also_of(through) if self._gates else frozenset()
        own = frozenset[str]()
        for path in self._waiting[owner]:
            sides: list[tuple[int, Side]] = [
                (its.node, "ground" if its.by_ground else "supply") for its in path.controls
            ]
            on = [its for its in map(self._led_to, sides) if its]
            own = own.union(*(on if len(on) == 1 else ()), *(self._led(node, "supply") for node in path.needs))
        return own | self.also_of(own) | self.also_of(through)

    def also_of(self, through: frozenset[str], deep: int = 0) -> frozenset[str]:
        """What the relays and outputs among these names hang on; relays and outputs on that way, too."""
        if self._gates.isdisjoint(through):
            return frozenset()
        return frozenset[str]().union(*(self._of(name, deep) for name in self._gates & through))

    def _of(self, name: str, deep: int) -> frozenset[str]:
        if name not in self._known:
            self._known[name] = frozenset()  # what holds itself is followed once
            its = frozenset().union(*(self._coil(*ends) for ends in self._coils.get(name, ())[:1]))
            module, pins = self._asked.get(name, ("", ()))
            its = its.union(self._feed(module), *map(self._input, pins))
            self._known[name] = its if deep > _DEEPEST else its | self.also_of(its, deep + 1)
        return self._known[name]

    def _coil(self, plus: int, minus: int) -> frozenset[str]:
        for at, back in ((plus, minus), (minus, plus)):
            way = self._ways.to_node(at)
            if way is not None:
                return way.through | self.grounded(back)
        return frozenset()

    def _feed(self, module: str) -> frozenset[str]:
        """The feed of a module with one supply pin: without it none of its outputs is on."""
        number = {name: n for n, name in enumerate(self._powered.plan.loads)}.get(module)
        paths = self._powered.plan.paths_of[number] if number is not None else ()
        pins = {self._powered.plan.paths[path].supply for path in paths}
        return self._led(pins.pop(), "supply") if len(pins) == 1 else frozenset()

    def _input(self, pin: WakePin) -> frozenset[str]:
        """What brings that to an input for which its output is on; nothing where it is what does not come."""
        if pin.absent or pin.by == "opening":
            return frozenset()
        if pin.by == "ground":
            return self.grounded(pin.node)
        way = self._ways.up_to_node(pin.node)
        return self._led(pin.node, "supply") | (way.through if way is not None else frozenset())

    def grounded(self, node: int) -> frozenset[str]:
        """What a node's ground hangs on; nothing where no ground is known for it."""
        return self._led(node, "ground")

    def _led_to(self, at: tuple[int, Side]) -> frozenset[str]:
        return self._led(*at)

    def _led(self, node: int, side: Side) -> frozenset[str]:
        powered = self._powered
        reach = powered.settled.reach
        if not (reach.perhaps_supply if side == "supply" else reach.perhaps_ground)[powered.nets.net_of[node]]:
            return frozenset()
        nodes, links = way_to(powered, node, side)
        return names_on(powered.circuit, links).union(_cavities(powered, nodes)) - self._grounds


class _Grounds:
    """Ground points and the body: nobody takes them out."""

    def __init__(self, circuit: Circuit) -> None:
        parts = circuit.platform.parts.values()
        self.names = frozenset({BODY.part, *(part.name for part in parts if isinstance(part, Ground))})


class _Waiting:
    """The ways by which loads of a circuit take current only while something comes to another of their pins."""

    def __init__(self, circuit: Circuit) -> None:
        plan = plan_of(circuit)
        self.by_load: dict[str, list[LoadPath]] = {}
        for path in plan.paths:
            if path.controls or path.needs:
                self.by_load.setdefault(plan.loads[path.load], []).append(path)


def _cavities(powered: Powered, nodes: Iterable[int]) -> frozenset[str]:
    """The pins of modules, and the cavities of plugs, among nodes: their terminals can be lifted out."""
    parts = powered.circuit.platform.parts
    ends = (powered.circuit.nodes[node] for node in nodes)
    return frozenset(
        str(end)
        for end in ends
        if isinstance(part := parts.get(end.part), Load | Joint)
        and (part.kind == "connector" if isinstance(part, Joint) else part.kind == "module")
    )

"""Who is awake in one state of one vehicle: the part of the slow evaluator that goes from module to network and back."""

from circuitmap.circuit.links import Circuit
from circuitmap.power.state import VehicleState
from circuitmap.wiring.parts import Load, Terminal
from tests.power.slow_wiring import Level, SlowWiring, World


class SlowWaking(SlowWiring):
    """Wake pins, networks, gateways."""

    def __init__(self, circuit: Circuit, state: VehicleState, world: World | None = None) -> None:
        super().__init__(circuit, state, world)
        self.networks: dict[str, Level] = {}

    def has_ground(self, terminal: Terminal) -> Level:
        """How surely ground is there: at first nowhere."""
        return 0

    def draws(self, name: str) -> Level:
        """How surely a load draws."""
        raise NotImplementedError

    def _leads_to(
        self, pin: Terminal, ends: set[Terminal], supply: bool, but: frozenset[Terminal] = frozenset()
    ) -> bool:
        seen = {pin}
        while True:
            more = set()
            for link in self.circuit.links:
                if (
                    link.kind in ("load", "coil", "battery")
                    or (supply and link.kind == "body")
                    or link.part == pin.part
                ):
                    continue
                for a, b, against in ((link.a, link.b, supply), (link.b, link.a, not supply)):
                    if a in seen and b not in seen and not (link.one_way and against) and b not in but:
                        more.add(b)
            if not more:
                return bool(seen & ends)
            seen |= more

    def wake(self) -> None:
        """Everything that is awake by itself, then its networks, then what these reach, until nothing is added."""
        names = {p.name for p in self.platform.parts.values() if p.kind == "module"} | set(self.platform.networks_of)
        names |= {p.name for p in self.platform.loads if p.run_on is not None or p.pins_with("wake")}
        names |= {output.module for output in self.platform.outputs}
        self.fed = {name: 0 if name in self.out else self.draws(name) for name in names}
        own = {name: min(self.fed[name], self._by_itself(name)) for name in names}
        sleep = self.platform.sleep
        still = 1 if sleep is not None and self.state.minutes < sleep.high else 0
        self.networks = {name: 2 if name in self.state.awake else still for name in self.platform.networks}
        while True:
            before = dict(self.networks)
            for network in self.platform.networks:
                for name in names:
                    self.networks[network] = max(
                        self.networks[network], min(own[name], self._member(name, network, "listens"))
                    )
                for other in self.platform.networks:
                    for name in names:
                        passes = min(self._member(name, network, "listens"), self._member(name, other, "drives"))
                        passes = min(passes, self.fed[name])
                        passes = min(passes, self._passes(name, other, network), self.networks[other])
                        if other != network:
                            self.networks[network] = max(self.networks[network], passes)
            if self.networks == before:
                break
        self.awake = {
            name: min(
                self.fed[name],
                max([own[name], *(min(level, self._member(name, n, "drives")) for n, level in self.networks.items())]),
            )
            for name in names
        }

    def _by_itself(self, name: str) -> Level:
        level = 2 if name in self.state.awake else 0
        part = self.platform.parts[name]
        if isinstance(part, Load):
            if part.run_on is not None:
                level = max(level, 2 if self.state.minutes < part.run_on.low else 0)
                level = max(level, 1 if self.state.minutes < part.run_on.high else 0)
            for pin in part.pins_with("wake"):
                level = max(level, self.woken(part, Terminal(name, pin)))
        return level

    def woken(self, part: Load, pin: Terminal) -> Level:
        """How surely what comes to a wake pin wakes."""
        if pin not in self.circuit.number:  # no wire was typed: nothing is known to wake it there
            return 0
        by = part.wakes_by.get(pin.pin) or self.wakes_by(pin)
        return {"plus": self.has_plus(pin), "ground": self.has_ground(pin), "opening": 2 - self.has_ground(pin)}[by]

    def wakes_by(self, pin: Terminal) -> str:
        """What its wire can bring: plus over any contact; else, grounded in the parked car, that this goes; else
        ground."""
        supplies = {*self.circuit.supplies, *(terminal for terminal, _ in self.stated)}
        returns = set(self.circuit.returns) | {t for t in self.circuit.number if self._is_minus(t)}
        if self._leads_to(pin, supplies, True, self._one_piece(returns, supplies, body=True)):
            return "plus"
        if self._grounded_parked(pin):
            return "opening"
        of_plus = self._one_piece(supplies, returns, body=False)
        return "ground" if self._leads_to(pin, set(self.circuit.returns), False, of_plus) else "plus"

    def _is_minus(self, terminal: Terminal) -> bool:
        return terminal.pin == "-" and self.platform.parts[terminal.part].kind == "battery"

    def _one_piece(self, starts: set[Terminal], opposite: set[Terminal], body: bool) -> frozenset[Terminal]:
        """What is one piece of metal with these, whatever the contacts do; nothing where that is the opposite side."""
        seen = set(starts)
        while True:
            more = {
                b
                for link in self.circuit.links
                if link.kind in ("wire", "copper", "chart", "cavity", "joint", "fuse", "link", "breaker")
                or (body and link.kind == "body")
                if not link.one_way and not link.condition
                for a, b in ((link.a, link.b), (link.b, link.a))
                if a in seen and b not in seen
            }
            if not more:
                return frozenset() if seen & opposite else frozenset(seen)
            seen |= more

    def _grounded_parked(self, pin: Terminal) -> bool:
        """Whether it is grounded with every switch in its first position, every relay at rest and all modules asleep."""
        parked = SlowWiring(self.circuit, VehicleState(fitting=self.state.fitting))
        seen = {pin}
        while True:
            more = {end for it in parked.conductors if it.now == 2 for a, end in ((it.a, it.b), (it.b, it.a))
                    if a in seen and end not in seen and not (it.one_way and a == it.b)}  # fmt: skip
            if not more:
                return bool(seen & set(self.circuit.returns))
            seen |= more

    def _member(self, name: str, network: str, waking: str = "") -> Level:
        """How surely it is on a network; not as one whose `waking` is the one that is given."""
        if name in self.state.unplugged:
            return 0
        its = self.platform.networks[network]
        mine = [member for member in its.members if member.part == name]
        levels = [self._fitted(member.condition) for member in mine if not waking or member.waking != waking]
        if not mine:
            levels = [
                self._fitted(g.condition) for g in self.platform.gateways if g.module == name and network in g.joins
            ]
        return min(max(levels, default=0), self._fitted(its.condition))

    def _passes(self, name: str, start: str, end: str) -> Level:
        for gateway in self.platform.gateways:
            fitted = self._fitted(gateway.condition)
            if gateway.module == name and {start, end} <= set(gateway.joins) and gateway.passes is not None and fitted:
                return fitted if (start, end) in gateway.passes else 0
        wakes = self.platform.networks[start].kind == "wake" and self.platform.networks[end].kind != "wake"
        members = self.platform.networks[end].members
        wakes = wakes or any(member.part == name and member.waking == "drives" for member in members)
        if wakes or self.world is None:
            return 2 if wakes else 1
        return 2 if (name, start, end) in self.world.crossed else 0

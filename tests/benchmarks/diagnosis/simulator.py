"""What really flows in a made-up vehicle with a fault, and what a meter shows of it.

Written apart from the tool: it draws currents and shows them on displays; it knows no probability of anything and
imports nothing of the package.
"""

from dataclasses import dataclass, field
from random import Random

from tests.benchmarks.diagnosis.vehicles import (
    OUTPUT_PIN,
    Lamp,
    Module,
    Relay,
    Vehicle,
    input_pin,
    woken_with,
)

# Shares of what goes wrong, as in the field by judgement; a kind is drawn by its share.
SHARES = {
    "added": 0.030, "keeps-awake": 0.025, "wrong-input": 0.025, "by-itself": 0.013, "lamp": 0.013, "contact": 0.012,
    "coil": 0.007, "chafed": 0.011, "unfused": 0.009,
}  # fmt: skip
NOMINAL = {
    ("mini", 5): 17.75, ("mini", 7.5): 10.85, ("mini", 10): 7.42, ("mini", 15): 4.58,
    ("regular", 20): 3.38, ("regular", 25): 2.52, ("regular", 30): 1.97,
}  # fmt: skip
"""Cold resistance in milliohms: Littelfuse data sheets 287 and 297, as copied by others."""


@dataclass(frozen=True)
class Wrong:
    """One thing that is really wrong. `part` is what there is to mend; `current` is its own, where it has one. `stands`
    is what stands for the part where nobody typed that in: its module, lamp or relay."""

    kind: str
    part: str
    module: str = ""
    network: int = -1
    fuse: str = ""
    current: float = 0.0
    stands: str = ""


@dataclass
class Truth:
    """One vehicle with its currents drawn: `scale` times the spread that the tool reckons with."""

    vehicle: Vehicle
    wrongs: tuple[Wrong, ...]
    random: Random
    scale: float = 1.0
    awake: dict[str, float] = field(default_factory=dict)
    asleep: dict[str, float] = field(default_factory=dict)
    running: dict[str, float] = field(default_factory=dict)
    split: dict[str, float] = field(default_factory=dict)
    resistance: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        draw = self.random.lognormvariate
        for module in self.vehicle.modules:
            sigma = (0.28 if module.told else 0.35) * self.scale
            self.awake[module.name] = module.typical * draw(0.0, sigma)
            self.asleep[module.name] = module.asleep * draw(0.0, 0.3 * self.scale)
            self.split[module.name] = self.random.uniform(0.25, 0.75) if len(module.feeds) == 2 else 1.0
        for name, typical in (
            *((lamp.name, lamp.typical) for lamp in self.vehicle.lamps),
            *((relay.load, relay.typical) for relay in self.vehicle.relays),
        ):
            self.running[name] = typical * draw(0.0, 0.2 * self.scale)
        for fuse in self.vehicle.fuses:
            self.resistance[fuse.name] = NOMINAL[fuse.style, fuse.rating] * draw(0.0, 0.08)

    def flowing(self, out: frozenset[str] = frozenset()) -> dict[str, float]:
        """True current in A at each fuse, each `MAINn`, `BAT`, and in the cables of `ALT` and `STARTER`, with these parts
        out, or pins lifted out of a module's plug."""
        amps = {fuse.name: 0.0 for fuse in self.vehicle.fuses}
        cables = {"ALT": 0.0, "STARTER": 0.0}
        unfused = 0.0
        up = self._awake_networks(out)
        for module in self.vehicle.modules:
            fed = self._fed(module, out)
            if not fed:
                continue
            misled = any(w.module == module.name and self._misleads(w, out) for w in self.wrongs)
            on_a_line = any(network in up for network in module.networks)
            is_up = on_a_line or misled or self._gateway_is_up(module, up)
            current = self.awake[module.name] if is_up else self.asleep[module.name]
            current += sum(w.current for w in self.wrongs if w.kind == "by-itself" and w.part == module.name)
            self._share(amps, module, fed, current)
        for wrong in self.wrongs:
            if wrong.kind in ("added", "chafed") and wrong.fuse and wrong.fuse not in out:
                amps[wrong.fuse] += wrong.current
            elif (wrong.kind == "added" and not wrong.fuse) or (wrong.kind == "unfused" and wrong.part not in out):
                unfused += wrong.current
                if wrong.part in cables:
                    cables[wrong.part] += wrong.current
            elif wrong.kind == "lamp":
                lamp = next(lamp for lamp in self.vehicle.lamps if lamp.switch == wrong.part)
                if not {lamp.name, lamp.fuse, lamp.switch} & out:
                    amps[lamp.fuse] += self.running[lamp.name]
            elif wrong.kind in ("contact", "coil", "output"):
                self._add_relay(amps, wrong, out)
        total = unfused
        for box in range(self.vehicle.boxes):
            inside = [fuse for fuse in self.vehicle.fuses if fuse.box == box and not fuse.switched]
            amps[f"MAIN{box}"] = sum(amps[fuse.name] for fuse in inside)
            total += amps[f"MAIN{box}"]
        amps["BAT"] = total
        return amps | cables

    def awake_networks(self, out: frozenset[str] = frozenset()) -> set[int]:
        return self._awake_networks(out)

    def relay_is(self, name: str) -> str:
        """`held`, `stuck` or `open`."""
        relay = next(relay for relay in self.vehicle.relays if relay.name == name)
        for wrong in self.wrongs:
            if (wrong.kind == "coil" and name in wrong.part) or (wrong.kind == "output" and wrong.fuse == relay.name):
                return "held"
            if wrong.kind == "contact" and wrong.part == name:
                return "stuck"
        return "open"

    def _add_relay(self, amps: dict[str, float], wrong: Wrong, out: frozenset[str]) -> None:
        name = wrong.fuse or wrong.part
        relay = next(relay for relay in self.vehicle.relays if relay.name == name)
        held = wrong.kind in ("coil", "output")
        if relay.name in out or (held and relay.coil in out):
            return
        if wrong.kind == "output" and out & {wrong.module, f"{wrong.module}.{OUTPUT_PIN}"}:
            return
        if held:
            amps[relay.coil] += wrong.current
        if not {relay.feed, relay.behind, relay.load} & out:
            amps[relay.feed] += self.running[relay.load]
            amps[relay.behind] += self.running[relay.load]

    def _misleads(self, wrong: Wrong, out: frozenset[str]) -> bool:
        """Whether a wrong input still holds its module awake: not with its switch unplugged, nor with its pin lifted
        out of the module's plug. An input of a module without switches is wrong inside of it."""
        if wrong.kind != "wrong-input" or wrong.part in out:
            return False
        inputs = next(module.inputs for module in self.vehicle.modules if module.name == wrong.module)
        return not any(switch == wrong.part and input_pin(wrong.module, n) in out for n, switch in enumerate(inputs))

    def _awake_networks(self, out: frozenset[str]) -> set[int]:
        up: set[int] = set()
        for wrong in self.wrongs:
            if wrong.kind == "keeps-awake" or self._misleads(wrong, out):
                module = next(m for m in self.vehicle.modules if m.name == wrong.module)
                if self._fed(module, out):
                    start = [wrong.network] if wrong.kind == "keeps-awake" else list(module.networks)
                    for network in start:
                        woken = {network} if self.vehicle.gateway in out else woken_with(self.vehicle, network)
                        up |= woken
        return up

    def _gateway_is_up(self, module: Module, up: set[int]) -> bool:
        return module.name == self.vehicle.gateway and bool(up & set(self.vehicle.joins))

    def _fed(self, module: Module, out: frozenset[str]) -> list[str]:
        return [] if module.name in out else [feed for feed in module.feeds if feed not in out]

    def _share(self, amps: dict[str, float], module: Module, fed: list[str], current: float) -> None:
        if len(fed) == 1:
            amps[fed[0]] += current
        else:
            amps[fed[0]] += current * self.split[module.name]
            amps[fed[1]] += current * (1.0 - self.split[module.name])


def something_wrong(vehicle: Vehicle, random: Random, kind: str = "") -> Wrong:
    """One fault, its kind drawn by its share unless given."""
    kind = kind or random.choices(list(SHARES), list(SHARES.values()))[0]
    current, coil = random.lognormvariate(-1.5, 1.0), 0.14 * random.lognormvariate(0.0, 0.3)
    constant = [fuse.name for fuse in vehicle.fuses if not fuse.switched]
    on_network = [module for module in vehicle.modules if module.networks]
    if kind == "keeps-awake" and on_network:
        module = random.choice(on_network)
        return Wrong(kind, module.name, module.name, random.choice(module.networks))
    if kind == "wrong-input" and on_network:
        module = random.choice(on_network)
        part = random.choice(module.inputs) if module.inputs else module.name
        return Wrong(kind, part, module.name, stands=module.name)
    if kind == "by-itself":
        module = random.choice(vehicle.modules)
        return Wrong(kind, module.name, module.name, current=module.typical * random.lognormvariate(0.0, 0.7))
    if kind == "lamp" and vehicle.lamps:
        lamp: Lamp = random.choice(vehicle.lamps)
        return Wrong(kind, lamp.switch, stands=lamp.name)
    if kind in ("contact", "coil") and vehicle.relays:
        relay: Relay = random.choice(vehicle.relays)
        if kind == "contact":
            if random.random() < 0.5:
                return Wrong("output", relay.module, relay.module, fuse=relay.name, current=coil, stands=relay.name)
            return Wrong(kind, relay.name)
        return Wrong(kind, f"control wire of {relay.name}", fuse=relay.name, current=coil, stands=relay.name)
    if kind == "unfused":
        return Wrong(kind, "ALT" if random.random() < 0.7 else "STARTER", current=current)
    fuse = random.choice(constant)
    if kind == "chafed":
        return Wrong(kind, f"wiring behind {fuse}", fuse=fuse, current=current)
    return Wrong("added", f"something on {fuse}", fuse=fuse, current=current)


@dataclass
class Meter:
    """A meter as it shows things. `zero` is off by the same amount until it is zeroed; one reading in `misreads` is
    wrong altogether."""

    random: Random
    kind: str
    step: float
    misreads: float = 0.01
    zero: float = 0.0

    def __post_init__(self) -> None:
        spread = {"clamp": 0.030, "low-current-clamp": 0.003, "series": 0.0}[self.kind]
        self.zero = self.random.gauss(0.0, spread)

    def amps(self, true: float) -> str:
        shown = true * self.random.gauss(1.0, 0.01) + self.zero
        if self.random.random() < self.misreads:
            shown = self.random.choice((0.0, shown * 10.0, shown / 10.0, self.random.lognormvariate(-2.0, 1.5)))
        counts = round(shown / self.step)
        digits = 3 if self.step < 0.01 else 2
        return f"{counts * self.step:.{digits}f}A"

    def drop(self, true: float, milliohms: float) -> str:
        """Millivolts across a fuse, to a tenth, a count off now and then."""
        shown = true * milliohms
        if self.random.random() < self.misreads:
            shown = self.random.choice((0.0, shown * 10.0, self.random.uniform(0.0, 3.0)))
        counts = round(shown / 0.1) + self.random.choice((-1, 0, 0, 1))
        return f"{max(counts, 0) * 0.1:.1f}mV"

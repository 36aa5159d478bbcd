"""Made-up vehicles of any size, as a plain list of what is fitted, and as notation for the tool under test.

The list is what the simulator works on; it shares nothing with the tool but this file's text.
"""

from dataclasses import dataclass, field
from random import Random

OUTPUT_PIN = "C9"
"""The pin at which each module works its relays' coils."""
STYLES = {5: "mini", 7.5: "mini", 10: "mini", 15: "mini", 20: "regular", 25: "regular", 30: "regular"}


def input_pin(module: str, number: int) -> str:
    """The module's pin at which the input of this number arrives."""
    return f"{module}.S{number}"


@dataclass(frozen=True)
class Fuse:
    name: str
    rating: float
    style: str
    box: int
    switched: bool = False


@dataclass(frozen=True)
class Module:
    """`feeds` are fuses; `told` is whether its awake current is in the notation, `typical` that current in A."""

    name: str
    feeds: tuple[str, ...]
    networks: tuple[int, ...]
    asleep: float
    typical: float
    told: bool
    reach: float
    inputs: tuple[str, ...] = ()
    control: bool = False


@dataclass(frozen=True)
class Lamp:
    name: str
    fuse: str
    switch: str
    typical: float


@dataclass(frozen=True)
class Relay:
    """`coil` is the fuse that feeds its coil, `feed` that of its contact, `load` hangs on fuse `behind`."""

    name: str
    coil: str
    feed: str
    behind: str
    load: str
    typical: float
    module: str


@dataclass(frozen=True)
class Vehicle:
    boxes: int
    fuses: tuple[Fuse, ...]
    modules: tuple[Module, ...]
    lamps: tuple[Lamp, ...]
    relays: tuple[Relay, ...]
    networks: int
    gateway: str
    joins: tuple[int, ...]
    open_ends: tuple[str, ...] = ()
    sleep: tuple[float, float] = (10.0, 20.0)
    fuse_named: dict[str, Fuse] = field(default_factory=dict, compare=False)


def made_up(seed: int, fuses: int, modules: int, networks: int, lamps: int = 4, relays: int = 3) -> Vehicle:
    random = Random(seed)
    boxes = max(1, min(6, fuses // 15))
    made = [
        Fuse(f"B{n % boxes}.F{n}", rating := random.choice(list(STYLES)), STYLES[rating], n % boxes)
        for n in range(fuses)
    ]
    constant = [fuse.name for fuse in made]
    its_modules = []
    for n in range(modules):
        feeds = tuple(random.sample(constant, 2 if random.random() < 0.2 else 1))
        on = tuple(sorted(random.sample(range(networks), 1))) if networks and random.random() < 0.85 else ()
        inputs = tuple(f"SW{n}_{k}" for k in range(random.randint(0, 2)))
        its_modules.append(
            Module(
                f"M{n}", feeds, on, 0.001 * random.lognormvariate(0.3, 0.8), 0.13 * random.lognormvariate(0.0, 0.6),
                random.random() < 0.6, random.choice((2.0, 5.0, 8.0, 12.0)), inputs,
            )
        )  # fmt: skip
    gateway, joins = "", ()
    if networks > 1:
        joins = tuple(range(min(networks, 3)))
        gateway = next((m.name for m in its_modules if m.networks == (0,)), "")
    its_lamps = tuple(
        Lamp(f"L{n}", random.choice(constant), f"LSW{n}", random.choice((0.2, 0.4, 0.8))) for n in range(lamps)
    )
    its_relays = []
    for n in range(relays):
        feed, coil = random.sample(constant, 2)
        behind = Fuse(f"B{n % boxes}.R{n}", 20, "regular", n % boxes, switched=True)
        made.append(behind)
        typical = random.choice((0.8, 2.0, 6.0))
        its_relays.append(Relay(f"B{n % boxes}.K{n}", coil, feed, behind.name, f"H{n}", typical, its_modules[n].name))
    open_ends = tuple(random.sample(constant, min(len(constant), 2)))
    return Vehicle(
        boxes, tuple(made), tuple(its_modules), its_lamps, tuple(its_relays), networks, gateway,
        joins if gateway else (), open_ends, fuse_named={fuse.name: fuse for fuse in made},
    )  # fmt: skip


def as_notation(vehicle: Vehicle) -> str:
    """The vehicle as somebody would have typed it in."""
    low, high = vehicle.sleep
    lines = ['platform "made up" supply 12V return body', f"    sleep {low:g}min..{high:g}min limit 60mA",
             "naming SP* splice, G* ground", "battery BAT 72Ah"]  # fmt: skip
    for box in range(vehicle.boxes):
        lines += [f'box B{box} "box {box}" reach 2min', f"fuse MAIN{box} 80A bolted reach 2min"]
    for fuse in vehicle.fuses:
        lines.append(f"fuse {fuse.name} {fuse.rating:g}A {fuse.style}")
    for module in vehicle.modules:
        pins = ", ".join(f"A{n}" for n in range(len(module.feeds)))
        told = f" awake {1000 * module.typical / 1.4:.0f}mA..{1000 * module.typical * 1.4:.0f}mA" if module.told else ""
        sense = f" sense {', '.join(f'S{n}' for n in range(len(module.inputs)))}" if module.inputs else ""
        asleep = f" asleep {1e6 * module.asleep:.0f}uA" if module.told else ""
        lines.append(f"module {module.name} supply {pins} ground 31{sense}{asleep}{told} reach {module.reach:g}min")
        lines += [f"switch {switch} positions rest, on closes 1 to case in on" for switch in module.inputs]
    for lamp in vehicle.lamps:
        lines.append(f"lamp {lamp.name} running {1000 * lamp.typical:.0f}mA")
        lines.append(f"switch {lamp.switch} positions shut, open closes 1 to case in open")
    for relay in vehicle.relays:
        lines += [f"relay {relay.name} make", f"heater {relay.load} running {1000 * relay.typical:.0f}mA",
                  f"output {relay.module}.{OUTPUT_PIN} grounds"]  # fmt: skip
    lines += ["alternator ALT supply B+ ground 31 reach 10min", "starter STARTER supply 30 ground 31 reach 15min"]
    for number in range(vehicle.networks):
        members = [module.name for module in vehicle.modules if number in module.networks]
        if vehicle.gateway and number in vehicle.joins and vehicle.gateway not in members:
            members.append(vehicle.gateway)
        if members:
            lines.append(f"network N{number} can members {', '.join(members)}")
    if vehicle.gateway:
        joined = ", ".join(f"N{n}" for n in vehicle.joins)
        passes = ", ".join(f"N{a} to N{b}" for a, b in _passages(vehicle))
        lines.append(f"gateway {vehicle.gateway} joins {joined} passes {passes}")
    lines += ['sheet "1" "all"', "BAT.+ -> ALT.B+", "BAT.+ -> STARTER.30", "ALT.31, STARTER.31 -> G0", "ground G0",
              "BAT.- -> G0"]  # fmt: skip
    for box in range(vehicle.boxes):
        lines.append(f"BAT.+ -> MAIN{box} -> B{box}.BAR")
        constant = [fuse.name for fuse in vehicle.fuses if fuse.box == box and not fuse.switched]
        lines.append(f"bar B{box}.BAR feeds {', '.join(constant)}")
    for module in vehicle.modules:
        lines += [f"{feed} -> {module.name}.A{n} in RD 1mm2" for n, feed in enumerate(module.feeds)]
        lines.append(f"{module.name}.31 -> G0 in BN")
        lines += [f"{input_pin(module.name, n)} -> {switch}.1" for n, switch in enumerate(module.inputs)]
    for lamp in vehicle.lamps:
        lines.append(f"{lamp.fuse} -> {lamp.name} -> {lamp.switch}.1")
    for relay in vehicle.relays:
        name = relay.name
        lines += [f"{relay.coil} -> {name}.86", f"{name}.85 -> {relay.module}.{OUTPUT_PIN}", f"{relay.feed} -> {name}.30",
                  f"{name}.87 -> {relay.behind} -> {relay.load} -> G0"]  # fmt: skip
    lines += [f'{fuse} -> ? "goes on to another sheet"' for fuse in vehicle.open_ends]
    return "\n".join(lines) + "\n"


def chart_alone(vehicle: Vehicle) -> str:
    """The vehicle with no wire typed in: which fuse feeds what, and the networks."""
    lines = [line for line in as_notation(vehicle).split('sheet "1"')[0].splitlines() if not line.startswith("output")]
    lines += ["BAT.- -> G0", "ground G0"]
    for box in range(vehicle.boxes):
        lines.append(f"BAT.+ -> MAIN{box} -> B{box}.BAR")
        constant = [fuse.name for fuse in vehicle.fuses if fuse.box == box and not fuse.switched]
        lines.append(f"bar B{box}.BAR feeds {', '.join(constant)}")
    lines += ["BAT.+ -> ALT.B+", "BAT.+ -> STARTER.30"]
    lines += [f"{feed} feeds {module.name}" for module in vehicle.modules for feed in module.feeds]
    lines += [f"{lamp.fuse} feeds {lamp.name}" for lamp in vehicle.lamps]
    lines += [f"{relay.feed} feeds {relay.name}.30" for relay in vehicle.relays]
    lines += [f"{relay.coil} feeds {relay.name}.86" for relay in vehicle.relays]
    return "\n".join(lines) + "\n"


def with_a_slip(text: str, vehicle: Vehicle, wrong_fuse: bool, random: Random) -> str:
    """The text with one module on a wrong fuse, or one missing in its network."""
    lines = text.splitlines()
    if wrong_fuse:
        module = random.choice(vehicle.modules)
        other = random.choice([fuse.name for fuse in vehicle.fuses if not fuse.switched])
        at = next(n for n, line in enumerate(lines) if f" -> {module.name}.A0 " in line)
        lines[at] = f"{other} -> {module.name}.A0 in RD 1mm2"
    else:
        at = random.choice([n for n, line in enumerate(lines) if line.startswith("network ") and line.count(",") > 1])
        head, _, members = lines[at].partition(" members ")
        left = [name for name in members.split(", ") if name != vehicle.gateway]
        gone = random.choice(left)
        lines[at] = f"{head} members {', '.join(name for name in members.split(', ') if name != gone)}"
    return "\n".join(lines) + "\n"


def _passages(vehicle: Vehicle) -> list[tuple[int, int]]:
    """Waking crosses from the first network to the others of the gateway, and not back."""
    first, *others = vehicle.joins
    return [(first, other) for other in others]


def woken_with(vehicle: Vehicle, network: int) -> set[int]:
    """The networks that are awake while one of them is."""
    awake = {network}
    if vehicle.gateway:
        awake |= {b for a, b in _passages(vehicle) if a == network}
    return awake

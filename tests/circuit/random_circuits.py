"""Random platforms for comparing searches: a feed tree with cross links, relays, switches, diodes and outputs.

Small enough for a brute-force listing of all ways, tangled enough that there is more than one.
"""

from random import Random

from circuitmap.wiring.parts import (
    Battery,
    Contact,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Need,
    OpenEnd,
    Part,
    Relay,
    RelayContact,
    Switch,
    Terminal,
)
from circuitmap.wiring.platform import Output, Platform, Wire

TOW, NOT_TOW = (Need("TOW", True),), (Need("TOW", False),)


def random_platform(seed: int, size: int = 6, conditions: bool = True) -> Platform:
    """A platform of about 5 x `size` parts; every kind of path inside a part occurs somewhere in a few seeds."""
    random = Random(seed)
    parts: dict[str, Part] = {}
    wires: dict[frozenset[Terminal], Wire] = {}
    feeds: list[Terminal] = []
    grounds: list[Terminal] = []
    outputs: list[Output] = []

    def add(part: Part) -> str:
        parts[part.name] = part
        return part.name

    def condition() -> tuple[Need, ...]:
        return random.choice((TOW, NOT_TOW)) if conditions and random.random() < 0.08 else ()

    def wire(a: Terminal, b: Terminal) -> None:
        if a != b:
            wires.setdefault(frozenset((a, b)), Wire(a=a, b=b, condition=condition()))

    for n in range(random.choice((1, 1, 2))):
        name = add(Battery(name=f"BAT{n}", kind="battery", series=random.random() < 0.1, condition=condition()))
        feeds.append(Terminal(name, "+"))
        add(Ground(name=f"G{n}", kind="ground"))
        grounds.append(Terminal(f"G{n}"))
        wire(Terminal(name, "-"), Terminal(f"G{n}"))
    for n in range(size // 2 + 1):
        feeds.append(Terminal(add(Joint(name=f"SP{n}", kind="splice", condition=condition()))))
        wire(random.choice(feeds[:-1]), feeds[-1])
    for n in range(size):
        name = add(Fuse(name=f"F{n}", kind="fuse", condition=condition()))
        if random.random() < 0.95:
            wire(random.choice(feeds), Terminal(name, "1"))
        feeds.append(Terminal(name, "2"))
    positions = ("off", "on", "start")
    for n in range(size // 2):
        contacts = tuple(
            Contact("30", pin, tuple(p for p in positions if random.random() < 0.5)) for pin in ("15", "50")
        )
        name = add(Switch(name=f"S{n}", kind="switch", positions=positions, contacts=contacts, is_key=n == 0))
        wire(random.choice(feeds), Terminal(name, "30"))
        feeds += [Terminal(name, "15"), Terminal(name, "50")]
    for n in range(size // 2):
        both = (RelayContact("30", "87", True), RelayContact("30", "87a", False))
        name = add(Relay(name=f"K{n}", kind="relay", contacts=both[: random.choice((1, 2))], condition=condition()))
        for pin, chance in (("30", 0.95), ("86", 0.8)):
            if random.random() < chance:
                wire(random.choice(feeds), Terminal(name, pin))
        wire(Terminal(name, "85"), random.choice(grounds))
        feeds.append(Terminal(name, "87"))
        if random.random() < 0.5:
            (feeds if random.random() < 0.5 else grounds).append(Terminal(name, "87a"))
    for n in range(random.choice((0, 1, 2))):
        name = add(Diode(name=f"V{n}", kind="diode"))
        wire(random.choice(feeds), Terminal(name, "1"))
        feeds.append(Terminal(name, "2"))
    for n in range(random.choice((0, 1, 2))):
        name = add(Joint(name=f"X{n}", kind="connector"))
        wire(random.choice(feeds), Terminal(name, "1", "a"))
        feeds.append(Terminal(name, "1", "l"))
    for n in range(size // 2):
        roles = {"A1": "supply", "A2": "supply", "A8": "ground", "C1": "output", "C2": "output"}
        name = add(Load(name=f"M{n}", kind="module", roles=roles, condition=condition()))  # type: ignore[arg-type]
        wire(random.choice(feeds), Terminal(name, "A1"))
        if random.random() < 0.6:
            wire(random.choice(feeds), Terminal(name, "A2"))
        wire(Terminal(name, "A8"), random.choice(grounds))
        when = random.choice(("awake", "in", "request", "always"))
        common = {"module": name, "when": when, "positions": ("on",) if when == "in" else (), "span": None}
        outputs.append(Output(pin="C1", action="feeds", source=random.choice(("", "A1")), **common))  # type: ignore[arg-type]
        outputs.append(Output(pin="C2", action="grounds", **common))  # type: ignore[arg-type]
        feeds.append(Terminal(name, "C1"))
        grounds.append(Terminal(name, "C2"))
    for n in range(size):
        name = add(Load(name=f"L{n}", kind="lamp", roles={"1": "supply", "2": "ground"}))
        wire(random.choice(feeds), Terminal(name, "1"))
        if random.random() < 0.9:
            wire(Terminal(name, "2"), random.choice(grounds))
    for _ in range(random.choice((0, 1, 2, 3))):
        wire(random.choice(feeds), random.choice(feeds))
    if random.random() < 0.3:
        name = add(OpenEnd(name="?S", kind="open end", from_supply=random.random() < 0.5))
        wire(Terminal(name), random.choice(feeds))
    return Platform(
        parts=parts, wires=tuple(wires.values()), outputs=tuple(outputs), body_return=random.random() < 0.85
    )

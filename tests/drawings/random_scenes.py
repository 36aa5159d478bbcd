"""Random scenes: layered circuits with every kind of part, loops back, shared pins and wide and narrow labels."""

from random import Random

from circuitmap.drawings.scene.scene import (
    DrawnContact,
    DrawnFeed,
    DrawnNetwork,
    DrawnSheet,
    Kind,
    Mark,
    Rail,
    Scene,
    Tap,
)
from tests.drawings.scenes import Sketch

LOOKS = ("RD 2.5", "RD/WH 0.75", "BK", "GN/YE 1.5", "WH 0.5", "", "copper", "chart", "OG/BK 0.75", "YE")
LABELS = ("", "Door locking", "Control unit for the habitation door and its step", "Pump", "Ventilateur d'habitacle")
MARKS = (Mark.NONE, Mark.NONE, Mark.DRAWING, Mark.QUIET, Mark.UNREAD, Mark.SUSPECT)


def random_scene(seed: int) -> Scene:
    rng = Random(seed)
    s = Sketch(f"Scene {seed}", "by lot")
    s.rails = [Rail("30", "30", "constant"), Rail("15", "15", "run, start", DrawnFeed.SWITCHED)][: rng.randint(1, 2)]
    s.sheets = [DrawnSheet("10-01", "one"), DrawnSheet("10-02", "two")][: rng.randint(0, 2)]
    upper: list[str] = [rail.key for rail in s.rails]
    for level in range(rng.randint(1, 4)):
        s.sheet = rng.choice([sheet.name for sheet in s.sheets] or [""])
        lower: list[str] = []
        for number in range(rng.randint(1, 5)):
            lower += _through(rng, s, f"{level}{number}", upper)
        upper = [*lower, *(upper[:1] if rng.random() < 0.3 else [])]
    loads: list[str] = []
    for number in range(rng.randint(1, 7)):
        loads.append(_load(rng, s, f"L{number}", upper))
    modules = [part.key for part in s.parts if part.kind is Kind.MODULE]
    relays = [part.key for part in s.parts if part.kind is Kind.RELAY]
    for key in relays:
        if modules and rng.random() < 0.7:
            s.wire(f"{key}:85", f"{rng.choice(modules)}:C1", "GY 0.5")
        elif modules and rng.random() < 0.5:
            s.wire(f"{rng.choice(modules)}:C2", f"{key}:86", "VT 0.5")
    if len(modules) > 1:
        for _ in range(rng.randint(0, 2)):
            one, two = rng.sample(modules, 2)
            s.wire(f"{one}:W1", f"{two}:W2", "GN/BU 0.35")
        for number in range(rng.randint(0, 2)):
            members = rng.sample(modules, rng.randint(1, len(modules)))
            taps = tuple(Tap(key, f"N{number}", rng.choice(("", "", "X60"))) for key in members)
            s.networks.append(
                DrawnNetwork(f"NET{number}", f"NET{number}", "network (CAN)", taps, rng.choice(MARKS[-2:]))
            )
    return s.scene()


def _through(rng: Random, s: Sketch, name: str, upper: list[str]) -> list[str]:
    """A part between supply and load, and the points that can feed on from it."""
    look, start = rng.choice(LOOKS), rng.choice(upper)
    mark = rng.choice(MARKS)
    kind = rng.choice(
        (Kind.FUSE, Kind.SPLICE, Kind.BAR, Kind.CAVITY, Kind.RELAY, Kind.SWITCH, Kind.DIODE, Kind.BREAKER)
    )
    key = f"{kind.value[:2].upper()}{name}"
    if kind in (Kind.SPLICE, Kind.BAR, Kind.CAVITY):
        s.part(kind, key).wire(start, key, look)
        if kind is Kind.SPLICE and rng.random() < 0.3:
            s.wire(rng.choice(upper), key, rng.choice(LOOKS))
        return [key]
    if kind is Kind.RELAY:
        s.relay(key, rng.choice(LABELS), rng.random() < 0.4, mark=mark).wire(start, f"{key}:30", look)
        s.wire(rng.choice(upper), f"{key}:86", "BK/YE 0.5")
        return [f"{key}:87"]
    if kind is Kind.SWITCH:
        contacts = tuple(
            DrawnContact("1", str(n), words=rng.choice(("", "run, start", "on")))
            for n in range(2, 2 + rng.randint(1, 3))
        )
        pins = ("1", *(contact.other for contact in contacts))
        s.part(kind, key, *pins, contacts=contacts, description=rng.choice(LABELS)).wire(start, f"{key}:1", look)
        return [f"{key}:{contact.other}" for contact in contacts]
    s.part(kind, key, "1", "2", mark=mark, rating="10 A", description=rng.choice(LABELS))
    s.wire(start, f"{key}:1", look, mark=mark)
    return [f"{key}:2"]


def _load(rng: Random, s: Sketch, key: str, upper: list[str]) -> str:
    kind = rng.choice(
        (Kind.MODULE, Kind.MODULE, Kind.MODULE, Kind.LAMP, Kind.MOTOR, Kind.HEATER, Kind.HORN, Kind.SENSOR)
    )
    label = rng.choice(LABELS)
    if kind is Kind.MODULE:
        pins = ("A1", "A2", "A3", "31", "C1", "C2", "W1", "W2", "N0", "N1")
        s.part(kind, key, *pins, description=label, mark=rng.choice(MARKS), named=rng.random() < 0.2)
        for number in range(rng.randint(1, 3)):
            s.wire(rng.choice(upper), f"{key}:A{number + 1}", rng.choice(LOOKS))
        ground = f"{key}:31"
    else:
        s.part(kind, key, "1", "2", description=label).wire(rng.choice(upper), f"{key}:1", rng.choice(LOOKS))
        ground = f"{key}:2"
    if rng.random() < 0.8:
        if kind is not Kind.MODULE and rng.random() < 0.3:
            s.part(Kind.SWITCH, f"S{key}", "1", "2", contacts=(DrawnContact("1", "2"),)).wire(
                ground, f"S{key}:1", "BN/WH 0.5"
            )
            ground = f"S{key}:2"
        s.ground(ground, f"G{s.parts.__len__() % 12}", rng.choice(("BN 1", "BK", "")))
    elif rng.random() < 0.5:
        s.part(Kind.OPEN_END, f"o{key}", name="", description="sheet 41-01").wire(ground, f"o{key}", "BN")
    return key

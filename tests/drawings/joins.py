"""Compares what a drawn picture joins with what the circuit joins: wrong joins, missing ones, and what cannot be read.

`python -m tests.drawings.joins` prints the count for every sheet of every sample vehicle and paper.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from circuitmap.drawings.draw import scene_of
from circuitmap.drawings.inking.ink import Picture
from circuitmap.drawings.placing.layout import Layout
from circuitmap.drawings.scene.scene import DrawnEnd, Kind, Nature, Scene
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.drawings.shapes.body import pin_label
from circuitmap.drawings.shapes.lands import PINLESS
from circuitmap.flows.drawing import with_notes
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.wiring.parts import ANY_PIN, Ground, Joint, OpenEnd, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform
from tests.drawings.pages import drawn
from tests.drawings.reading_back import Joined, Name, read_back

ROOT = Path(__file__).parents[2]
PLATFORMS = {
    **{name: ROOT / "sample_vehicles" / name for name in ("motorcycle", "van", "motorhome", "truck")},
    **{name: ROOT / "tests" / "papers" / name / "text" for name in ("minibus", "loader", "boat")},
}


class Compared(NamedTuple):
    wrong: list[str]
    missing: list[str]
    slips: list[str]

    @property
    def all(self) -> list[str]:
        return [*self.wrong, *self.missing, *self.slips]


def compared(scene: Scene, layout: Layout, picture: Picture, expected: list[set[Name]]) -> Compared:
    """What the ink says against the nets that the circuit has. Pins that nobody named all read `?`: a net with one of
    them is looked for whole."""
    read = read_back(scene, layout, picture)
    times = Counter(name for net in expected for name in net)
    several = {name for name, count in times.items() if count > 1}
    net_of = {name: number for number, net in enumerate(expected) for name in net - several}
    wrong, missing = [], []
    for net in read.nets:
        known = {net_of.get(name, name): name for name in sorted(net - several)}
        if len(known) > 1:
            wrong.append(f"joined, and should not be: {_listed(known.values())}")
    drawn_in = {name: number for number, net in enumerate(read.nets) for name in net}
    for net in expected:
        apart = {drawn_in.get(name, name): name for name in sorted(net - several)}
        if len(apart) > 1 or (net & several and not any(net <= drawn for drawn in read.nets)):
            missing.append(f"should be joined: {_listed(net)}")
    for part in scene.parts:
        if part.contacts or part.coils or part.joined:
            metal = Joined()
            for pair in part.joined:
                metal.join(*pair)
            same = {pin: {pin_label(p) for p in part.pins if metal.top(p) == metal.top(pin)} for pin in part.pins}
            pairs = [frozenset(same[its[0]] | same[its[1]]) for its in (*part.contacts, *part.coils, *part.within)]
            seen = read.inside.get(part.key, [])
            wrong += [f"{part.key}: a contact or coil between {_listed(p)}" for p in seen if p not in pairs]
            missing += [f"{part.key}: no contact or coil between {_listed(p)}" for p in pairs if p not in seen]
    return Compared(wrong, missing, read.slips)


def _listed(names: object) -> str:
    return ", ".join(sorted(str(name) for name in names))  # type: ignore[attr-defined]


def nets_on_sheet(platform: Platform, sheet: str, scene: Scene) -> list[set[Name]]:
    """What the wires of one sheet join, from the platform; marks and stubs, from the scene."""
    joined = Joined()
    for wire in platform.wires:
        if sheet in wire.sheets:
            joined.join(_named(platform, wire.a), _named(platform, wire.b))
    lines = [wire for wire in scene.wires if wire.nature is Nature.LEAD or sheet not in wire.sheets]
    return _nets(joined, scene, [(wire.start, wire.finish) for wire in lines])


def nets_of_scene(scene: Scene) -> list[set[Name]]:
    """What the wires of a scene join."""
    return _nets(Joined(), scene, [(wire.start, wire.finish) for wire in scene.wires])


def _nets(joined: Joined, scene: Scene, lines: list[tuple[DrawnEnd, DrawnEnd]]) -> list[set[Name]]:
    grounds = {part.key: part.name for part in scene.parts if part.kind is Kind.GROUND}
    small = {part.key for part in scene.parts if part.kind in PINLESS}

    def name(owner: str, pin: str) -> Name:
        if owner in grounds:
            return "ground", grounds[owner]
        if owner in small:
            return owner, ""
        return owner, pin if is_unnamed(pin) or not pin_label(pin) else pin_label(pin)

    for start, finish in lines:
        joined.join(name(*start), name(*finish))
    for part in scene.parts:
        for one, other in part.joined:
            joined.join(name(part.key, one), name(part.key, other))
    for network in scene.networks:
        for tap in network.taps:
            joined.join((network.key, ""), name(tap.part, tap.pin))
    nets: dict[object, set[Name]] = {}
    for one in list(joined._above):
        owner, pin = one  # type: ignore[misc]
        nets.setdefault(joined.top(one), set()).add((owner, ANY_PIN if is_unnamed(pin) else pin))  # type: ignore[arg-type]
    return list(nets.values())


def _named(platform: Platform, end: Terminal) -> Name:
    part = platform.parts.get(end.part)
    if isinstance(part, Ground) or end == Terminal("case"):
        return "ground", "body" if end.part == "case" else end.part
    if isinstance(part, Joint) and part.kind == "connector" and end.pin:
        return f"{end.part}.{end.pin}", ""
    if isinstance(part, (Joint, OpenEnd)):
        return end.part, ""
    return end.part, end.pin if is_unnamed(end.pin) else pin_label(end.pin) or end.pin


def sheets_compared(bench: Bench) -> Iterator[tuple[str, Compared]]:
    for name in bench.platform.sheets:
        scene = with_notes(scene_of(bench.feeding, Wanted(sheet=name)))
        yield name, compared(scene, *drawn(scene), nets_on_sheet(bench.platform, name, scene))


def fuses_compared(bench: Bench, step: int = 1) -> Iterator[tuple[str, Compared]]:
    for fuse in bench.platform.fuses[::step]:
        scene = with_notes(scene_of(bench.feeding, Wanted(named=(fuse.name,))))
        yield fuse.name, compared(scene, *drawn(scene), nets_of_scene(scene))


def main() -> None:
    import sys

    for name, folder in PLATFORMS.items():
        bench = open_bench(folder)
        for what, found in (("sheets", sheets_compared(bench)), ("fuses", fuses_compared(bench))):
            rows = list(found)
            counts = [sum(len(row[at]) for _, row in rows) for at in range(3)]
            print(f"{name}, {len(rows)} {what}: {counts[0]} wrong, {counts[1]} missing, {counts[2]} not to be read")
            if "-v" in sys.argv:
                for key, row in rows:
                    for line in row.all:
                        print(f"  {key}: {line}")


if __name__ == "__main__":
    main()

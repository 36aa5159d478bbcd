"""Scenes as text, the stage before the picture: what stands at which level, and what is wired to what.

Run with CIRCUITMAP_GOLDEN=write to write the files anew, then read the difference.
"""

import os
from pathlib import Path

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import circuit_of
from circuitmap.drawings.draw import scene_of
from circuitmap.drawings.scene.scene import DrawnEnd, Scene
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.drawings.shapes.levels import levels_of
from circuitmap.flows.drawing import with_notes
from tests.drawings.test_subset import VAN
from tests.wiring.written import platform_from

GOLDEN = Path(__file__).with_name("golden")
CASES = {
    "fuse_that_draws": Wanted(drawing=("CAB.F22",), quiet=("CAB.F40",)),
    "fuses_on_a_network": Wanted(drawing=("CAB.F22", "CAB.F41")),
    "relay_asked_for": Wanted(named=("CAB.K4",)),
    "whole_sheet": Wanted(sheet="40-02"),
}


def told(scene: Scene) -> str:
    """A scene as text."""
    levels = levels_of(scene)
    lines = [scene.title, scene.subtitle, ""]
    lines += [f"rail {rail.terminal} {rail.words} ({rail.feed})" for rail in scene.rails]
    for level in range(1, levels.last):
        lines.append(f"level {level}")
        for part in scene.parts:
            if levels.of[part.key] == level:
                words = [part.name, part.description, part.rating, part.mark.value, "asked for" if part.named else ""]
                lines.append(f"  {part.kind}: {', '.join(word for word in words if word)}")
    lines.append("wires")
    for wire in scene.wires:
        look = "/".join(code for code in (wire.colour, wire.tracer) if code) or wire.nature
        words = [look, wire.size, *wire.sheets, wire.mark.value, "asked for" if wire.named else ""]
        shown = " ".join(word for word in words if word)
        lines.append(f"  {_end(wire.start)} - {_end(wire.finish)}: {shown}")
    for network in scene.networks:
        lines.append(f"network {network.name} {network.words}")
        lines += [f"  {tap.part} {tap.pin}" for tap in network.taps]
    lines += [f"note {note}" for note in scene.notes]
    return "\n".join(lines) + "\n"


def _end(end: DrawnEnd) -> str:
    return f"{end.owner} {end.pin}".strip()


@pytest.mark.parametrize("name", CASES)
def test_scene_is_as_it_was_read(name: str) -> None:
    file = GOLDEN / f"{name}.txt"
    text = told(with_notes(scene_of(feeding_of(circuit_of(platform_from(VAN))), CASES[name])))
    if os.environ.get("CIRCUITMAP_GOLDEN") == "write":
        file.write_text(text, "utf-8")
    assert text == file.read_text("utf-8")

"""What a plug that was parted as a whole does not tell."""

from collections.abc import Iterator

from circuitmap.wiring.platform import Platform


def plug_sentences(platform: Platform, name: str) -> Iterator[str]:
    """That a connector with several wires parts feeds and returns alike; nothing for any other part."""
    part = platform.parts.get(name)
    if part is None or part.kind != "connector":
        return
    cavities = {end.pin for wire in platform.wires_at.get(name, ()) for end in (wire.a, wire.b) if end.part == name}
    if len(cavities) > 1:
        parts = f"{name} parts all of its {len(cavities)} wires at once, feeds and returns"
        yield f"{parts}: what goes with it tells no side of it. One cavity alone does."

"""Whether all sheets that show a part were typed in as whole: then whatever is wired to it would have been seen."""

from circuitmap.wiring.platform import Platform
from circuitmap.wiring.whole_sheets import is_whole


def is_drawn_whole(platform: Platform, name: str) -> bool:
    """A fuse chart shows no wires, however whole it is: what is known by its rows alone was never drawn."""
    wires = platform.wires_at.get(name, ())
    if wires and all(wire.kind == "chart" for wire in wires):
        return False
    sheets = set(platform.parts[name].sheets).union(*(wire.sheets for wire in wires))
    return is_whole(platform, sheets)

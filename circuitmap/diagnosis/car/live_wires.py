"""The wires that are live while parked, each with the way by which it is: what can be rubbed through, and where."""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.diagnosis.car.ways import CurrentWays, Way
from circuitmap.wiring.parts import Fuse, Terminal
from circuitmap.wiring.platform import Platform, Wire


class LiveWire(NamedTuple):
    """A wire, or what a fuse chart draws for some. `near` is its end nearer to what feeds it, `way` the way to there
    without the part that it ends at: with all of that in it is live, whatever is out beyond it."""

    wire: Wire
    near: Terminal
    far: Terminal
    way: Way

    def fuse(self, platform: Platform) -> str:
        """The last fuse before it; empty where there is none."""
        return next((place for place in self.way.places if isinstance(platform.parts.get(place), Fuse)), "")


def live_wires(ways: CurrentWays) -> Iterator[LiveWire]:
    """In the order of the text. Copper inside a box is no wire that could be rubbed."""
    powered = ways.powered
    number, nets = powered.circuit.number, powered.nets
    reached = powered.settled.reach.perhaps_supply
    for wire in powered.circuit.platform.wires:
        if wire.kind == "copper" or wire.a not in number or wire.b not in number:
            continue
        found = []
        for end in (wire.a, wire.b):
            node = number[end]
            way = ways.up_to_node(node) if reached[nets.net_of[node]] else None
            if way is not None:
                found.append((len(way.through), end, way))
        if len(found) == 2:
            _, near, way = min(found, key=lambda its: its[0])
            yield LiveWire(wire, near, wire.b if near == wire.a else wire.a, way)

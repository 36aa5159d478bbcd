"""Which loads a point feeds, or grounds, in a state: those whose current passes it."""

from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO
from circuitmap.volts.expected_volts import way_past
from circuitmap.volts.takers import takes_of
from circuitmap.wiring.parts import Terminal

MOST = 6
"""How many loads are taken to run, the hungriest ones (judgement: nobody switches on more for a measurement)."""


def fed_through(powered: Powered, point: Terminal) -> tuple[str, ...]:
    """The hungriest loads that draw, or may, in this state and whose way passes the point."""
    platform = powered.circuit.platform
    found = []
    for n, name in enumerate(powered.plan.loads):
        if powered.draws[n] == NO or point not in way_past(powered, point, (name,)):
            continue
        takes = takes_of(platform.parts[name], platform.supply_volts, True)
        if takes is not None:
            found.append((powered.draws[n], takes.usual, name))
    found.sort(key=lambda its: (-its[0], -its[1], its[2]))
    return tuple(name for _, _, name in found[:MOST])

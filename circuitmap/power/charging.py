"""What an alternator or charger that feeds charges: which batteries, over what, and how its current returns."""

from typing import NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.joined import batteries_reached
from circuitmap.power.nets import YES
from circuitmap.power.returning import open_on_the_way, ways_back
from circuitmap.wiring.parts import Terminal


class Charging(NamedTuple):
    """A pin by which current leaves for a battery: the fuses and contacts on the way to that battery, what an ammeter
    would be held at on the way back, whether it conducts, and the switches and relays that are open on it."""

    pin: Terminal
    battery: str
    passes: tuple[str, ...]
    back: tuple[str, ...]
    returns: bool
    open_at: tuple[str, ...] = ()


def charged_batteries(powered: Powered) -> tuple[Charging, ...]:
    """Each pin of what feeds, with each battery whose plus its current surely reaches, not through another battery."""
    circuit, found = powered.circuit, []
    posts = {cell.plus: cell.battery for cell in powered.plan.cells}
    minus_of = {cell.battery: cell.minus for cell in reversed(powered.plan.cells)}
    for feeder in dict.fromkeys(cell for cell in powered.plan.feeders if cell.battery in powered.state.feeding):
        grounds = [circuit.number[its] for its in circuit.loads[feeder.battery].grounds if its in circuit.number]
        for battery, passed, level in batteries_reached(powered, feeder.plus, posts):
            back = [way for ground in grounds for way in ways_back(powered, ground, {minus_of[battery]})]
            passes = tuple(name for name, kind in passed if kind != "stud")
            if level == YES:
                pin = circuit.nodes[feeder.plus]
                open_at = () if back else open_on_the_way(powered, grounds, minus_of[battery])
                found.append(Charging(pin, battery, passes, back[0] if back else (), bool(back), open_at))
    return tuple(dict.fromkeys(found))

"""Loads that take less than was typed because resistors lie on their way: a blower in its first step."""

from circuitmap.power.evaluate import Powered
from circuitmap.power.why import why
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Load, Resistor

_COUNTS = 0.05
"""Part of the nominal voltage that a resistor must take from a load for it to be told (judgement): a shunt takes less
than a hundredth."""


def behind_resistors(powered: Powered, name: str) -> tuple[str, ...]:
    """The resistors on the way to a load's live supply pins and from its ground pins, that with the current that
    is typed would take a twentieth of the voltage or more (Ohm's law)."""
    return powered.derived(_Found).by_name.get(name, ())


class _Found:
    def __init__(self, powered: Powered) -> None:
        circuit = powered.circuit
        some = any(link.kind == "resistor" for link in circuit.links)
        names = (its.name for its in powered.loads.values() if its.draws) if some else ()
        self.by_name = {name: found for name in names if (found := _behind(powered, name))}


def _behind(powered: Powered, name: str) -> tuple[str, ...]:
    platform = powered.circuit.platform
    part, power = platform.parts[name], powered.loads[name]
    if not isinstance(part, Load) or part.running is None or part.running.high <= 0.0:
        return ()
    ways = [why(powered, pin.terminal) for pin in power.pins if pin.live == Answer.YES]
    ways += [why(powered, pin, "ground") for pin in powered.circuit.loads[name].grounds]
    links = (step.link for way in ways for step in way.steps if step.link is not None)
    found = dict.fromkeys(link.part for link in links if link.kind == "resistor")
    least = _COUNTS * platform.supply_volts / part.running.high
    return tuple(n for n in found if isinstance(its := platform.parts[n], Resistor) and (its.ohms or 0.0) >= least)

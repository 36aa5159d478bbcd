"""Which batteries start the engine: those that the starter hangs on, over the fewest contacts. A living or body battery
starts nothing: flat, it leaves its users without light, and the engine starts all the same."""

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.over_contacts import over_fewest_contacts
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.usual import has_higher_voltage


def starts_the_engine(circuit: Circuit, battery: str) -> bool:
    """Whether this battery does, as far as the sheets tell: where no starter is typed in, or the way to it, any may;
    and two in series do so together."""
    platform = circuit.platform
    batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
    starters = [part.name for part in platform.loads if part.kind == "starter"]
    if len(batteries) < 2 or not starters or has_higher_voltage(platform):
        return True
    ways = [way for name in starters for way in over_fewest_contacts(circuit, name, batteries.__contains__)]
    return not ways or battery in {way.end.part for way in ways}

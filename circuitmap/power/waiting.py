"""What takes current while it waits: a heater or radio between plus and minus that nothing switches on yet."""

from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO
from circuitmap.wiring.parts import Load, Part


def may_wait(part: Part) -> bool:
    """Whether it can take current while it is not switched on: only what is typed in to take some asleep. A module
    that does not draw takes none."""
    return isinstance(part, Load) and part.kind != "module" and part.asleep is not None


def asleep_level(powered: Powered, number: int) -> int:
    """How surely a load takes what it takes asleep: it draws, or it lies between plus and minus and waits for its
    control pin."""
    draws = powered.draws[number]
    part = powered.circuit.platform.parts[powered.plan.loads[number]]
    return max(draws, powered.between_plus_and_minus(number) if may_wait(part) else NO)

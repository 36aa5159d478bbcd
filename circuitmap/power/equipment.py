"""Optional equipment that nobody said this vehicle has, or does not have."""

from circuitmap.circuit.links import Circuit
from circuitmap.wiring.fitting import Answer, Fitting, holds, needs_of
from circuitmap.wiring.parts import Condition


def not_said(circuit: Circuit, part: str, fitting: Fitting) -> Condition:
    """What the presence of a part, or of all its wires, depends on where nobody said whether this vehicle has it."""
    its = circuit.platform.parts.get(part)
    if its is None or holds(its.condition, fitting) == Answer.NO:
        return ()
    return tuple(sorted(need for need in needs_of(circuit.platform, part) if need.option not in fitting))


def with_equipment(fitting: Fitting, equipment: Condition) -> Fitting:
    return {**fitting, **{need.option: need.fitted for need in equipment}} if equipment else fitting

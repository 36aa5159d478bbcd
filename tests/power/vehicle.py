"""Small vehicles written as notation, for tests that show the text first and what is live right below."""

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.state import VehicleState, check_state
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal
from tests.power.random_platforms import platform_from

NO, MAY_BE, YES = Answer


def vehicle(text: str) -> Circuit:
    return circuit_of(platform_from(text))


def terminal(written: str) -> Terminal:
    """`F1.2`, `X1.3.a`, `SP1`: the last level is the pin or, for a connector, the half."""
    levels = written.split(".")
    if len(levels) == 3 and levels[2] in ("a", "l"):
        return Terminal(*levels)
    return Terminal(".".join(levels[:-1]), levels[-1]) if len(levels) > 1 else Terminal(written)


def live(circuit: Circuit, **state: object) -> Powered:
    """The vehicle in a state, whose names are checked first."""
    its = VehicleState(**state)  # type: ignore[arg-type]
    check_state(circuit.platform, its, circuit.contacts)
    return evaluate(circuit, its)


def drawing(powered: Powered) -> dict[str, str]:
    """Loads that draw or may draw."""
    return {name: load.draws.words for name, load in powered.loads.items() if load.draws}

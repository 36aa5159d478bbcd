"""The flow from loads that do not work, as they are typed, to what it may be and the next step.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench
from circuitmap.flows.volts import readings_typed

if TYPE_CHECKING:
    from circuitmap.dead.dead_loads import DeadLoads
    from circuitmap.power.state import VehicleState


def loads_named(bench: Bench, written: Sequence[str]) -> tuple[str, ...]:
    """Full names of loads from tails of them, several with commas between; raises WrongUse for anything else."""
    from circuitmap.wiring.names import find_part

    found: dict[str, None] = {}
    for text in (piece for words in written for piece in words.split(",") if piece):
        name = find_part(bench.platform, text)
        if name not in bench.circuit.loads:
            kind = bench.platform.parts[name].kind
            raise WrongUse(f"{name} is a {kind}, no load: say what does not work.", "For example a lamp or a module.")
        found[name] = None
    return tuple(found)


def dead(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads":
    """What may be interrupted where these loads do not work and those do."""
    from circuitmap.dead.dead_loads import Complaint, dead_loads
    from circuitmap.power.state_for import state_for

    dead_names, work_names = loads_named(bench, loads), loads_named(bench, works)
    both = set(dead_names) & set(work_names)
    if both:
        raise WrongUse(f"{min(both)} cannot be dead and work at once.")
    for name in dead_names:
        untouchable = bench.circuit.hands_off.why_not(name)
        if untouchable is not None and untouchable.how == "itself":
            from circuitmap.reports.words.hands_off_words import HAND_OVER, why_words

            raise WrongUse(f"{why_words(name, untouchable)}: nothing is tested there.", f"{HAND_OVER.capitalize()}.")
    readings = readings_typed(bench.platform, saw)
    if readings.amps or readings.posts:
        raise WrongUse("Only volts at points count here.", "For example --saw F72=0.02V.")
    state = state_for(bench.circuit, said, (*dead_names, *work_names))
    return dead_loads(state, Complaint(dead_names, work_names, readings.volts))

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
    from circuitmap.dead.watched import ToldOf
    from circuitmap.power.state import VehicleState


def told_of(bench: Bench, written: Sequence[str], works: bool) -> "tuple[ToldOf, ...]":
    """What is said to work or not, each in its own position where that was said: `M12@S14=4`, several with commas."""
    from circuitmap.dead.written_told import written_told

    pieces = (piece for words in written for piece in words.split(",") if piece)
    return tuple(dict.fromkeys(written_told(bench.circuit, text, works) for text in pieces))


def dead(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads":
    """What may be interrupted where these loads do not work and those do."""
    from circuitmap.dead.dead_loads import Complaint, dead_loads

    told = (*told_of(bench, loads, False), *told_of(bench, works, True))
    twice = {(its.name, its.said, its.network) for its in told}
    if len(twice) < len(told):
        raise WrongUse("The same thing cannot be dead and work at once.")
    for its in told:
        untouchable = bench.circuit.hands_off.why_not(its.name)
        if not its.works and untouchable is not None and untouchable.how == "itself":
            raise WrongUse(
                f"{its.name} is hands-off: nothing is tested there.", "The maker's procedure, by somebody licensed."
            )
    readings = readings_typed(bench.platform, saw)
    if readings.amps or readings.posts:
        raise WrongUse("Only volts at points count here.", "For example --saw F72=0.02V.")
    for point in readings.volts:
        if not bench.circuit.hands_off.may_touch(str(point)):
            raise WrongUse(f"{point} is hands-off: not probed.", "Write down who measured it, and by which procedure.")
    return dead_loads(bench.circuit, said, Complaint(told, readings.volts))

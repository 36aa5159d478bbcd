"""The flow from loads that do not work, as they are typed, to what it may be and the next step.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench
from circuitmap.flows.volts import functions_named, readings_typed

if TYPE_CHECKING:
    from circuitmap.dead.dead_loads import DeadLoads
    from circuitmap.dead.watched import ToldOf
    from circuitmap.power.state import VehicleState
    from circuitmap.power.state_for import FurtherChange


def told_of(bench: Bench, written: Sequence[str], works: bool) -> "tuple[ToldOf, ...]":
    """What is said to work or not, each in its own position where that was said: `M12@S14=4`, several with commas."""
    from circuitmap.dead.watched import ToldOf

    found: dict[ToldOf, None] = {}
    for text in (piece for words in written for piece in words.split(",") if piece):
        name, *positions = text.split("@")
        said = tuple(_position(bench, its) for its in positions)
        for its in functions_named(bench, (name,)):
            found[ToldOf(its, works, said)] = None
    return tuple(found)


def _position(bench: Bench, written: str) -> "FurtherChange":
    """`S14=4` or `key=run`, checked."""
    from circuitmap.flows.states import state_of
    from circuitmap.power.state_for import FurtherChange

    what, _, to = written.partition("=")
    if what == "key":
        return FurtherChange("key", state_of(bench, key=to).key)
    ((switch, position),) = state_of(bench, switches=(written,)).switches.items()
    return FurtherChange(switch, position)


def dead(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads":
    """What may be interrupted where these loads do not work and those do."""
    from circuitmap.dead.dead_loads import Complaint, dead_loads

    told = (*told_of(bench, loads, False), *told_of(bench, works, True))
    twice = {(its.name, its.said) for its in told}
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

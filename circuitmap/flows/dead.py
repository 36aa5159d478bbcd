"""The flow from loads that do not work, as they are typed, to what it may be and the next step.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench
from circuitmap.flows.volts import readings_typed

if TYPE_CHECKING:
    from circuitmap.dead.blown import BlownFuse
    from circuitmap.dead.dead_loads import DeadLoads
    from circuitmap.dead.watched import ToldOf
    from circuitmap.power.state import VehicleState


def told_of(bench: Bench, written: Sequence[str], works: bool) -> "tuple[ToldOf, ...]":
    """What is said to work or not, each in its own position where that was said: `M12@S14=4`, several with commas."""
    from circuitmap.dead.written_told import written_told

    pieces = (piece for words in written for piece in words.split(",") if piece)
    return tuple(dict.fromkeys(written_told(bench.circuit, text, works) for text in pieces))


def dead_or_blown(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads | BlownFuse":
    """Where a fuse was named, where the short is that it blew for; else what is interrupted."""
    from circuitmap.dead.blown import blown_fuse
    from circuitmap.dead.written_told import written_fuse

    pieces = [(text, its is works) for its in (loads, works) for words in its for text in words.split(",") if text]
    fuses = [written_fuse(bench.circuit, *piece) for piece in pieces]
    told = [its for its in fuses if its is not None]
    if not any(not its.works for its in told):
        return dead(bench, said, loads, works, saw)
    if len(told) < len(pieces) or len({its.name for its in told}) > 1 or saw:
        raise WrongUse(
            "A fuse that blew is asked about by itself.",
            "Name that fuse alone, and with --works the same fuse in the positions in which it holds: F50@WORKSW=off.",
        )
    if not bench.circuit.hands_off.may_touch(told[0].name):
        raise WrongUse(f"{told[0].name} is hands-off: nothing is tested there.", _LICENSED)
    return blown_fuse(bench.circuit, said, told)


_LICENSED = "The maker's procedure, by somebody licensed."


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
            raise WrongUse(f"{its.name} is hands-off: nothing is tested there.", _LICENSED)
    readings = readings_typed(bench.platform, saw)
    if readings.amps or readings.posts:
        raise WrongUse("Only volts at points count here.", "For example --saw F72=0.02V.")
    for point in readings.volts:
        if not bench.circuit.hands_off.may_touch(str(point)):
            raise WrongUse(f"{point} is hands-off: not probed.", "Write down who measured it, and by which procedure.")
    return dead_loads(bench.circuit, said, Complaint(told, readings.volts))

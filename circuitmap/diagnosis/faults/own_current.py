"""A fault that takes a current of its own, whatever else it is."""

from circuitmap.diagnosis.car.picture import LIVE_PERHAPS, Flow, FlowKey, moments
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.weighing.log_normal import Spread
from circuitmap.power.nets import YES
from circuitmap.wiring.fitting import Answer


def own_fault(kind: Kind, part: str, about: str, way: Way, spread: Spread, there: Answer) -> Fault:
    """A fault that takes an unknown current at a place."""
    flow = own_flow(FlowKey(part, kind, "own"), part, spread, way, YES, True)
    return Fault(
        kind=kind, part=part, about=about, odds=0.0, brings=(flow,), place=about, lives_by=(way.through,),
        perhaps=there == Answer.MAY_BE,
    )  # fmt: skip


def own_flow(key: FlowKey, owner: str, spread: Spread, way: Way, level: int, assumed: bool) -> Flow:
    """A current that a fault takes itself, as likely as its supply is live."""
    mean, variance = moments(spread, 1.0 if level == YES else LIVE_PERHAPS)
    return Flow(key, owner, mean, variance, way, assumed)

"""An output of a module that nobody asks for, and that lets a part of its load's current through all the same. Told
where it is typed in what the load takes: of an output that only holds relays, or tells another one what to give, a part
of so little shows nothing."""

from dataclasses import replace

from circuitmap.diagnosis.car.asked_amount import gives_as_asked, let_through
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import LETS_SOME, LETS_SOME_AS_ASKED

LEAST_LOAD = 0.5
"""In A: a part of what less takes is hardly seen beside what sleeps (judgement)."""


def letting_some_through(parked: Parked, fault: Fault) -> tuple[Fault | None, float]:
    """The same output letting only some through, and its share of the odds."""
    output = next((its for its in parked.platform.outputs if its.contact == fault.contact), None)
    if output is None or fault.kind != "contact" or fault.pin or fault.wakes or fault.hangs or fault.of:
        return None, 0.0
    whole = all(f.key.taken == "running" and not f.assumed and fault.contact in f.way.through for f in fault.brings)
    asked = {its.contact for its in parked.platform.outputs if its.inputs} - {fault.contact}
    whole = whole and all(asked.isdisjoint(flow.way.through) for flow in fault.brings)
    if not whole or sum(flow.mean for flow in fault.brings) < LEAST_LOAD:
        return None, 0.0
    share = LETS_SOME_AS_ASKED if gives_as_asked(output, parked.platform) else LETS_SOME
    return replace(fault, partly=True, brings=let_through(fault.brings)), share

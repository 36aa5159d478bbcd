"""Every fault that could be on this platform, kind by kind, and its odds."""

from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_currents import CURRENTS, added_on_the_card
from circuitmap.diagnosis.faults.candidates_switching import SWITCHING
from circuitmap.diagnosis.faults.candidates_waking import WAKING
from circuitmap.diagnosis.faults.fault import Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS, OPTION_NOT_SAID, Kind

SOURCES: tuple[FaultSource, ...] = (*CURRENTS, *SWITCHING, *WAKING)
"""What finds faults in the circuit, with the kinds that each finds. "None of these" is found in the readings alone."""


def faults_of(parked: Parked, added: tuple[tuple[str, str], ...] = ()) -> tuple[Fault, ...]:
    """All candidates with their odds, in a fixed order. `added` are (name, fed from) pairs of what no sheet shows."""
    candidates = [candidate for source in SOURCES for candidate in source.candidates(parked)]
    candidates += added_on_the_card(parked, added)
    in_all: dict[Kind, float] = {}
    for candidate in candidates:
        in_all[candidate.fault.kind] = in_all.get(candidate.fault.kind, 0.0) + candidate.weight
    faults: dict[tuple[str, ...], Fault] = {}
    for candidate in candidates:
        fault = candidate.fault
        kind = FAULT_KINDS[fault.kind]
        odds = kind.share * candidate.weight / max(in_all[fault.kind], kind.usual) * candidate.factor
        if fault.perhaps:
            odds *= OPTION_NOT_SAID
        faults.setdefault(fault.identity, replace(fault, odds=odds, brings=parked.converters.apart(fault.brings)))
    return tuple(faults[identity] for identity in sorted(faults))

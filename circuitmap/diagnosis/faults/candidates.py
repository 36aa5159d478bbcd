"""Every fault that could be on this platform, kind by kind, and its odds."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.candidates_currents import (
    added_on_the_card,
    added_somewhere,
    chafed_behind_fuses,
    takes_current_by_itself,
    unfused,
)
from circuitmap.diagnosis.faults.candidates_switching import chafed_ground_sides, coils, contacts, lamps_never_switched
from circuitmap.diagnosis.faults.candidates_waking import chafed_lines, keeps_awake, wrong_inputs
from circuitmap.diagnosis.faults.fault import Candidate, Fault
from circuitmap.diagnosis.faults.fault_kinds import OPTION_NOT_SAID, SHARE, Kind

Candidates = Callable[[Parked], Iterator[Candidate]]

SOURCES: tuple[Candidates, ...] = (
    added_somewhere,
    keeps_awake,
    wrong_inputs,
    takes_current_by_itself,
    contacts,
    lamps_never_switched,
    coils,
    chafed_behind_fuses,
    chafed_ground_sides,
    chafed_lines,
    unfused,
)


def faults_of(parked: Parked, added: tuple[tuple[str, str], ...] = ()) -> tuple[Fault, ...]:
    """All candidates with their odds, in a fixed order. `added` are (name, fed from) of what no sheet shows."""
    candidates = [candidate for source in SOURCES for candidate in source(parked)]
    candidates += added_on_the_card(parked, added)
    in_all: dict[Kind, float] = {}
    for candidate in candidates:
        in_all[candidate.fault.kind] = in_all.get(candidate.fault.kind, 0.0) + candidate.weight
    faults: dict[tuple[str, ...], Fault] = {}
    for candidate in candidates:
        fault = candidate.fault
        odds = SHARE[fault.kind] * candidate.weight / in_all[fault.kind] * candidate.factor
        if fault.perhaps:
            odds *= OPTION_NOT_SAID
        faults.setdefault(fault.identity, replace(fault, odds=odds))
    return tuple(faults[identity] for identity in sorted(faults))

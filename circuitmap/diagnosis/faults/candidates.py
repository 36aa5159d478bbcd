"""Every fault that could be on this platform, kind by kind, and its odds."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.at_work import may_work, switches_itself, working
from circuitmap.diagnosis.faults.candidates_currents import CURRENTS, added_on_the_card
from circuitmap.diagnosis.faults.candidates_switching import SWITCHING
from circuitmap.diagnosis.faults.candidates_waking import WAKING
from circuitmap.diagnosis.faults.control_wires import CONTROL_WIRES
from circuitmap.diagnosis.faults.empty_slots import fuses_where_none_belongs
from circuitmap.diagnosis.faults.fault import Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import (
    AT_WORK,
    DEAD,
    DRIVES_ITS_LINE,
    FAULT_KINDS,
    HANGS,
    ONE_NETWORK,
    OPTION_NOT_SAID,
    RUNS_BY_ITSELF,
    TURNS_ON,
    Kind,
)
from circuitmap.diagnosis.faults.hanging import hanging
from circuitmap.diagnosis.faults.holding_itself import HOLDING_ITSELF
from circuitmap.diagnosis.faults.letting_through import letting_some_through
from circuitmap.diagnosis.faults.not_working import not_working
from circuitmap.diagnosis.faults.one_network import with_one_network
from circuitmap.diagnosis.faults.relays_by_feed import BY_FEED
from circuitmap.diagnosis.faults.touching_plus import touching_plus
from circuitmap.diagnosis.faults.wake_lines import driving_its_line

SOURCES: tuple[FaultSource, ...] = (
    *CURRENTS, *SWITCHING, *CONTROL_WIRES, *BY_FEED, *WAKING, FaultSource(("chafed",), touching_plus),
    FaultSource(("extra-fuse",), fuses_where_none_belongs),
    *HOLDING_ITSELF,
)  # fmt: skip
"""What finds faults in the circuit, with the kinds that each finds. "None of these" is found in the readings alone."""


def faults_of(parked: Parked, added: tuple[tuple[str, str], ...] = ()) -> tuple[Fault, ...]:
    """All candidates with their odds, in a fixed order. `added` are (name, fed from) pairs of what no sheet shows."""
    candidates = [candidate for source in SOURCES for candidate in source.candidates(parked)]
    named = added_on_the_card(parked, added)
    in_all: dict[Kind, float] = {}
    # Each thing that was named is one more that may draw: they make their kind likelier, and not each other less so.
    for candidate in (*candidates, *named[:1]):
        in_all[candidate.fault.kind] = in_all.get(candidate.fault.kind, 0.0) + candidate.weight
    candidates += named
    faults: dict[tuple[str, ...], Fault] = {}
    for candidate in candidates:
        fault = candidate.fault
        kind = FAULT_KINDS[fault.kind]
        odds = kind.share * candidate.weight / max(in_all[fault.kind], kind.usual) * candidate.factor
        if fault.perhaps:
            odds *= OPTION_NOT_SAID
        fault = replace(fault, brings=parked.converters.apart(fault.brings))
        for one, share in _in_its_forms(fault, parked):
            faults.setdefault(one.identity, replace(one, odds=odds * share))
    return tuple(faults[identity] for identity in sorted(faults))


def _in_its_forms(fault: Fault, parked: Parked) -> Iterator[tuple[Fault, float]]:
    """A fault as it is, and as it shows where its module is at work, wakes only one of its networks, or where one of
    the things that it turns on is dead; each with its share of the odds."""
    module = parked.platform.parts.get(fault.module)
    if module is not None and may_work(fault, module):
        share = RUNS_BY_ITSELF if switches_itself(module) else AT_WORK
        yield fault, 1.0 - share
        yield working(fault, module), share
        return
    hung = tuple(hanging(parked, fault))
    share = HANGS if fault.kind == "keeps-awake" else TURNS_ON
    for one in hung:
        yield one, share / len(hung)
    left = 1.0 - share if hung else 1.0
    driving = driving_its_line(parked, fault)
    if driving is not None:
        one, slept = driving
        # Which of its networks a gateway's wake pin wakes no sheet says: of one that is awake already, perhaps no more.
        its_share = DRIVES_ITS_LINE * (1.0 if slept else ONE_NETWORK)
        yield one, left * its_share
        left *= 1.0 - its_share
    yield from ((one, left * share) for one, share in _in_other_forms(fault, parked))


def _in_other_forms(fault: Fault, parked: Parked) -> Iterator[tuple[Fault, float]]:
    single = tuple(with_one_network(parked, fault))
    if single:
        yield fault, 1.0 - ONE_NETWORK
        for one in single:
            yield one, ONE_NETWORK / len(single)
        return
    some, share = letting_some_through(parked, fault)
    if some is not None:
        yield some, share
    half = not_working(fault)
    yield fault, (1.0 - share) * (1.0 - DEAD * len(half))
    for one in half:
        yield one, (1.0 - share) * DEAD

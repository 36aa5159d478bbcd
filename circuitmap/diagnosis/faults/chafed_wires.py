"""Wires chafed where no fuse is before them: straight from a battery, or from where nobody typed in."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.currents import CHAFED
from circuitmap.diagnosis.car.live_wires import LiveWire
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.fault import Candidate, Fault
from circuitmap.diagnosis.faults.fault_kinds import CHAFED_OPEN_FEED, CHAFED_UNFUSED
from circuitmap.diagnosis.faults.own_current import own_fault
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Battery, Fuse, Load, OpenEnd


def chafed_before_fuses(parked: Parked) -> Iterator[Candidate]:
    """Each wire between a battery and the first fuse, and the wire that feeds something from where nobody typed in:
    rubbed through it burns, or leaks for weeks through dirt and water. It is live whatever is unplugged behind it. What
    wires of one way bring is one and the same. Those from a battery share one weight, however finely they are drawn."""
    brings: dict[Way, tuple[Flow, ...]] = {}
    unfused: list[Fault] = []
    for its in parked.live_wires:
        there = holds(its.wire.condition, parked.fitting)
        battery = _battery_of(parked, its)
        if there == Answer.NO or not battery or its.fuse(parked.platform) or not parked.may_try(battery):
            continue
        feeds_it = _is_open_feed(parked, its)
        if not (feeds_it or its.way.known) or isinstance(parked.platform.parts.get(its.near.part), Fuse):
            continue
        name = f"feed wire of {its.far.part}" if feeds_it else f"wire {its.near} to {its.far}"
        fault = own_fault("chafed", name, battery, its.way, CHAFED, there)
        fault = replace(fault, brings=brings.setdefault(its.way, fault.brings), ends=(str(its.near), str(its.far)))
        if feeds_it:
            colour = its.wire.colour_written if its.wire.colour else ""
            yield Candidate(replace(fault, others=(its.far.part,), colour=colour), CHAFED_OPEN_FEED)
        else:
            unfused.append(fault)
    for fault in unfused:
        yield Candidate(fault, CHAFED_UNFUSED / len(unfused))


def _battery_of(parked: Parked, its: LiveWire) -> str:
    parts = parked.platform.parts
    return next((place for place in its.way.places if isinstance(parts.get(place), Battery)), "")


def _is_open_feed(parked: Parked, its: LiveWire) -> bool:
    """Whether it comes from where nobody typed in, to something that takes current."""
    start, end = (parked.platform.parts.get(name) for name in (its.near.part, its.far.part))
    return isinstance(start, OpenEnd) and start.from_supply and isinstance(end, Load)

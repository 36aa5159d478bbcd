"""What has to come out before a relay is pulled whose contact carries a large current: it would arc at the socket."""

from collections.abc import Mapping

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

ARCS = 5.0
"""Amperes from which on a relay is not pulled with its load on (judgement: the socket's contacts part slowly)."""


def fuses_first(
    platform: Platform, hands_off: HandsOffMap, fault: Fault, readings: Mapping[str, Reading]
) -> tuple[str, ...]:
    """The fuses of what a stuck contact feeds, where more flows over it than may be parted at its socket: a fuse that
    was read carries what it showed, and no more flows than was read on the way to it. What is only assumed counts
    where such a reading says that something flows; what is merely awake, and fed in another way, does not."""
    if not fault.has("contact-volts"):
        return ()
    over = [flow for flow in fault.brings if _is_over(flow, fault)]
    through: dict[str, list[Flow]] = {}
    for flow in over:
        fuses = (name for name in flow.way.places if isinstance(platform.parts.get(name), Fuse))
        through.setdefault(next(fuses, ""), []).append(flow)
    amounts = {name: _amount(name, flows, readings) for name, flows in through.items()}
    shared = set.intersection(*(set(flow.way.places) for flow in over)) if over else set()
    if min([sum(amounts.values()), *_read(shared, readings)]) < ARCS:
        return ()
    out = (name for name, amps in amounts.items() if name and amps > 0.0)
    return tuple(sorted(name for name in out if hands_off.may_touch(name) and _is_pulled(platform, name)))


def _is_over(flow: Flow, fault: Fault) -> bool:
    """Whether a current flows over a contact of the part at fault: the ways of currents name each contact passed."""
    return any(name.rpartition(".")[0] == fault.part for name in flow.way.through)


def _amount(name: str, flows: list[Flow], readings: Mapping[str, Reading]) -> float:
    """How much flows through one fuse behind a contact, in A."""
    read = _read({name}, readings)
    if read:
        return read[0]
    above = _read(set.intersection(*(set(flow.way.places) for flow in flows)), readings)
    return min([sum(flow.mean for flow in flows if above or not flow.assumed), *above])


def _read(places: set[str], readings: Mapping[str, Reading]) -> list[float]:
    its = (readings[place] for place in places if place in readings)
    return [max(reading.amps, 0.0) for reading in its if reading.amps is not None]


def _is_pulled(platform: Platform, name: str) -> bool:
    fuse = platform.parts[name]
    return isinstance(fuse, Fuse) and fuse.kind != "link" and fuse.style != "bolted"

"""What a look, a relay's volts, or an input in the live data would show of a fault."""

from collections.abc import Container, Iterable

from circuitmap.diagnosis.car.picture import SIGNAL_LAMP, Flow
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS
from circuitmap.evidence.checks_at_parts import RelayState
from circuitmap.wiring.platform import Platform

LAMP_SEEN, LAMP_SLIP = 0.90, 0.002
"""Chance that whoever looks at a lamp that burns sees it, and that a lamp burns for another reason (judgement)."""
# Judgement.
SEEN_IF_NAMED = 0.6
SEEN_IF_PARTLY, SEEN_TO_GLOW = 0.05, 0.40
"""Of what is let through a motor stands and a heater is hardly warm; a lamp may glow."""
INPUT_SEEN, INPUT_SLIP = 0.90, 0.01
INPUT_TESTED = 0.98
"""Chance that a wrong input is found where it is tested apart: the live data show what a module makes of all of them at
once, here somebody measured at each by itself (judgement)."""
RELAY_SEEN = 0.95
BRIDGED, BRIDGED_SLIP = 0.90, 0.02
"""Chance that a draw goes with the contact bridged whose being open makes it, and that it goes by a slip."""
FOLLOWED = 0.90
"""Chance that whoever follows the wire behind a fuse finds what was added to it, or where it is chafed."""


def hangs_there(fault: Fault, fuse: str) -> bool:
    """Whether it is found by following the wire behind a fuse."""
    return fault.has("its-place") and fuse in (fault.about, fault.place)


def is_on_card(fault: Fault) -> bool:
    """Whether it is something on no sheet that the card names: nobody has to find it any more."""
    return fault.kind == "added" and fault.about == fault.part != fault.place


def seen_by_looking(fault: Fault) -> float:
    """The chance that a look finds it: what is named on the card is easier to find."""
    named = fault.kind == "added" and fault.about == fault.part
    if fault.partly:
        return SEEN_IF_PARTLY
    return SEEN_IF_NAMED if named else FAULT_KINDS[fault.kind].seen_by_looking


def shown_by_looking(fault: Fault, platform: Platform) -> float:
    """The chance that whoever looks sees it, or a lamp that burns by it, whatever lets it burn. That is not yet finding
    it; but whoever looked and saw nothing saw no lamp either."""
    its = seen_by_looking(fault)
    if fault.partly:
        return SEEN_TO_GLOW if lights(fault, platform) else its
    return max(its, FAULT_KINDS["lamp"].seen_by_looking) if lights(fault, platform) else its


def lights(fault: Fault, platform: Platform) -> bool:
    """Whether some lamp burns by a fault."""
    return bool(burns(fault, platform))


def burns(fault: Fault, platform: Platform) -> frozenset[str]:
    """The lamps that burn by a fault."""
    burning = (flow.owner for flow in fault.brings if flow.key.taken == "running" and flow.mean > SIGNAL_LAMP)
    return frozenset(name for name in burning if (its := platform.parts.get(name)) is not None and its.kind == "lamp")


def pulled_in(brings: Iterable[Flow]) -> frozenset[str]:
    """The relays whose coils take some of this current."""
    return frozenset(flow.owner for flow in brings if flow.holds_a_relay)


def relay_under(fault: Fault, relay: str, held: Container[str] | None = None) -> RelayState:
    """The state of a relay under a fault, as its volts show it: held by its coil, stuck, or open. One that is fed past
    its contact shows no volts across that either. `held`: what it pulls in, if known."""
    held = pulled_in(fault.brings) if held is None else held
    if (fault.has("coil-volts") and fault.contact == relay) or relay in held:
        return "held"
    looks_closed = relay in fault.fed_past or (fault.has("contact-volts") and fault.part == relay)
    return "stuck" if looks_closed else "open"

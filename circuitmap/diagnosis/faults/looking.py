"""What a look, a relay's volts, or an input in the live data would show of a fault."""

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS
from circuitmap.evidence.checks_at_parts import RelayState

# Judgement.
SEEN_IF_NAMED = 0.6
INPUT_SEEN, INPUT_SLIP = 0.90, 0.04
RELAY_SEEN = 0.95


def seen_by_looking(fault: Fault) -> float:
    """The chance that a look finds it: what is named on the card is easier to find."""
    named = fault.kind == "added" and fault.about == fault.part
    return SEEN_IF_NAMED if named else FAULT_KINDS[fault.kind].seen_by_looking


def relay_under(fault: Fault, relay: str) -> RelayState:
    """The state of a relay under a fault: held by its coil, stuck, or open."""
    fed = fault.has("coil-volts") and fault.contact == relay
    if fed or any(f.holds_a_relay and f.owner == relay for f in fault.brings):
        return "held"
    return "stuck" if fault.has("contact-volts") and fault.part == relay else "open"

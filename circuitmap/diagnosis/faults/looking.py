"""What a look, a relay's volts, or an input in the live data would show of a fault."""

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.evidence.checks_at_parts import RelayState

# Judgement: how often a look, without any tool, finds what is wrong.
SEEN_BY_LOOKING: dict[Kind, float] = {
    "added": 0.30, "lamp": 0.75, "contact": 0.20, "coil": 0.15, "by-itself": 0.10, "chafed": 0.15, "unfused": 0.10,
    "keeps-awake": 0.02, "wrong-input": 0.10, "none-of-these": 0.02,
}  # fmt: skip
SEEN_IF_NAMED = 0.6
INPUT_SEEN, INPUT_SLIP = 0.90, 0.04
RELAY_SEEN = 0.95


def seen_by_looking(fault: Fault) -> float:
    """The chance that a look finds it: what is named on the card is easier to find."""
    named = fault.kind == "added" and fault.about == fault.part
    return SEEN_IF_NAMED if named else SEEN_BY_LOOKING[fault.kind]


def relay_under(fault: Fault, relay: str) -> RelayState:
    """How a relay stands under a fault: held by its coil, stuck, or open."""
    if (fault.kind == "coil" and fault.contact == relay) or any(f.key == (relay, "coil", "") for f in fault.brings):
        return "held"
    return "stuck" if fault.kind == "contact" and fault.part == relay else "open"

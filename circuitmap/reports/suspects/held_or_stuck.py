"""A relay that is surely what is wrong, while it is open whether its contact is stuck or its coil held: the two are
mended in different places."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.looking import relay_under
from circuitmap.evidence.checks_at_parts import RelayVolts
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform

MAY_BE_THE_OTHER = 0.05
"""Of what a relay may be, the share from which on the other of the two is told beside it (judgement)."""


def the_other(platform: Platform, diagnosis: Diagnosis, first: Fault) -> tuple[Fault, float] | None:
    """The likeliest fault of the same relay in the other state, and the share of all there is about the relay that is
    in this state; None for what is no relay, and where it is as good as told."""
    relay = first.part
    if not isinstance(platform.parts.get(relay), Relay):
        return None
    own = relay_under(first, relay)
    shares = {"held": 0.0, "stuck": 0.0}
    likeliest: Fault | None = None
    for row in diagnosis.rows:
        for fault in row.faults[0]:
            if fault.part != relay or (state := relay_under(fault, relay)) == "open":
                continue
            shares[state] += row.probability
            if state != own and likeliest is None:
                likeliest = fault
    share = 1.0 - shares.get(own, 0.0) / max(sum(shares.values()), 1e-9)
    return (likeliest, share) if likeliest is not None and share >= MAY_BE_THE_OTHER else None


def or_the_other(platform: Platform, diagnosis: Diagnosis, first: Fault) -> str:
    """The other of the two as a sentence, with its chance; empty where nothing is open."""
    other = the_other(platform, diagnosis, first)
    if other is None:
        return ""
    fault, share = other
    return f" Or {fault_words(platform, fault)} ({chance(share)})."


def is_measured_first(platform: Platform, diagnosis: Diagnosis, part: str) -> bool:
    """Whether nobody has measured yet which of the two a relay is, and both are open."""
    first = next((its.faults[0] for its in diagnosis.parts if its.part == part), None)
    if first is None or the_other(platform, diagnosis, first) is None:
        return False
    lines = (line.about for row in diagnosis.rows for line in row.argument.lines)
    return not any(isinstance(about, RelayVolts) and about.relay == part for about in lines)


def measured_first(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What is measured at such a relay before it is taken out for its proof."""
    if not is_measured_first(platform, diagnosis, part):
        return ""
    return (
        "Before it is touched, volts across its coil say which of the two it is, in its socket or at the wire: driven, "
        f"it is held and what drives it is wrong; none, its contact is stuck (relay {part} held|stuck). "
    )

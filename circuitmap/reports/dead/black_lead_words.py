"""Where the black lead goes, said once for all probes."""

from typing import assert_never

from circuitmap.dead.black_lead import BlackLead
from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.reports.volts.place_words import between_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.wiring.platform import Platform


def black_lead_told(its: DeadLoads) -> list[str]:
    """One sentence, where any ground will not do."""
    return [] if its.black_lead is None else [black_lead_words(its.circuit.platform, its.black_lead)]


def black_lead_words(platform: Platform, its: BlackLead) -> str:
    """`On the minus post of B, not on the body or the frame: ISO lies between.`"""
    post = f"On the minus post of {its.at.part}"
    match its.why:
        case "switched":
            return f"{post}, not on the body or the frame: {between_words(its.names)}."
        case "suspected":
            return f"{post}, not on the body or a ground point: a way to ground may be what is open."
        case "made":
            at = terminal_words(platform, its.at)
            return f"On {at}, the ground of {joined(its.names)} itself, not on the body: what it makes returns there."
        case _:
            assert_never(its.why)

"""What was renewed before the vehicle came in, and did not help, by the free words of the intake."""

import re
from dataclasses import replace

from circuitmap.evidence.evidence import Evidence, MendedThing
from circuitmap.evidence.job_card import JobCard
from circuitmap.jobs.named_in_words import names_in
from circuitmap.wiring.parts import Load, Relay, Switch
from circuitmap.wiring.platform import Platform

_RENEWED = re.compile(r"\b(?:renewed|replaced|exchanged|swapped|changed|new)\b", re.IGNORECASE)
_IN_VAIN = re.compile(
    r"\b(?:no help|no better|no difference|no change|no use|no success|in vain|without success|did(?: not|n't) help|"
    r"has(?: not|n't) helped|not cured|no cure|same as before|same again|came back|still goes flat)\b",
    re.IGNORECASE,
)
"""Words for both (our own choice). Without the second, what was done may as well be how it began."""
_DONE = re.compile(r"\bnew\b|\w+ed\b", re.IGNORECASE)
"""That a clause says itself what was done."""
_OF_WIRES = re.compile(r"\b(?:wires?|wiring|cables?|leads?|loom|harness|plugs?|connectors?|fuses?)\b", re.IGNORECASE)


def renewed_before(platform: Platform, words: str) -> tuple[str, ...]:
    """The parts of the sheets that were renewed in vain, by these words. Of a wire, plug or fuse the words mean that,
    not the part it belongs to; a list has one verb at its end (`battery and controller renewed`)."""
    if not _IN_VAIN.search(words):
        return ()
    found: dict[str, None] = {}
    for sentence in re.split(r";|\.(?=\s|$)", words):
        before: list[str] = []
        for clause in sentence.split(","):
            before.append(clause)
            if _RENEWED.search(clause):
                named = (name for one in before if not _OF_WIRES.search(one) for name in names_in(platform, one, ()))
                found |= dict.fromkeys(n for n in named if isinstance(platform.parts.get(n), Load | Relay | Switch))
            if _DONE.search(clause):
                before = []
    return tuple(found)


def with_what_was_renewed(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence of a card, with what its intake says of that."""
    told = card.intake.get("done-before")
    names = renewed_before(platform, told.value) if told is not None else ()
    return replace(evidence, mended=(*evidence.mended, *(MendedThing((name,), "before") for name in names)))

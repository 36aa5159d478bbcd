"""What was renewed before the vehicle came in, and did not help, by the free words of the intake."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from circuitmap.evidence.evidence import Evidence, MendedThing
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.written_names import batteries_of
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
_A_BATTERY = re.compile(r"\b(?:battery|batteries)\b", re.IGNORECASE)
_AT_A_BATTERY = re.compile(
    r"\bbatter(?:y|ies)(?:'s)? (?:post|pole|clamp|terminal|switch|isolator|tray|box|charger|sensor|monitor)",
    re.IGNORECASE,
)
"""What belongs to a battery and is none."""


def renewed_before(platform: Platform, words: str) -> tuple[str, ...]:
    """The parts of the sheets that were renewed in vain, by these words. Of a wire, plug or fuse the words mean that,
    not the part it belongs to; a list has one verb at its end (`battery and controller renewed`)."""
    return _renewed_parts(platform, words) if _IN_VAIN.search(words) else ()


def renewed_against_it(platform: Platform, words: str, claims: Iterable[str]) -> tuple[str, ...]:
    """The parts that were renewed by these words, and of which others say on the card, too, that they renewed them: so
    it was done against what goes on still, and is not how it began."""
    claimed = {name for said in claims if _RENEWED.search(said) for name in names_in(platform, said, ())}
    return tuple(name for name in _renewed_parts(platform, words) if name in claimed)


def _renewed_parts(platform: Platform, words: str) -> tuple[str, ...]:
    named = (name for one in _said_as_renewed(words) for name in names_in(platform, one, ()))
    return tuple(dict.fromkeys(n for n in named if isinstance(platform.parts.get(n), Load | Relay | Switch)))


def batteries_renewed_before(platform: Platform, words: str) -> frozenset[str]:
    """The batteries that were renewed before the vehicle came in, by these words: by name, or `the battery` where
    there is one, `both batteries`. Whether it helped is no matter: what the old one had lost the new one has."""
    every, found = batteries_of(platform), set[str]()
    for one in _said_as_renewed(words):
        named = {name for name in names_in(platform, one, ()) if name in every}
        if not named and (word := _A_BATTERY.search(one)) is not None and not _AT_A_BATTERY.search(one):
            named = set(every) if len(every) == 1 or word[0].casefold() == "batteries" else set()
        found |= named
    return frozenset(found)


def _said_as_renewed(words: str) -> Iterator[str]:
    """The clauses that name what was renewed, but for wires, plugs and fuses."""
    for sentence in re.split(r";|\.(?=\s|$)", words):
        before: list[str] = []
        for clause in sentence.split(","):
            before.append(clause)
            if _RENEWED.search(clause):
                yield from (one for one in before if not _OF_WIRES.search(one))
            if _DONE.search(clause):
                before = []


def with_what_was_renewed(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence of a card, with what its intake says of that."""
    told = card.intake.get("done-before")
    if told is None:
        return evidence
    claims = (entry.claim.value for entry in card.entries if entry.claim is not None and entry.struck is None)
    names = dict.fromkeys((*renewed_before(platform, told.value), *renewed_against_it(platform, told.value, claims)))
    return replace(evidence, mended=(*evidence.mended, *(MendedThing((name,), "before") for name in names)))

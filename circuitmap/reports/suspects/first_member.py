"""The members of a network, each with all that wakes it, while none of them leads.

A member whose inputs are typed in has its odds told under the names of its switches; one of whose inputs no sheet says
anything bears all of them under its own name. Held against each other name by name, the less is known of a member the
further in front it stands.
"""

from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Subject
from circuitmap.reports.suspects.candidates import AnswerRow, hands_off_mark
from circuitmap.reports.suspects.fault_words import part_words, short_part_words
from circuitmap.reports.suspects.figures_words import place_to_begin
from circuitmap.reports.suspects.leading import LIKELY, TOLD_FROM, first_part, may_be_tried, tied_for_first
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

MOST_NAMED = 4


class _Member(NamedTuple):
    """A member of a network, with all that may be at fault there, and its probability in all."""

    module: str
    parts: tuple[PartChance, ...]
    probability: float


def member_rows(platform: Platform, diagnosis: Diagnosis, subject: Subject) -> list[AnswerRow]:
    """A row for each member of a network while its members are level, likeliest first; none where what leads by itself
    leads so too, and may be touched."""
    if subject.about not in platform.networks or first_part(subject).probability >= LIKELY:
        return []
    members = _members(subject)
    tied = {part.part for part in tied_for_first(subject)}
    best = max((its.probability for its in members), default=0.0)
    leading = [its for its in members if tied.intersection(part.part for part in its.parts)]
    if all(may_be_tried(diagnosis, name) for name in tied) and any(_is_level(its, best) for its in leading):
        return []
    if not any(may_be_tried(diagnosis, its.module) for its in members):
        return []
    level = [its for its in members if _is_level(its, best)]
    level.sort(key=lambda its: not may_be_tried(diagnosis, its.module))
    members = [*level, *members[len(level) :]]
    return [
        AnswerRow(
            its.probability, _in_words(platform, diagnosis, its, n == 0), frozenset(part.part for part in _named(its))
        )
        for n, its in enumerate(members)
    ]


def _in_words(platform: Platform, diagnosis: Diagnosis, its: _Member, first: bool) -> str:
    """The first one with its place."""
    own = next((part for part in _named(its) if part.part == its.module), None)
    others = [short_part_words(platform, part.part) for part in _named(its) if part is not own]
    if own is None:
        return f"what wakes {its.module}, or its wire: {joined(others, 'or')}"
    named = f", or what wakes it, or its wire: {joined(others, 'or')}" if others else ""
    shut = hands_off_mark(platform, diagnosis, its.module)
    where = place_to_begin(platform, diagnosis, own.faults[0]) if first else part_words(platform, own.part)
    return f"{where}{shut}{named}"


def _named(its: _Member) -> list[PartChance]:
    """What is named of a member: itself, and the likeliest that wakes it."""
    own = [part for part in its.parts if part.part == its.module]
    others = [part for part in its.parts if part.part != its.module and part.probability >= TOLD_FROM]
    return own + others[:MOST_NAMED]


def _is_level(its: _Member, best: float) -> bool:
    return its.probability >= 0.98 * best


def _members(subject: Subject) -> list[_Member]:
    """The members by the module that each part would keep awake, likeliest first."""
    by_module: dict[str, list[PartChance]] = {}
    for part in subject.parts:
        by_module.setdefault(part.faults[0].module or part.part, []).append(part)
    found = [_Member(name, tuple(its), sum(part.probability for part in its)) for name, its in by_module.items()]
    return sorted(found, key=lambda its: (-its.probability, its.module))

"""Which member of a network comes first: each with all that wakes it, of those that a step can go to.

A member whose inputs are typed in has its odds told under the names of its switches; one of whose inputs no sheet says
anything bears all of them under its own name. Held against each other name by name, the less is known of a member the
further in front it stands.
"""

from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Subject
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.suspects.figures_words import place_to_begin
from circuitmap.reports.suspects.leading import LIKELY, first_part, may_be_tried, tied_for_first
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.platform import Platform

MOST_NAMED = 4


class _Member(NamedTuple):
    """A member of a network, with all that may be at fault there, and its probability in all."""

    module: str
    parts: tuple[PartChance, ...]
    probability: float


class MemberFirst(NamedTuple):
    """What to go to first, in words, and the parts that are named in them, or meant with them."""

    words: str
    named: frozenset[str]


def member_first(platform: Platform, diagnosis: Diagnosis, subject: Subject) -> MemberFirst | None:
    """What to go to first while the members of a network are level; None where what leads by itself leads so too, and
    may be touched."""
    if subject.about not in platform.networks or first_part(subject).probability >= LIKELY:
        return None
    members = _members(subject)
    tied = {part.part for part in tied_for_first(subject)}
    best = max((its.probability for its in members), default=0.0)
    leading = [its for its in members if tied.intersection(part.part for part in its.parts)]
    if all(may_be_tried(diagnosis, name) for name in tied) and any(_is_level(its, best) for its in leading):
        return None
    open_to_us = [its for its in members if may_be_tried(diagnosis, its.module)]
    best = max((its.probability for its in open_to_us), default=0.0)
    level = [its for its in open_to_us if _is_level(its, best)]
    if not level:
        return None
    each = " each" if len(level) > 1 else ""
    if len(level) > 1:
        names = shortened([short_part_words(platform, its.module) for its in level])
        said = f"one of these {len(level)}, can't be told apart yet: {names}, each with what wakes it"
    else:
        said = _in_words(platform, diagnosis, level[0])
    named = frozenset(part.part for its in level for part in (_named(its) if len(level) == 1 else its.parts))
    return MemberFirst(f"{said}.  ({chance(best)}{each})", named)


def _in_words(platform: Platform, diagnosis: Diagnosis, its: _Member) -> str:
    own = next((part for part in _named(its) if part.part == its.module), None)
    others = [short_part_words(platform, part.part) for part in _named(its) if part is not own]
    if own is None:
        return f"what wakes {its.module}: {joined(others, 'or')}"
    named = f", or what wakes it: {joined(others, 'or')}" if others else ""
    return f"{place_to_begin(platform, diagnosis, own.faults[0])}{named}"


def _named(its: _Member) -> list[PartChance]:
    """What is named of a member: itself, and the likeliest that wakes it."""
    own = [part for part in its.parts if part.part == its.module]
    return own + [part for part in its.parts if part.part != its.module][:MOST_NAMED]


def _is_level(its: _Member, best: float) -> bool:
    return its.probability >= 0.98 * best


def _members(subject: Subject) -> list[_Member]:
    """The members by the module that each part would keep awake, likeliest first."""
    by_module: dict[str, list[PartChance]] = {}
    for part in subject.parts:
        by_module.setdefault(part.faults[0].module or part.part, []).append(part)
    found = [_Member(name, tuple(its), sum(part.probability for part in its)) for name, its in by_module.items()]
    return sorted(found, key=lambda its: (-its.probability, its.module))

"""When the driver says that it happens, held against what the card says of the time of a log: a warm night shows
nothing of what draws in frost only."""

import re
from collections.abc import Iterable

from circuitmap.evidence.job_card import Entry, JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.rhythm_in_words import happens_when_on
from circuitmap.evidence.weather_words import WORDS, Kind, words_of
from circuitmap.wiring.fitting import Answer

COLD_BELOW, NOT_COLD_FROM = 4.0, 8.0
HOT_FROM, NOT_HOT_BELOW = 25.0, 20.0
"""Degrees Celsius at which it is cold, or hot, as drivers say it, and from which on surely not (judgement)."""
DRY = frozenset(("dry", "indoors"))
_DEGREES = re.compile(
    r"(?P<minus>minus\s+|[-\u2212\u2013]\s?)?(?P<amount>\d{1,2}(?:[.,]\d)?)\s*(?:\u00b0\s*c?|degrees?|deg\b)"
    r"|(?:minus\s+|(?<!\w)[-\u2212]\s?)(?P<below>\d{1,2}(?:[.,]\d)?)(?!\s*(?:ma|a|v|mv|h|min)\b)",
    re.IGNORECASE,
)


def as_it_happens(card: JobCard, logs: Iterable[Reading]) -> Answer | None:
    """Whether one of these logs was made when it happens, by the driver: `YES` and `NO` by the remark beside it,
    `MAY_BE` where the card does not say; None where the driver said nothing of when, or there is no log."""
    said = words_of(happens_when_on(card))
    answers = [_was_so(said, _entry(card, reading)) for reading in logs]
    return max(answers) if said and answers else None


def _entry(card: JobCard, reading: Reading) -> Entry | None:
    at = reading.span.start if reading.span is not None else -1
    return next((entry for entry in card.entries if entry.span.start <= at < entry.span.end), None)


def _was_so(said: frozenset[str], entry: Entry | None) -> Answer:
    remark = entry.remark.value if entry is not None and entry.remark is not None else ""
    told, warmth = words_of(remark), degrees_in(remark)
    kinds = [kind for kind, words in WORDS.items() if said & words]
    if not kinds:
        return Answer.YES if said <= told else Answer.MAY_BE
    return max(_is(kind, told, warmth) for kind in kinds)


def _is(kind: Kind, told: frozenset[str], warmth: tuple[float, ...]) -> Answer:
    if kind == "wet":
        return Answer.YES if told & WORDS[kind] else Answer.NO if told & DRY else Answer.MAY_BE
    if warmth:
        is_so = min(warmth) < COLD_BELOW if kind == "cold" else max(warmth) >= HOT_FROM
        is_not = min(warmth) >= NOT_COLD_FROM if kind == "cold" else max(warmth) < NOT_HOT_BELOW
        return Answer.YES if is_so else Answer.NO if is_not else Answer.MAY_BE
    other: Kind = "hot" if kind == "cold" else "cold"
    return Answer.YES if told & WORDS[kind] else Answer.NO if told & (WORDS[other] | {"warm"}) else Answer.MAY_BE


def degrees_in(text: str) -> tuple[float, ...]:
    """The temperatures that a text names, in degrees Celsius: `15 degrees`, `-6 °C`, `minus 6`."""
    found = []
    for its in _DEGREES.finditer(text):
        amount = float((its["amount"] or its["below"]).replace(",", "."))
        found.append(-amount if its["minus"] or its["below"] else amount)
    return tuple(found)

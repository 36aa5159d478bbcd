"""How often something comes, as people write it beside a log or say it: `every 36 min`, `hourly`; and that it is up, or
down, as they write it beside what they measure: `still up`."""

import re

from circuitmap.evidence.job_card import Entry, JobCard
from circuitmap.evidence.readings import During
from circuitmap.evidence.weather_words import WORDS, words_of

_COUNTS = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
    "twelve": 12,
}  # fmt: skip
_MINUTES = r"(?P<minutes>min(?:ute)?s?)\b"
_HOURS = r"(?P<hours>h|hrs?|hours?)\b"
_SOME = r"(?:(?:about|some|ca\.?|roughly|nearly|almost|or so)\s+)?"
_EVERY = re.compile(
    rf"\b(?:every|each)\s+{_SOME}(?:(?P<half>half)\s+(?:an\s+)?|(?P<amount>\d{{1,3}}(?:[.,]\d)?)\s*|"
    rf"(?P<word>{'|'.join(_COUNTS)})\s+|)(?:{_MINUTES}|{_HOURS})",
    re.IGNORECASE,
)
_HOURLY = re.compile(r"\b(?:hourly|once\s+(?:an|every|each)\s+hour)\b", re.IGNORECASE)
_STILL_UP = re.compile(r"\bstill (?:up|on|there|running|drawing)\b", re.IGNORECASE)
_STILL_DOWN = re.compile(r"\bstill (?:down|off|quiet|gone)\b", re.IGNORECASE)
_NO_PATTERN = re.compile(
    r"\b(?:no|without(?: a)?|any) (?:\w+ )?(?:pattern|rhythm|rule)\b|\brandom(?:ly)?\b|\bany ?time\b|\bnobody knows\b"
    r"|\b(?:can ?not|can't|could not) (?:say|tell)\b|\b(?:does not|doesn't) know\b|\b(?:not known|unknown)\b",
    re.IGNORECASE,
)
_LONGEST = 24 * 60.0
"""Minutes; what comes more seldom shows no rhythm in a night."""


def apart_in_words(text: str) -> float | None:
    """How many minutes lie from one time to the next by a text; None where it does not say. How many times it came in a
    night is no rhythm."""
    if (its := _EVERY.search(text)) is not None:
        said = its["amount"] or str(_COUNTS.get((its["word"] or "").casefold(), 1))
        amount = 0.5 if its["half"] else float(said.replace(",", "."))
        minutes = amount * (1.0 if its["minutes"] else 60.0)
        return minutes if 0.0 < minutes <= _LONGEST else None
    return 60.0 if _HOURLY.search(text) else None


def said_to_be(entry: Entry) -> During:
    """Whether what comes and goes was up, or down to the floor, as the entry says, by its `during` or in its remark."""
    if entry.during is not None:
        return "floor" if entry.during.value == "floor" else "event"
    remark = entry.remark.value if entry.remark is not None else ""
    up, down = _STILL_UP.search(remark), _STILL_DOWN.search(remark)
    if bool(up) == bool(down):
        return ""
    return "event" if up else "floor"


def happens_when_on(card: JobCard) -> str:
    """When it happens, by the driver; empty where the card does not say, or he sees no pattern in it."""
    told = card.intake.get("happens-when")
    said = told.value.strip().rstrip(".") if told is not None else ""
    weather = any(words_of(said) & words for words in WORDS.values())
    return "" if _NO_PATTERN.search(said) and not weather else said


def apart_told(entry: Entry, happens_when: str) -> float | None:
    """How far apart the events of a log are, by the remark beside it, else by what the driver says."""
    remark = apart_in_words(entry.remark.value) if entry.remark is not None else None
    return remark or apart_in_words(happens_when)

"""What was read of the sleeping vehicle without its total, in words and as data."""

from typing import Any

from circuitmap.diagnosis.nothing_seen import NothingSeen
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.reports.words.paragraphs import counted, joined, shortened

MOST_APART = 4
"""How many different amounts that can hide are told one by one (judgement)."""


def read_words(seen: NothingSeen) -> str:
    """`9 places read asleep, and nothing draws there`."""
    return f"{counted(len(seen.places), 'place')} read asleep, and nothing draws there"


def hiding_words(seen: NothingSeen) -> str:
    """How much can hide still, and where."""
    said = [_carried_words(seen)] if seen.carriers else []
    if seen.left:
        said.append(f"Not read: {shortened(seen.left)}.")
    if seen.unfused:
        said.append(f"With no fuse on its way that was read: {joined(sorted(seen.unfused))}.")
    return " ".join(said)


def _carried_words(seen: NothingSeen) -> str:
    at = shortened(seen.carriers)
    shows = ampere_words(seen.shows) if seen.shows > 0.0 else "nothing"
    show = "show" if len(seen.carriers) > 1 else "shows"
    return f"All that was read hangs on {at}, which {show} {shows}; up to {_hidden_words(seen)}."


def _hidden_words(seen: NothingSeen) -> str:
    """`0.81 A can hide in F90, 0.42 A in each of F91 and F92`: most first, as each by its size and meter can hide."""
    at: dict[str, list[str]] = {}
    for amps, place in sorted(zip(seen.hides, seen.carriers, strict=True), key=lambda its: -its[0]):
        at.setdefault(ampere_words(amps), []).append(place)
    most, *others = at
    if not others:
        return f"{most} can hide {'in each of these' if len(seen.carriers) > 1 else 'in it'}"
    told = at if len(at) <= MOST_APART else dict(list(at.items())[: MOST_APART - 1])
    words = [f"{amps}{' can hide' if amps == most else ''} {_in_each(places)}" for amps, places in told.items()]
    if len(told) < len(at):
        words.append(f"{list(at)[len(told)]} or less in each of the others")
    return joined(words)


def _in_each(places: list[str]) -> str:
    return f"in {places[0]}" if len(places) == 1 else f"in each of {shortened(places)}"


def seen_words(seen: NothingSeen | None) -> dict[str, str]:
    """Both, by what they are called in a headline; empty where nothing was read."""
    return {"read": read_words(seen), "hiding": hiding_words(seen)} if seen is not None else {"read": "", "hiding": ""}


def nothing_seen_json(seen: NothingSeen | None) -> dict[str, Any] | None:
    """The same as data."""
    if seen is None:
        return None
    return {
        "places": list(seen.places),
        "is_whole": seen.is_whole,
        "shows": round(seen.shows, 4),
        "can_hide": [
            {"place": place, "amps": round(amps, 4)} for place, amps in zip(seen.carriers, seen.hides, strict=True)
        ],
        "not_read": list(seen.left),
        "unfused": sorted(seen.unfused),
    }

"""What was read of the sleeping vehicle without its total, in words and as data."""

from typing import Any

from circuitmap.diagnosis.nothing_seen import NothingSeen
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.reports.words.paragraphs import counted, joined, shortened


def read_words(seen: NothingSeen) -> str:
    """`9 places read asleep, and nothing draws there`."""
    return f"{counted(len(seen.places), 'place')} read asleep, and nothing draws there"


def hiding_words(seen: NothingSeen) -> str:
    """How much can hide still, and where."""
    at = shortened(seen.carriers)
    each = "in each of these" if len(seen.carriers) > 1 else "in it"
    shows = ampere_words(seen.shows) if seen.shows > 0.0 else "nothing"
    show = "show" if len(seen.carriers) > 1 else "shows"
    hides = ampere_words(seen.hides_at_most)
    said = [f"All that was read hangs on {at}, which {show} {shows}; up to {hides} can hide {each}."]
    if seen.left:
        said.append(f"Not read: {shortened(seen.left)}.")
    if seen.unfused:
        said.append(f"With no fuse on its way that was read: {joined(sorted(seen.unfused))}.")
    return " ".join(said)


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

"""How long what goes on goes on, and who falls asleep when, as text and as JSON."""

import math
from collections.abc import Iterator
from typing import Any

from circuitmap.power.asleep_again import AsleepAgain, asleep_again
from circuitmap.power.evaluate import Powered
from circuitmap.power.how_long import HowLong, how_long
from circuitmap.quantities import Band
from circuitmap.reports.words.paragraphs import joined, listed
from circuitmap.reports.words.part_words import most_words, time_words


def how_long_lines(powered: Powered, width: int) -> list[list[str]]:
    """One row for each thing, what is said of it one behind the other; then who sleeps when all is as parked again."""
    asleep = asleep_again(powered)
    rows: dict[str, list[str]] = {}
    for its in how_long(powered):
        if its.kind != "longer" or not asleep:
            rows.setdefault(its.name, []).append(_words(its))
    told = [(name, "; ".join(words)) for name, words in rows.items()]
    once = "ASLEEP AGAIN  once nothing keeps them awake, as far as times are typed in"
    return [
        listed("HOW LONG  as far as it is typed in", told, width),
        listed(once, _asleep_rows(asleep), width),
    ]


def _asleep_rows(asleep: tuple[AsleepAgain, ...]) -> Iterator[tuple[str, str]]:
    """What sleeps first stands first; what sleeps together, for the same reason, in one row."""
    alike: dict[tuple[Band, str], list[str]] = {}
    for its in asleep:
        alike.setdefault((its.minutes, _reason(its)), []).append(its.name)
    for (minutes, reason), names in sorted(alike.items(), key=lambda row: (row[0][0].high, row[1])):
        when = f"after {_added_words(minutes)}" if minutes.high > 0 else "at once"
        yield when, f"{joined(names)}{reason}"


def _added_words(minutes: Band) -> str:
    """`1 min 20 s`: a sum of times is seldom a whole number of minutes."""
    whole, seconds = divmod(round(minutes.high * 60), 60)
    if minutes.low == minutes.high and whole and seconds:
        return f"{whole} min {seconds} s"
    return time_words(minutes)


def _reason(its: AsleepAgain) -> str:
    """`, with CANB: A1 20 s, then CANB 5 s`."""
    chain = ", then ".join(f"{step.name} {time_words(step.minutes)}" for step in its.steps)
    words = f", with {its.sleeps_with}" if its.sleeps_with else ""
    words += f": {chain}" if its.sleeps_with and chain else ""
    return words + (f"; at once without {joined(its.only_while)}" if its.only_while else "")


def _words(its: HowLong) -> str:
    time, most = time_words(its.minutes), most_words(its.minutes)
    return {
        "awake": f"awake by {its.by} {most}",
        "on": f"on {most}",
        "longer": f"{time} longer once nothing keeps it awake",
        "holds": f"stays in {time} when its coil goes off",
    }[its.kind]


def how_long_json(powered: Powered) -> list[dict[str, Any]]:
    return [
        {
            "kind": its.kind,
            "name": its.name,
            "by": its.by,
            "minutes": None if its.minutes.high == math.inf else [its.minutes.low, its.minutes.high],
        }
        for its in how_long(powered)
    ]


def asleep_again_json(powered: Powered) -> list[dict[str, Any]]:
    return [
        {
            "name": its.name,
            "minutes": [its.minutes.low, its.minutes.high],
            "steps": [step.name for step in its.steps],
            "with": its.sleeps_with,
            "at_once_without": list(its.only_while),
        }
        for its in asleep_again(powered)
    ]

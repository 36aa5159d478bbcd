"""What could be wrong as one list: a row for each, its chance at a fixed place, likeliest first."""

import re
from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.figures_words import place_to_begin, plugged_in
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import WIDTH, section_of_rows, shortened
from circuitmap.wiring.platform import Platform

MOST_ROWS = 6
"""How many of what may be wrong at one subject, or beside it, have a row of their own (judgement)."""
MOST_ALONE = 2
"""As many of those that are told with the same chance have a row each (judgement)."""
WITHIN, BESIDE = "MAY BE", "OR ELSE"
"""The labels of the list: what may be wrong where the first line looks, and what else the case may be about."""


class AnswerRow(NamedTuple):
    """One row: its chance, a phrase, and the parts that are named in it, or meant with it. `short` is what it is called
    among others that are as likely."""

    probability: float
    words: str
    names: frozenset[str] = frozenset()
    short: str = ""


def candidate_lines(within: Sequence[AnswerRow], beside: Sequence[AnswerRow], width: int = WIDTH) -> list[str]:
    """Both halves of the list with the chances in one column."""
    room = max((len(chance(row.probability)) for row in (*within, *beside)), default=0)
    lines: list[str] = []
    for label, rows in ((WITHIN, within), (BESIDE, beside)):
        told = [(chance(row.probability).ljust(room), _sentence(row.words)) for row in rows]
        lines += section_of_rows(label, told, width)
    return lines


def likeliest_first(rows: Sequence[AnswerRow]) -> list[AnswerRow]:
    """Of two that are level, the one that stood first."""
    return sorted(rows, key=lambda row: -row.probability)


def alike_in_one(rows: Sequence[AnswerRow]) -> list[AnswerRow]:
    """Rows in their order, those that are told with the same chance in one, where there are more than `MOST_ALONE` of
    them; the first row, which says most, counts as one of these only where it is as likely as they are."""
    found: list[AnswerRow] = []
    for _, its in groupby(rows, key=lambda row: chance(row.probability)):
        run = list(its)
        if not found and run[0].probability > 1.02 * run[-1].probability:
            found.append(run.pop(0))
        if len(run) <= MOST_ALONE or not all(row.short for row in run):
            found += run
            continue
        words = f"each of these {len(run)}: {shortened([row.short for row in run])}"
        found.append(AnswerRow(run[0].probability, words, named_by(run)))
    return found


def named_by(rows: Sequence[AnswerRow]) -> frozenset[str]:
    """All that the rows name."""
    return frozenset[str]().union(*(row.names for row in rows))


def what_is_wrong(platform: Platform, diagnosis: Diagnosis, fault: Fault) -> str:
    """Where to begin, and what is wrong there, in one phrase: `EQ, battery equaliser, battery box, takes current by
    itself`."""
    plugged = plugged_in(diagnosis, fault)
    where = place_to_begin(platform, diagnosis, fault).removeprefix(plugged)
    closed = f"{where}," if re.search(r"[,;]", where) else where
    return plugged + re.sub(r",(?=[,:])", "", fault_words(platform, fault, closed))


def hands_off_mark(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What is set behind a part that no step goes to."""
    its = platform.parts.get(part)
    shut = its is not None and its.kind != "battery" and not diagnosis.hands_off.may_touch(part)
    return " (hands-off)" if shut else ""


def _sentence(words: str) -> str:
    return words if words.endswith(".") else f"{words}."

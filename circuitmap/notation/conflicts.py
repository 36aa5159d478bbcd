"""Marks that a merge leaves where two people changed the same lines."""

import re
from typing import NamedTuple

from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import SourceFile, Span

_MARK = re.compile(r"^(<{7}|\|{7}|={7}|>{7})(?: [^\r\n]*)?\r?$", re.MULTILINE)


class Conflicts(NamedTuple):
    """`skipped`: the lines that are not read, counted from 1: the marks, and of each conflict all but the first of its
    versions, so that nothing is declared twice."""

    skipped: frozenset[int] = frozenset()
    problems: tuple[Problem, ...] = ()


def conflicts_in(source: SourceFile) -> Conflicts:
    """One problem for each conflict; for a mark that has lost its partner, one for the mark."""
    if not any(sign in source.text for sign in ("<<<<<<<", ">>>>>>>", "=======", "|||||||")):
        return Conflicts()
    skipped: set[int] = set()
    problems: list[Problem] = []
    begun: list[re.Match[str]] = []
    for mark in _MARK.finditer(source.text):
        skipped.add(source.position(mark.start())[0])
        if mark[1][0] == "<":
            problems += (_alone(source, its) for its in begun)
            begun = [mark]
        elif not begun:
            problems.append(_alone(source, mark))
        else:
            begun.append(mark)
            if mark[1][0] == ">":
                middle = next((its for its in begun if its[1][0] == "="), None)
                if middle is None:
                    problems += (_alone(source, its) for its in begun)
                else:
                    problems.append(_conflict(source, begun[0], middle, mark))
                    first, last = (source.position(its.start())[0] for its in (begun[1], mark))
                    skipped.update(range(first, last + 1))
                begun = []
    problems += (_alone(source, its) for its in begun)
    return Conflicts(frozenset(skipped), tuple(problems))


def _conflict(source: SourceFile, begun: re.Match[str], middle: re.Match[str], end: re.Match[str]) -> Problem:
    return Problem(
        "merge-marks", Severity.ERROR, "Two people changed this: both versions stand here.",
        _span(source, begun).to(_span(source, end)),
        advice="Keep one of them, or what is right of both, and delete the three lines of marks.",
        related=(Related(_span(source, middle), "the other version begins here; the first one is read"),),
    )  # fmt: skip


def _alone(source: SourceFile, mark: re.Match[str]) -> Problem:
    return Problem(
        "merge-marks", Severity.ERROR, "A mark of a merge was left here.", _span(source, mark), advice="Delete it."
    )


def _span(source: SourceFile, mark: re.Match[str]) -> Span:
    return Span(source, mark.start(), mark.start() + len(mark[0].rstrip()))

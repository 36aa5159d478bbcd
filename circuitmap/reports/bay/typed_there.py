"""What the typing page shows of a text: what is wrong in which line, what is open and what is not declared."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from circuitmap.notation.statements import Notation, WireStatement
from circuitmap.problems import Problem, Severity
from circuitmap.reports.problems.problems_text import shown
from circuitmap.transcribing.asked import Question
from circuitmap.transcribing.copied import Unchecked
from circuitmap.transcribing.pieces import TypedPiece
from circuitmap.transcribing.to_declare import missing_declarations
from circuitmap.wiring.platform import Platform

MOST_TOLD = 100
"""Problems, and open ends, that are told one by one; of the rest how many."""


def piece_values(piece: TypedPiece) -> dict[str, Any]:
    """How a piece is called: its sheet, or what it is without one."""
    if piece.sheet:
        again = f" (part {piece.number})" if piece.number > 1 else ""
        title = f"{piece.sheet}  {piece.title}".strip() + again
    else:
        title = "Parts, and what is on no sheet"
    return {"sheet": piece.sheet, "title": title, "file": piece.source.path}


def tried_values(
    platform: Platform,
    notations: Iterable[Notation],
    problems: Sequence[Problem],
    before: Sequence[Problem],
    piece: TypedPiece,
) -> dict[str, Any]:
    """All that is told of a text beside its drawing."""
    here = [problem for problem in problems if _is_in(problem, piece)]
    told = {(problem.code, problem.headline) for problem in before}
    away = (problem for problem in problems if not _is_in(problem, piece) and problem.severity > Severity.NOTE)
    elsewhere = [problem for problem in away if (problem.code, problem.headline) not in told]
    ends = list(_open_ends(notations, piece))
    names = missing_declarations(platform, piece.sheet) if piece.sheet else missing_declarations(platform)
    worst_first = sorted(here, key=lambda problem: -problem.severity)[:MOST_TOLD]
    return {
        "problems": [_problem(problem, piece) for problem in worst_first],
        "problems_left_out": max(0, len(here) - MOST_TOLD),
        "elsewhere": [f"{its.span.place()}: {shown(its.headline)}" for its in elsewhere[:MOST_TOLD]],
        "open": ends[:MOST_TOLD],
        "open_left_out": max(0, len(ends) - MOST_TOLD),
        "undeclared": [its._asdict() for its in names[:MOST_TOLD]],
        "undeclared_left_out": max(0, len(names) - MOST_TOLD),
    }


def _is_in(problem: Problem, piece: TypedPiece) -> bool:
    span = problem.span
    return span.path == piece.source.path and piece.start <= span.start <= piece.end


def _problem(problem: Problem, piece: TypedPiece) -> dict[str, Any]:
    more = [f"Expected: {problem.expected}."] if problem.expected else []
    more += [f"Did you mean {problem.suggestion}?"] if problem.suggestion else []
    more += [problem.advice] if problem.advice else []
    more += [f"{its.text}: {its.span.place()}" for its in problem.related]
    return {
        **_line(problem.span.line, piece),
        "column": problem.span.column,
        "length": max(1, problem.span.end - problem.span.start),
        "severity": problem.severity.word,
        "says": shown(problem.headline),
        "more": [shown(text) for text in more],
    }


def _line(number: int, piece: TypedPiece) -> dict[str, int]:
    """The line in the piece, counted from 1."""
    return {"line": number - piece.source.position(piece.start)[0] + 1}


def _open_ends(notations: Iterable[Notation], piece: TypedPiece) -> Iterator[dict[str, Any]]:
    """Each `?` in the piece, with the wire it belongs to and what the sheet says of it."""
    for notation in notations:
        if notation.path != piece.source.path:
            continue
        for statement in notation.statements:
            if isinstance(statement, WireStatement) and piece.start <= statement.span.start < piece.end:
                ends = [*statement.first, *(end for step in statement.steps for end in step.ends)]
                known = [end.name.text for end in ends if not end.is_open]
                for end in ends:
                    if end.is_open:
                        says = end.remark.text if end.remark is not None else "goes on; the sheet does not say where"
                        at = f"{', '.join(known[:2])}: " if known else ""
                        yield {**_line(end.name.span.line, piece), "says": shown(f"{at}{says}")}


def question_values(question: Question, shift: int) -> dict[str, Any]:
    """A question about what was typed or pasted; its place counts from `shift`."""
    span = question.span
    return {
        "says": shown(question.headline),
        "about": shown(span.text),
        "line": shown(span.source.line(span.line)),
        "start": span.start - shift,
        "end": span.end - shift,
        "choices": list(question.choices),
    }


def unchecked_values(left: Sequence[Unchecked]) -> list[dict[str, Any]]:
    """What is copied and not checked yet, in the order of the text."""
    return [{"says": its.said, "origin": its.origin, "file": its.span.path} for its in left]

"""Which sheet each statement stands on: `sheet` holds until the next one in the same file."""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.notation.statements import Condition as WrittenCondition
from circuitmap.notation.statements import Notation, SheetStatement, Statement, Word
from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import Span


class OnSheet(NamedTuple):
    """Where a statement stands. `order` is file and number of the sheet in it: it does not change when
    statements are moved about within a sheet. `sheet` is empty above the first one."""

    sheet: str = ""
    order: tuple[str, int] = ("", 0)
    conditions: tuple[WrittenCondition, ...] = ()
    copied: Word | None = None
    hands_off: Word | None = None


class Placed(NamedTuple):
    statement: Statement
    on: OnSheet


def placed_statements(
    notations: Iterable[Notation],
) -> tuple[tuple[Placed, ...], tuple[SheetStatement, ...], tuple[Problem, ...]]:
    """All statements but `sheet` with the sheet they stand on, files in the order of their paths; the sheets, each name
    once; and the sheets that have two headings."""
    placed: list[Placed] = []
    sheets: dict[str, SheetStatement] = {}
    problems: list[Problem] = []
    for notation in sorted(notations, key=lambda its: its.path):
        on = OnSheet(order=(notation.path, 0))
        for statement in notation.statements:
            if not isinstance(statement, SheetStatement):
                placed.append(Placed(statement, on))
                continue
            name = statement.name.text
            first = sheets.setdefault(name, statement)
            if first is not statement and (statement.title or statement.whole):
                problems.append(
                    Problem(
                        "sheet-twice",
                        Severity.WARNING,
                        f"Sheet {name} is headed twice.",
                        statement.name.span,
                        advice=f'To go on with it, write its name alone: sheet "{name}".',
                        related=(Related(first.name.span, "headed first here"),),
                    )
                )
            clauses = statement.clauses
            if first is not statement:
                clauses = clauses._replace(
                    conditions=clauses.conditions or first.clauses.conditions,
                    copied=clauses.copied or first.clauses.copied,
                    hands_off=clauses.hands_off or first.clauses.hands_off,
                )
            order = (notation.path, on.order[1] + 1)
            on = OnSheet(name, order, clauses.conditions, clauses.copied, clauses.hands_off)
    return tuple(placed), tuple(sheets.values()), tuple(problems)


def sheets_of(notations: Iterable[Notation], spans: Iterable[Span]) -> set[str]:
    """The sheets on which these places in the text stand."""
    headings: dict[str, list[tuple[int, str]]] = {}
    for notation in notations:
        headings[notation.path] = [
            (its.span.start, its.name.text) for its in notation.statements if isinstance(its, SheetStatement)
        ]
    found = set()
    for span in spans:
        above = [name for start, name in headings.get(span.path, ()) if start <= span.start]
        found.update(above[-1:])
    return found

"""From the text of a file to its statements: every problem in one run, each once."""

from lark import UnexpectedInput
from lark.utils import TextSlice

from circuitmap.notation.lines import StatementText, statement_texts
from circuitmap.notation.parser import statement_parser
from circuitmap.notation.statements import Notation, Statement
from circuitmap.notation.transformer import StatementMaker
from circuitmap.problems import Problem, Severity, in_order
from circuitmap.source import SourceFile, Span


def read_text(source: SourceFile) -> tuple[Notation, tuple[Problem, ...]]:
    """All statements of a file in their order, and what could not be read or does not make sense.

    A statement that cannot be read is left out; it never changes how the others are read.
    """
    problems: list[Problem] = []
    maker = StatementMaker(source, problems)
    statements: list[Statement] = []
    for place in statement_texts(source):
        statement = _read_statement(source, place, maker, problems)
        if statement is not None:
            statements.append(statement)
    return Notation(path=source.path, statements=tuple(statements)), in_order(problems)


def _read_statement(
    source: SourceFile, place: StatementText, maker: StatementMaker, problems: list[Problem]
) -> Statement | None:
    try:
        tree = statement_parser().parse(TextSlice(source.text, place.start, place.end))
    except UnexpectedInput as error:
        at = min(max(getattr(error, "pos_in_stream", place.end) or place.end, place.start), place.end)
        problems.append(
            Problem("cannot-read", Severity.ERROR, "This statement cannot be read.", Span(source, at, place.end))
        )
        return None
    return maker.statement(tree, place.start, place.end)

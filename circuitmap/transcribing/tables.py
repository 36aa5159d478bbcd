"""A table whose columns are confirmed, as statements of the notation and questions about rows."""

from circuitmap.transcribing.asked import Question, Settled
from circuitmap.transcribing.grid import Grid
from circuitmap.transcribing.standing import KnownRow
from circuitmap.transcribing.table_fuses import fuse_lines
from circuitmap.transcribing.table_pins import pin_lines
from circuitmap.transcribing.table_rows import TableLayout, rows_of
from circuitmap.transcribing.table_wires import wire_lines
from circuitmap.transcribing.typed_lines import KnownHere, TypedText


def table_text(grid: Grid, layout: TableLayout, known: KnownHere, settled: Settled | None = None) -> TypedText:
    """All rows as statements, and the questions about those that are not clear."""
    maker = {"fuses": fuse_lines, "wires": wire_lines, "pins": pin_lines}[layout.kind]
    lines: list[str] = []
    questions: list[Question] = []
    standing: list[KnownRow] = []
    for made in maker(list(rows_of(grid, layout, known, settled or {}))):
        if isinstance(made, Question):
            questions.append(made)
        elif isinstance(made, KnownRow):
            standing.append(made)
        else:
            lines.append(made)
    return TypedText(tuple(lines), tuple(sorted(questions, key=lambda its: its.span)), tuple(standing))

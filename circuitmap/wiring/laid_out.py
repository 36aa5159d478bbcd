"""How a box lies in the vehicle: its rows, once everything that sits in it is declared."""

from dataclasses import replace

from circuitmap.notation.statements import BoxStatement, Word
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.parts import Box
from circuitmap.wiring.written_names import WrittenNames


def lay_out(draft: PlatformDraft, names: WrittenNames, statement: BoxStatement) -> None:
    """Give a box its rows. In them a name may leave out that of the box; one that is not in the box is told."""
    box = draft.parts.get(statement.name.text)
    if not isinstance(box, Box) or not (statement.rows or statement.up):
        return
    rows = tuple(tuple(names.part(_inside(box, word)) for word in row) for row in statement.rows)
    draft.parts[box.name] = replace(box, rows=rows, up=statement.up.text if statement.up else "")


def _inside(box: Box, word: Word) -> Word:
    """The full name of what sits in a box."""
    prefix = f"{box.name}."
    return word if word.text.startswith(prefix) else Word(f"{prefix}{word.text}", word.span)

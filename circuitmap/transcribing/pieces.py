"""The files of a platform cut into pieces that somebody types in: what stands on each sheet, and before the first."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from circuitmap.notation.statements import Notation, SheetStatement
from circuitmap.source import SourceFile


class TypedPiece(NamedTuple):
    """A stretch of a file, from `start` up to `end`: from the heading of a sheet to the next one, or what stands before
    the first, which has no `sheet`. `number` tells the pieces of one sheet in one file apart."""

    source: SourceFile
    sheet: str
    title: str
    number: int
    start: int
    end: int

    @property
    def text(self) -> str:
        """With line feeds only, as a page has it; offsets of it fit a file that was read so."""
        return plain_line_ends(self.source.text[self.start : self.end])

    @property
    def name(self) -> tuple[str, str, int]:
        """What finds the same piece again in a later state of the file."""
        return self.source.path, self.sheet, self.number


def plain_line_ends(text: str) -> str:
    return text.replace("\r\n", "\n")


def pieces_of(sources: Iterable[SourceFile], notations: Iterable[Notation]) -> Iterator[TypedPiece]:
    """All pieces, file by file; together they are the whole text."""
    by_path = {source.path: source for source in sources}
    for notation in notations:
        source = by_path[notation.path]
        headings = [its for its in notation.statements if isinstance(its, SheetStatement)]
        starts = [source.line_starts[source.position(its.span.start)[0] - 1] for its in headings]
        if not starts or source.text[: starts[0]].strip():
            yield TypedPiece(source, "", "", 0, 0, starts[0] if starts else len(source.text))
        count: dict[str, int] = {}
        for number, heading in enumerate(headings):
            name = heading.name.text
            count[name] = count.get(name, 0) + 1
            end = starts[number + 1] if number + 1 < len(starts) else len(source.text)
            start = 0 if number == 0 and not source.text[: starts[0]].strip() else starts[number]
            title = heading.title.text if heading.title is not None else ""
            yield TypedPiece(source, name, title, count[name], start, end)


def with_piece(piece: TypedPiece, text: str) -> str:
    """The text of the file with another one in the place of a piece; lines end as its first one does."""
    whole = piece.source.text
    line_end = "\r\n" if whole.partition("\n")[0].endswith("\r") else "\n"
    text = plain_line_ends(text)
    if text and not text.endswith("\n") and piece.end < len(whole):
        text += "\n"
    return whole[: piece.start] + text.replace("\n", line_end) + whole[piece.end :]

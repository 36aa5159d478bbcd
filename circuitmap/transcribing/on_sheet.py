"""Where new lines go in a platform's folder: behind what stands on their sheet, or into a new file with the sheet."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.notation.folder import ENDING
from circuitmap.notation.lines import statement_texts
from circuitmap.notation.statements import Notation, SheetStatement
from circuitmap.source import SourceFile
from circuitmap.wiring.names import find_name
from circuitmap.wiring.platform import Platform


class SheetPlace(NamedTuple):
    """The file, and the offset in it where the lines go; `heading` is written first where the sheet is new."""

    path: str
    at: int
    heading: str = ""


def place_on(
    platform: Platform, sources: Iterable[SourceFile], notations: Iterable[Notation], sheet: str, title: str
) -> SheetPlace:
    """Where lines of this sheet go. A sheet that is not there is begun if a title was given, in a file of its own.

    Raises WrongUse for a sheet that is not there, or is there already with `title`.
    """
    if title and sheet not in platform.sheets:
        path = f"{re.sub(r'[^A-Za-z0-9_-]+', '-', sheet).strip('-') or 'sheet'}{ENDING}"
        if any(source.path.casefold() == path.casefold() for source in sources):
            raise WrongUse(f"There is a file {path} without sheet {sheet}.", "Write the sheet's heading into it first.")
        return SheetPlace(path, 0, f"sheet {quoted(sheet)} {quoted(title)}\n")
    if title:
        raise WrongUse(f"Sheet {sheet} is there already.", "Leave the title out to add to it.")
    if not platform.sheets:
        raise WrongUse(f"There is no sheet {sheet}.", '--title "WHAT IT SHOWS" begins it.')
    try:
        found = platform.sheets[find_name(platform.sheets, sheet, "sheet")]
    except WrongUse as why:
        raise WrongUse(why.message, why.advice or '--title "WHAT IT SHOWS" begins it.') from None
    source = next(source for source in sources if source.path == found.span.path)
    notation = next(notation for notation in notations if notation.path == found.span.path)
    headings = [its.span.start for its in notation.statements if isinstance(its, SheetStatement)]
    begin = max(start for start in headings if start <= found.span.start)
    stop = min((start for start in headings if start > begin), default=len(source.text) + 1)
    last = max(its.end for its in statement_texts(source) if begin <= its.start < stop)
    line_end = source.text.find("\n", last)
    return SheetPlace(source.path, len(source.text) if line_end < 0 else line_end + 1)


def with_lines(text: str, place: SheetPlace, lines: Sequence[str]) -> str:
    """A file's text with the lines at their place; they end as its first line does."""
    line_end = "\r\n" if text.partition("\n")[0].endswith("\r") else "\n"
    before, behind = text[: place.at], text[place.at :]
    if before and not before.endswith("\n"):
        before += line_end
    added = "".join(f"{line}{line_end}" for line in lines)
    return before + place.heading.replace("\n", line_end) + added + behind


def quoted(text: str) -> str:
    """A text as the notation writes it."""
    plain = " ".join(text.split())
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'

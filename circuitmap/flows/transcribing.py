"""The flow of typing in: from short lines or a table to statements in a platform's folder."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.notation.folder import LARGEST_FILE, file_content, read_folder
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import Notation
from circuitmap.problems import Problem, Severity
from circuitmap.saving import read_content, save
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import Settled
from circuitmap.transcribing.columns import Guess
from circuitmap.transcribing.grid import Grid
from circuitmap.transcribing.on_sheet import SheetPlace, place_on, with_lines
from circuitmap.transcribing.typed_lines import KnownHere, TypedText, typed_text
from circuitmap.wiring.platform import Platform

_BOM = "\N{ZERO WIDTH NO-BREAK SPACE}"


@dataclass(frozen=True)
class Folder:
    """A platform that is being typed in: its files as they were read, and what they say."""

    path: Path
    sources: tuple[SourceFile, ...]
    notations: tuple[Notation, ...]
    platform: Platform

    @cached_property
    def known(self) -> KnownHere:
        return KnownHere(self.platform, self.notations)


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """Lines on their way into a file: the text before and after, and what is new among the problems of the
    platform. `ready`: they may be written."""

    path: str
    lines: tuple[str, ...]
    before: str | None
    after: str
    problems: tuple[Problem, ...]

    @property
    def ready(self) -> bool:
        return bool(self.lines) and all(problem.severity is not Severity.ERROR for problem in self.problems)


class TableWishes(NamedTuple):
    """What a table does not say itself: the box of its fuses, the part of its pins, and what is printed at the feed and
    at the outgoing side of a fuse."""

    box: str = ""
    part: str = ""
    sides: tuple[str, str] = ("in", "out")


def open_folder(folder: Path) -> Folder:
    """A platform to type into. Raises CannotRead where a file is not read as it should be: it might be spoilt."""
    from circuitmap.wiring.declare import platform_of

    sources, problems = read_folder(folder)
    wrong = [problem for problem in problems if problem.severity is Severity.ERROR]
    if wrong:
        raise CannotRead(f"{wrong[0].span.place()}: {wrong[0].headline}", wrong[0].advice)
    read = [read_text(source) for source in sources]
    notations = tuple(notation for notation, _ in read)
    unread = [problem for _, its in read for problem in its]
    return Folder(folder, sources, notations, platform_of(notations, sources, unread))


def typed_source(path: Path | None, content: bytes | None = None) -> SourceFile:
    """The text of a file, or what came from standard input, as something with places in it."""
    raw = file_content(path) if path is not None else content or b""
    name = str(path) if path is not None else "standard input"
    if b"\0" in raw:
        raise CannotRead(f"{name} is not a text.")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise CannotRead(f"{name} is not written in UTF-8; nothing was taken.") from None
    return SourceFile(name, text.removeprefix(_BOM))


def short_lines(folder: Folder, source: SourceFile, settled: Settled | None = None) -> TypedText:
    """Short lines as statements of the notation, and what has to be asked."""
    return typed_text(source, folder.known, settled)


def read_table(folder: Folder, source: SourceFile) -> tuple[Grid, Guess]:
    """The cells of a table, and what its columns may be. Raises WrongUse where there is no table."""
    from circuitmap.transcribing.columns import columns_guessed
    from circuitmap.transcribing.grid import grid_of

    grid = grid_of(source)
    if grid.width < 2:
        raise WrongUse(
            "There are no columns: nothing stands apart by tabs, semicolons, strokes, commas or columns of blanks."
        )
    return grid, columns_guessed(grid, folder.known)


def confirmed_guess(grid: Grid, guess: Guess, columns: Sequence[str], headed: bool | None) -> Guess:
    """The guess as somebody named the columns, and whether there is a head. Raises WrongUse for what cannot be."""
    from circuitmap.transcribing.columns import kind_with

    kind = kind_with(columns, grid.width)
    return Guess(kind, tuple(columns), (1.0,) * grid.width, guess.headed if headed is None else headed)


def table_lines(
    folder: Folder, grid: Grid, guess: Guess, name: str, asked_for: TableWishes, settled: Settled | None = None
) -> TypedText:
    """The rows of a table whose columns were confirmed as statements, and what has to be asked."""
    from circuitmap.transcribing.table_rows import TableLayout
    from circuitmap.transcribing.tables import table_text

    mark = f"{name}, {date.today().isoformat()}"
    box = _box(folder, asked_for.box)
    layout = TableLayout(guess.kind, guess.columns, guess.headed, mark, box, asked_for.part, asked_for.sides)
    return table_text(grid, layout, folder.known, settled)


def without_rows_that_stand(folder: Folder, typed: TypedText) -> TypedText:
    """The rows of a table that say anything new; those that stand in the platform already are in `standing`."""
    from circuitmap.flows.questions import platform_from
    from circuitmap.transcribing.standing import text_of, without_standing

    if not typed.lines:
        return typed
    now = platform_from((*folder.sources, text_of(typed.lines)))
    lines, standing = without_standing(typed.lines, folder.platform, now, folder.sources)
    return replace(typed, lines=lines, standing=(*typed.standing, *standing))


def _box(folder: Folder, written: str) -> str:
    """The box of this name, or a name for one that is not declared yet."""
    from circuitmap.notation.names import complaint_about_name

    boxes = [name for name, part in folder.platform.parts.items() if part.kind == "box"]
    found = [name for name in boxes if name.casefold() == written.casefold()]
    if not found and written and (complaint_about_name(written) or not written.replace("_", "").isalnum()):
        raise WrongUse(f"{written} is not the name of a box.")
    return found[0] if len(found) == 1 else written


def addition(folder: Folder, lines: Sequence[str], sheet: str, title: str = "") -> Addition:
    """What becomes of the platform with these lines on this sheet; nothing is written yet."""
    place = place_on(folder.platform, folder.sources, folder.notations, sheet, title)
    return added_at(folder, place, lines)


def added_at(folder: Folder, place: SheetPlace, lines: Sequence[str]) -> Addition:
    """The same for a place in the folder's files."""
    known = next((source for source in folder.sources if source.path == place.path), None)
    return with_text(folder, place.path, with_lines(known.text if known else "", place, lines), lines)


def with_text(folder: Folder, path: str, after: str, lines: Sequence[str]) -> Addition:
    """What becomes of the platform with another text in one of its files; `lines` are what is new in it."""
    from circuitmap.flows.questions import platform_from

    known = next((source for source in folder.sources if source.path == path), None)
    others = tuple(source for source in folder.sources if source.path != path)
    now = platform_from(tuple(sorted((*others, SourceFile(path, after)), key=lambda its: its.path)))
    told = {(problem.code, problem.headline) for problem in folder.platform.problems}
    new = tuple(p for p in now.problems if p.severity > Severity.NOTE and (p.code, p.headline) not in told)
    before = known.text if known else None
    return Addition(path=path, lines=tuple(lines), before=before, after=after, problems=new)


def write_addition(folder: Folder, its: Addition) -> Path:
    """Write the file, if it is still what it was. Raises ChangedMeanwhile otherwise."""
    path = folder.path / its.path
    if its.before is None:
        save(path, its.after.encode(), None)
        return path
    content = read_content(path, LARGEST_FILE)
    mark = _BOM.encode() if content is not None and content.startswith(_BOM.encode()) else b""
    save(path, mark + its.after.encode(), mark + its.before.encode())
    return path

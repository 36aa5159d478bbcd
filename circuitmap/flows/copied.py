"""The flow of a sister platform: begun from one that is there, then checked off against the paper, line by line."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from circuitmap.failures import CannotWrite, WrongUse
from circuitmap.flows.transcribing import Addition, Folder, open_folder, with_text, write_addition
from circuitmap.notation.folder import ENDING
from circuitmap.notation.reading import read_text
from circuitmap.problems import Severity
from circuitmap.saving import begin_folder, read_content, save
from circuitmap.source import SourceFile
from circuitmap.transcribing.copied import (
    Unchecked,
    as_not_there,
    begun_from,
    marks_pushed_down,
    replaced,
    unchecked_in,
)
from circuitmap.transcribing.typed_lines import typed_text
from circuitmap.wiring.names import find_name


@dataclass(frozen=True, slots=True)
class SisterBegun:
    """The files of a new platform, and how many statements in them are to be checked."""

    files: tuple[Path, ...]
    to_check: int


def begin_sister(sister: Path, new: Path, name: str) -> SisterBegun:
    """Write the files of a platform into a new folder, every statement marked. Given again it does nothing more.

    Raises CannotWrite where the folder holds anything else of that kind.
    """
    folder = open_folder(sister)
    origin = folder.platform.name or sister.name
    texts: dict[str, str] = {}
    for source, notation in zip(folder.sources, folder.notations, strict=True):
        texts[source.path] = begun_from(source, notation, name, origin)
    there = sorted(path.name for path in new.iterdir() if path.name.endswith(ENDING)) if new.is_dir() else []
    held = {path: read_content(new / path) for path in there}
    if any(path not in texts or content != texts[path].encode() for path, content in held.items()):
        raise CannotWrite(f"{new} holds a platform already; nothing was written.", "A new platform has its own folder.")
    begin_folder(new)
    for path, text in texts.items():
        if path not in held:
            save(new / path, text.encode(), None)
    notations = [read_text(SourceFile(path, text))[0] for path, text in texts.items()]
    return SisterBegun(tuple(new / path for path in texts), sum(1 for _ in unchecked_in(notations)))


def left_to_check(folder: Folder, sheet: str | None) -> tuple[Unchecked, ...]:
    """What is still marked, of one sheet or of all; the mark of a sheet counts for each of its statements."""
    sources = [
        SourceFile(s.path, marks_pushed_down(s, n)) for s, n in zip(folder.sources, folder.notations, strict=True)
    ]
    if sheet:
        if not folder.platform.sheets:
            raise WrongUse(f"There is no sheet {sheet}.")
        sheet = find_name(folder.platform.sheets, sheet, "sheet")
    return tuple(unchecked_in((read_text(source)[0] for source in sources), sheet))


def is_same(folder: Folder, its: Unchecked) -> Addition:
    """The statement holds for this vehicle, too."""
    return _with(folder, its, its.said)


def is_not_there(folder: Folder, its: Unchecked) -> Addition:
    """The statement does not hold for this vehicle."""
    return _with(folder, its, as_not_there(its.said))


def is_different(folder: Folder, its: Unchecked, typed: str) -> Addition:
    """The statement as somebody typed it anew, in full or as a short line. Raises WrongUse where it is not clear."""
    found = typed_text(SourceFile("typed", typed), folder.known)
    if found.questions:
        first = found.questions[0]
        raise WrongUse(first.headline, f"One of: {', '.join(first.choices)}" if first.choices else "")
    if len(found.lines) != 1:
        raise WrongUse("One statement stands here.")
    return _with(folder, its, found.lines[0])


def _with(folder: Folder, its: Unchecked, text: str) -> Addition:
    made = with_text(folder, its.span.path, replaced(its.span, text), (text,))
    wrong = [problem for problem in made.problems if problem.severity is Severity.ERROR]
    if wrong and text != its.said:
        raise WrongUse(wrong[0].headline, wrong[0].advice)
    return made


def check_off(folder: Folder, made: Addition) -> Folder:
    """Write what was checked off, and read the platform anew."""
    write_addition(folder, made)
    return open_folder(folder.path)


def counted_by_sheet(left: Iterable[Unchecked]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for its in left:
        counts[its.sheet] = counts.get(its.sheet, 0) + 1
    return counts

"""Tidying all files of a platform, in place or only to see which would change."""

from dataclasses import dataclass
from pathlib import Path

from circuitmap.notation.folder import read_folder
from circuitmap.notation.tidy import tidy
from circuitmap.problems import Problem
from circuitmap.saving import ChangedMeanwhile, read_content, save


@dataclass(frozen=True)
class Tidied:
    """How many `files` were looked at, the names of those that changed (or would), and what is wrong with them."""

    files: int
    changed: tuple[str, ...]
    problems: tuple[Problem, ...]


def tidied(folder: Path, *, write: bool) -> Tidied:
    """Tidy the notation files of a folder, in place if `write`. Files with problems in their encoding stay as they
    are: what cannot be read would be lost."""
    sources, problems = read_folder(folder)
    untouchable = {problem.span.path for problem in problems}
    changed = []
    for source in sources:
        if source.path in untouchable:
            continue
        text = tidy(source)
        if text == source.text:
            continue
        changed.append(source.path)
        if write:
            before = read_content(folder / source.path)
            mark = "\N{ZERO WIDTH NO-BREAK SPACE}".encode()
            begins = mark if before is not None and before.startswith(mark) else b""
            if before != begins + source.text.encode():
                raise ChangedMeanwhile(
                    f"{source.path} was changed by somebody else in the meantime; it was left alone."
                )
            save(folder / source.path, begins + text.encode(), before)
    return Tidied(len(sources), tuple(changed), problems)

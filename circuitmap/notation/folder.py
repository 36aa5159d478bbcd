"""Reading the files of a platform's folder, within limits."""

import codecs
import os
import re
from pathlib import Path

from circuitmap.failures import CannotRead, LimitReached
from circuitmap.plain_files import read_plain
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile, Span

ENDING = ".circuit"
MOST_FILES = 200
"""Most notation files in one folder."""
MOST_ENTRIES = 5_000
"""Most entries of any kind in one folder."""
LARGEST_FILE = 2_000_000
"""Most bytes in one notation file."""
LARGEST_PLATFORM = 10_000_000
"""Most bytes in all notation files of one folder."""

# How programs that keep folders in step name the second version of a file that two people changed, and how a file
# manager names a copy.
_COPY = re.compile(r"conflict|\(\d{1,3}\)\.\w+\Z|\bcopy\b", re.IGNORECASE)


def looks_like_second_version(name: str) -> bool:
    """Whether a file's name says that it is another version of a file beside it."""
    return _COPY.search(name) is not None


def read_folder(folder: str | Path) -> tuple[tuple[SourceFile, ...], tuple[Problem, ...]]:
    """The notation files of a folder, in the order of their names, and what is wrong with them as files.

    Files that look like a second version of another one are reported and not read. Raises CannotRead for a folder or
    file that is missing, not readable, or not text; LimitReached for too many or too large files.
    """
    sources: list[SourceFile] = []
    problems: list[Problem] = []
    total = 0
    for name in _notation_files(Path(folder)):
        if looks_like_second_version(name):
            source = SourceFile(name, "")
            problems.append(
                Problem(
                    "second-version", Severity.WARNING,
                    f"{name} looks like a second version of another file: it is not read.", Span(source, 0, 0),
                    advice="Move what is right into the other file and delete this one, or give it a name of its own.",
                )
            )  # fmt: skip
            continue
        content = _content(Path(folder) / name)
        total += len(content)
        if total > LARGEST_PLATFORM:
            raise LimitReached(f"The notation in {folder} is larger than {LARGEST_PLATFORM:,} bytes.")
        source, problem = _decoded(name, content)
        sources.append(source)
        if problem:
            problems.append(problem)
    return tuple(sources), tuple(problems)


def file_content(path: Path) -> bytes:
    """The bytes of one notation file, which need not be named like one; never more than the limit is read.

    Raises CannotRead for a file that is missing, not readable, or not a plain file; LimitReached for one that is too
    large.
    """
    return _content(path)


def _notation_files(folder: Path) -> list[str]:
    names: list[str] = []
    try:
        with os.scandir(folder) as entries:
            for count, entry in enumerate(entries, 1):
                if count > MOST_ENTRIES:
                    raise LimitReached(
                        f"{folder} holds more than {MOST_ENTRIES:,} files.", "A platform has a folder of its own."
                    )
                if entry.name.endswith(ENDING) and not entry.name.startswith("."):
                    names.append(_printable(entry.name, folder))
    except FileNotFoundError:
        raise CannotRead(f"There is no folder {folder}.") from None
    except NotADirectoryError:
        raise CannotRead(f"{folder} is not a folder.", "A platform is a folder of .circuit files.") from None
    except (OSError, ValueError) as error:
        raise CannotRead(f"The folder {folder} cannot be read: {_reason(error)}.") from None
    if not names:
        raise CannotRead(f"There is no {ENDING} file in {folder}.", "A platform is a folder of .circuit files.")
    if len(names) > MOST_FILES:
        raise LimitReached(f"{folder} holds more than {MOST_FILES} {ENDING} files.")
    return sorted(names)


def _printable(name: str, folder: Path) -> str:
    if not name.isprintable():
        raise CannotRead(f"A file in {folder} has a name that cannot be shown: {name!a}.", "Give it a plain name.")
    return name


def _content(path: Path) -> bytes:
    """The bytes of a file; a pipe or device is refused before it can block."""
    try:
        return read_plain(path, LARGEST_FILE).content
    except OSError as error:
        raise CannotRead(f"{path} cannot be read: {_reason(error)}.") from None


def _reason(error: OSError | ValueError) -> str:
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return said[:1].lower() + said[1:]


def _decoded(name: str, content: bytes) -> tuple[SourceFile, Problem | None]:
    """The text of a file. A text that is not UTF-8 is read as well as it can be, and reported."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        source = SourceFile(name, content.decode("utf-16", errors="replace"))
        return source, _wrong_encoding("This file is written in UTF-16.", Span(source, 0, 0))
    if b"\0" in content:
        line = content.count(b"\n", 0, content.index(b"\0")) + 1
        raise CannotRead(f"{name} is not a text file: there is a NUL byte in line {line}.")
    content = content.removeprefix(codecs.BOM_UTF8)
    try:
        return SourceFile(name, content.decode("utf-8")), None
    except UnicodeDecodeError as error:
        source = SourceFile(name, content.decode("utf-8", errors="replace"))
        at = len(content[: error.start].decode("utf-8", errors="replace"))
        return source, _wrong_encoding("This character is not written in UTF-8.", Span(source, at, at + 1))


def _wrong_encoding(headline: str, span: Span) -> Problem:
    return Problem(
        "wrong-encoding", Severity.ERROR, headline, span,
        advice="Save the file as UTF-8; most editors ask for it in the window for saving.",
    )  # fmt: skip

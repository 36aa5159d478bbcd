"""What a hostile platform is: its text at any size, the size at the published limits, and what is asked of it."""

from collections.abc import Callable, Mapping
from typing import NamedTuple


class Hostile(NamedTuple):
    """One way to make the program work hard.

    `files` gives the text of each file of a platform of size `n`. `limit` is the size at which it comes to a published
    limit: about 5,000 statements, or the longest statement, or most files. `small` is a size for tests of counted work.
    `asked` gives, for a size, the parts to trace and to draw; `fuses` are those that are read; `setting` are further
    words for `live`; `sheet` is the sheet to be drawn.
    """

    name: str
    files: Callable[[int], Mapping[str, str]]
    small: int
    limit: int
    asked: Callable[[int], tuple[str, ...]]
    fuses: Callable[[int], tuple[str, ...]] = lambda n: ("MAIN",)
    setting: Callable[[int], tuple[str, ...]] = lambda n: ()
    sheet: str = ""


HEAD = """platform "Hostile" supply 12V
naming SP* splice, X* connector, G* ground
battery BAT 90Ah
fuse MAIN 100A
BAT.- -> G0
BAT.+ -> MAIN -> SPMAIN
"""


def one_file(lines: Callable[[int], list[str]], head: str = HEAD) -> Callable[[int], Mapping[str, str]]:
    """The files of a platform that is typed in one file."""
    return lambda n: {"a.circuit": head + "\n".join(lines(n)) + "\n"}


def statements_in(files: Mapping[str, str]) -> int:
    """How many statements stand in these files."""
    return sum(
        1 for text in files.values() for line in text.splitlines() if line.strip() and not line.startswith((" ", "#"))
    )


def rows(count: int, stem: str, each: int = 100) -> list[str]:
    """`count` names in rows of at most `each`: `F0..F99`, `F100..F199`."""
    return [f"{stem}{k}..{stem}{min(k + each, count) - 1}" for k in range(0, count, each)]


def last(*names: str) -> Callable[[int], tuple[str, ...]]:
    """Names with `#` for the last number: `L#` at size 5 gives `L4`."""
    return lambda n: tuple(name.replace("#", str(n - 1)) for name in names)


def numbered(stem: str, most: int = 10_000) -> Callable[[int], tuple[str, ...]]:
    """All names with this stem."""
    return lambda n: tuple(f"{stem}{k}" for k in range(min(n, most)))

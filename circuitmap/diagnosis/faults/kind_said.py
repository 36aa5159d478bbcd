"""The kind of fault that a confirmed cause names at its end: `X20.8, rubbed through; kind chafed`. Of two causes each
may have its own: `; kind contact, kind chafed`."""

import re
from typing import get_args

from circuitmap.diagnosis.faults.fault_kinds import Kind

KINDS_SAID: tuple[Kind, ...] = tuple(kind for kind in get_args(Kind) if kind != "none-of-these")
"""The kinds of fault that a cause can name."""

_SAID = re.compile(
    r"(?P<before>.*?)(?:[;,](?:\s*and)?|\s+and)\s*kind\s+(?P<kind>[\w-]+(?: (?!and\b|kind\b)[\w-]+)*?)[.,;\s]*",
    re.DOTALL,
)
_FIRST = re.compile(r"[;,]\s*kind\s")


def words_said(cause: str) -> tuple[str, ...]:
    """The words with which a cause says its kinds, in their order; none if it says none."""
    return _cut(cause)[1]


def without_kinds(cause: str) -> str:
    """A cause without the kinds of fault at its end."""
    return _cut(cause)[0].strip()


def _cut(cause: str) -> tuple[str, tuple[str, ...]]:
    rest, said = cause, tuple[str, ...]()
    while (found := _SAID.fullmatch(rest)) is not None and _FIRST.search(rest) is not None:
        rest, said = found["before"], (found["kind"], *said)
    return rest, said


def kinds_in(cause: str) -> tuple[Kind, ...]:
    """The kinds of fault that a cause names, as far as they are known."""
    return tuple(kind for said in words_said(cause) for kind in KINDS_SAID if kind == said)

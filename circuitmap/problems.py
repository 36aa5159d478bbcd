"""What is wrong, or may be, in a text that somebody wrote: a value, always with its place."""

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

from circuitmap.source import Span


class Severity(IntEnum):
    """How much a problem matters. An error cannot become a circuit, a warning is probably a slip, a note says what is
    not transcribed."""

    NOTE = 0
    WARNING = 1
    ERROR = 2

    @property
    def word(self) -> str:
        return self.name.lower()


class Related(NamedTuple):
    """A second place that belongs to a problem, and what it is."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to look at in the notation.

    `code` names the page in `grammar/problems`; `headline` says it in one sentence in the trade's words; `expected`
    lists what could stand there; `suggestion` is a known name close to what was written; `advice` says what to do.
    """

    code: str
    severity: Severity
    headline: str
    span: Span
    expected: str = ""
    suggestion: str = ""
    advice: str = ""
    related: tuple[Related, ...] = ()


def in_order(problems: list[Problem] | tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Problems as a reader meets them: by file, then by place; each only once."""
    unique = {(p.code, p.span.path, p.span.start, p.span.end, p.headline): p for p in problems}
    return tuple(sorted(unique.values(), key=lambda p: (p.span, -p.severity, p.code, p.headline)))


def worst(problems: tuple[Problem, ...]) -> Severity | None:
    """The highest severity among `problems`, or None when there are none."""
    return max((p.severity for p in problems), default=None)

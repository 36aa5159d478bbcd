"""Habits from elsewhere that the grammar could misread: `//` before a comment, `LOCK:7` for a pin, `HEATER.?`.

They are looked for before reading, since `LOCK:7` would be read as a part and a size without a unit.
"""

import re
from collections.abc import Iterator

from circuitmap.notation.draft import Draft
from circuitmap.problems import Problem, Severity

_PART = r"[A-Za-z0-9_/+]+(?:[-.][A-Za-z0-9_/+]+)*"
# What can be neither a colour (letters) nor a size (a number with its unit).
_COLON = re.compile(
    rf"(?<![A-Za-z0-9_/+.\-])({_PART}):([A-Za-z]*[0-9]+(?:\.[0-9]+)*)(?![A-Za-z0-9_.])(?![ \t]+(?:mm2|awg))"
)
_UNKNOWN_PIN = re.compile(rf"(?<![A-Za-z0-9_/+.\-])({_PART})\.\?(?![A-Za-z0-9_.])")
_SLASHES = re.compile(r"(?<![^ \t\r\n])//[^\r\n]*")
_NOT_READ = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|#[^\r\n]*')


def places_of_habits(text: str) -> tuple[int, ...]:
    """Where a text may contain such a habit that the grammar would read as something else."""
    return tuple(match.start() for match in _COLON.finditer(text)) if ":" in text else ()


def with_comments_after_hash(draft: Draft) -> tuple[Draft, list[Problem]]:
    """The draft without what follows `//`. Where a statement begins with `//`, nothing of it is left."""
    found = list(_outside(draft, _SLASHES))
    problems = [
        Problem(
            "stray-words", Severity.ERROR, "A comment begins with `#`.", draft.span(match.start(), match.start() + 2),
            suggestion="#",
        )
        for match in found
    ]  # fmt: skip
    if found and not draft.text[: found[0].start()].strip():
        return draft.part(0, 0), problems[:1]
    return draft.with_mends((match.start(), match.end(), "") for match in found), problems


def with_pins_after_points(draft: Draft) -> tuple[Draft, list[Problem]]:
    """The draft with `LOCK.7` for `LOCK:7`."""
    found = list(_outside(draft, _COLON))
    problems = [
        Problem(
            "bad-name", Severity.ERROR, "A pin is written behind a point.", draft.span(match.start(), match.end()),
            suggestion=f"{match[1]}.{match[2]}",
        )
        for match in found
    ]  # fmt: skip
    return draft.with_mends((match.start(), match.end(), f"{match[1]}.{match[2]}") for match in found), problems


def unknown_pins(draft: Draft) -> list[Problem]:
    """`HEATER.?`: the sheet does not show the pin, and nobody else knows it."""
    return [
        Problem(
            "bad-name", Severity.ERROR, f"A pin is not written as `?`: {match[0]}.",
            draft.span(match.start(), match.end()), expected="the pin as the sheet prints it",
            advice=f"Where none can be read, a row of the fuse chart will do: its fuse, then feeds {match[1]}.",
        )
        for match in _outside(draft, _UNKNOWN_PIN)
    ]  # fmt: skip


def _outside(draft: Draft, pattern: re.Pattern[str]) -> Iterator[re.Match[str]]:
    """The matches that lie outside quoted texts and comments."""
    return pattern.finditer(_NOT_READ.sub(lambda match: " " * len(match[0]), draft.text))

"""What goes to the terminal: safe whatever a file contains and whatever the terminal can show."""

import io
import sys
from collections.abc import Mapping
from typing import Any, TextIO

FORMAT_VERSION = 2
"""Version of the JSON answers; it goes up when a field changes its meaning or goes away."""

_UNSAFE = (
    *(code for code in (*range(0x20), *range(0x7F, 0xA0)) if chr(code) not in "\n\t"),
    # These turn the direction of what follows, and could make one line look like another.
    *range(0xD800, 0xE000),
    *(0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)),
)
_MARKS = dict.fromkeys(_UNSAFE, "\N{REPLACEMENT CHARACTER}")


def prepare_streams() -> None:
    """Print `?` for what the terminal's encoding cannot show, instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def harmless(text: str) -> str:
    """`text` without control characters that could steer a terminal; line ends and tabs stay."""
    return text.translate(_MARKS)


def say(text: str) -> None:
    """Print an answer, with one line end."""
    _write(sys.stdout, text)


def complain(text: str) -> None:
    """Print a message that is not an answer, on standard error."""
    sys.stdout.flush()
    _write(sys.stderr, text)


def print_json(answer: Mapping[str, Any]) -> None:
    """Print an answer for programs: ASCII only, so that no terminal or pipe can spoil it."""
    import json

    say(json.dumps({"format_version": FORMAT_VERSION, **answer}, indent=2, allow_nan=False))


def _write(stream: TextIO, text: str) -> None:
    stream.write(harmless(text).rstrip("\n") + "\n")

"""What goes to the terminal: safe whatever a file contains and whatever the terminal can show."""

import contextlib
import io
import os
import sys
from collections.abc import Iterator, Mapping
from typing import Any

FORMAT_VERSION = 3
"""Version of the JSON answers; it goes up when a field changes its meaning or goes away."""

_UNSAFE = (
    *(code for code in (*range(0x20), *range(0x7F, 0xA0)) if chr(code) not in "\n\t"),
    # These turn the direction of what follows, and could make one line look like another.
    *range(0xD800, 0xE000),
    *(0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)),
)
_MARKS = dict.fromkeys(_UNSAFE, "\N{REPLACEMENT CHARACTER}")


class NotShown(Exception):
    """The answer did not get to where it was to be shown; the message says why."""


class _Output:
    """Standard output. Failures to write to it look the same to every writer: a reader that has seen enough is a
    BrokenPipeError, everything else is NotShown."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream

    def write(self, what: Any) -> Any:
        with _not_shown():
            return self._stream.write(what)

    def flush(self) -> None:
        with _not_shown():
            self._stream.flush()

    @property
    def buffer(self) -> "_Output | None":
        """The stream of bytes below the text, where there is one."""
        bytes_ = getattr(self._stream, "buffer", None)
        return None if bytes_ is None else _Output(bytes_)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Closed(io.TextIOBase):
    """Stands in for standard output where there is none."""

    def writable(self) -> bool:
        return True

    def write(self, text: str) -> int:
        raise OSError("standard output is closed")


@contextlib.contextmanager
def _not_shown() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise NotShown(reason_of(error)) from None


def reason_of(error: OSError) -> str:
    return error.strerror or str(error)


@contextlib.contextmanager
def prepared_streams() -> Iterator[None]:
    """Print `?` for what the terminal's encoding cannot show, instead of failing, and tell what cannot be shown."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    output: Any = _Output(_Closed() if sys.stdout is None else sys.stdout)
    with contextlib.redirect_stdout(output):
        yield


def hold_standard_numbers() -> None:
    """Where standard input, output or errors are closed, put something in their place that cannot be written to:
    otherwise the next file to be opened would get that number, and a message might end up in somebody's card."""
    if os.name != "posix":
        return
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.sep, os.O_RDONLY)  # gets the lowest free number: this one


def harmless(text: str) -> str:
    """`text` without control characters that could steer a terminal; line ends and tabs stay."""
    return text.translate(_MARKS)


def say(text: str) -> None:
    """Print an answer, with one line end. Raises NotShown, or BrokenPipeError for a reader that has seen enough."""
    sys.stdout.write(_one_line_end(text))


def complain(text: str) -> None:
    """Print a message that is not an answer, on standard error. Where that is impossible, the exit code has to do."""
    with contextlib.suppress(OSError, NotShown):
        sys.stdout.flush()
    with contextlib.suppress(OSError):
        if sys.stderr is not None:
            sys.stderr.write(_one_line_end(text))
            sys.stderr.flush()


def print_json(answer: Mapping[str, Any]) -> None:
    """Print an answer for programs: ASCII only, so that no terminal or pipe can spoil it."""
    import json

    say(json.dumps({"format_version": FORMAT_VERSION, **answer}, indent=2, allow_nan=False))


def _one_line_end(text: str) -> str:
    return harmless(text).rstrip("\n") + "\n"

"""The program in this process, the small van, and somebody at the keyboard."""

import io
import sys
from collections.abc import Callable

import pytest

from circuitmap.cli import transcribe
from tests.cli.conftest import Ran, circuitmap, van

__all__ = ["circuitmap", "van"]

AtTerminal = Callable[..., Ran]


@pytest.fixture
def typing(circuitmap: Callable[..., Ran], monkeypatch: pytest.MonkeyPatch) -> AtTerminal:
    """Run the program as at a terminal, where `answers` are typed one after another."""

    def run(*words: object, answers: tuple[str, ...]) -> Ran:
        monkeypatch.setattr(transcribe, "is_terminal", lambda: True)
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{answer}\n" for answer in answers)))
        return circuitmap(*words)

    return run


@pytest.fixture
def piped(circuitmap: Callable[..., Ran], monkeypatch: pytest.MonkeyPatch) -> AtTerminal:
    """Run the program with a text on its standard input."""

    def run(*words: object, text: str | bytes) -> Ran:
        content = text.encode() if isinstance(text, str) else text
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content)))
        return circuitmap(*words)

    return run

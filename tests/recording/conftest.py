"""The program as the tests of the command line run it, and a platform from its text."""

from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring import declare
from circuitmap.wiring.platform import Platform
from tests.cli.conftest import circuitmap

__all__ = ["circuitmap", "platform_of"]


def platform_of(text: str) -> Platform:
    """The platform that a text in the notation says."""
    return declare.platform_of([read_text(SourceFile("a.circuit", text))[0]])

"""A statement as it was typed, on one line and without comments."""

import re

from circuitmap.source import Span

_COMMENT = re.compile(r'("(?:[^"\\\r\n]|\\[^\r\n])*")|#[^\r\n]*')


def on_one_line(span: Span) -> str:
    """The words of a statement with one blank between them."""
    return " ".join(_COMMENT.sub(lambda match: match[1] or "", span.text).split())

"""Trouble codes: stored, back after clearing, and explained by low voltage are three things.

The form of a code (letter P, C, B or U and four digits, the first 0..3) and the "lost communication" block U01xx are
those of SAE J2012 / ISO 15031-6 (seen).
"""

import re
from dataclasses import dataclass
from typing import Literal

from circuitmap.source import Span

Standing = Literal["stored", "back", "low-voltage"]

_FORM = re.compile(r"[PCBU][0-3][0-9A-F]{3}\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A code that a module reported. `about` is a module it says was not heard from, if the reader typed one."""

    code: str
    standing: Standing
    module: str = ""
    about: str = ""
    written: str = ""
    span: Span | None = None

    @property
    def says_not_heard(self) -> bool:
        return self.code.startswith("U01")


def is_code(text: str) -> bool:
    return _FORM.match(text) is not None

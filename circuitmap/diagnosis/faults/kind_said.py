"""The kind of fault that a confirmed cause names at its end: `X20.8, rubbed through; kind chafed`."""

import re
from typing import get_args

from circuitmap.diagnosis.faults.fault_kinds import Kind

KINDS_SAID: tuple[Kind, ...] = tuple(kind for kind in get_args(Kind) if kind != "none-of-these")
"""The kinds of fault that a cause can name."""

_SAID = re.compile(r"[;,]\s*kind ([\w-]+)[.\s]*$")


def word_said(cause: str) -> str:
    """The word with which a cause says its kind; empty if it says none."""
    found = _SAID.search(cause)
    return found[1] if found is not None else ""


def kind_in(cause: str) -> Kind | None:
    """The kind of fault that a cause names; None if it names none that is known."""
    said = word_said(cause)
    return next((kind for kind in KINDS_SAID if kind == said), None)

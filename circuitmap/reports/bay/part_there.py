"""One part for somebody who stands before it: what it is, where it sits, its feed and ground, what hangs on it, its
sheets. The same text as `trace`, in lines that a page can wrap."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.trace import Trace
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform

_ONE_LINE = 100_000
_COLUMNS = re.compile(r" {2,}")
_BESIDE = re.compile(r"(SHEETS|NOT KNOWN) {2,}(.*)\Z")
_TREE = "DOWNSTREAM"


def part_values(
    platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], hands_off: HandsOffMap
) -> dict[str, Any]:
    """Sections with lines, each with how deep it stands below the one before it."""
    return {
        "name": trace.part,
        "hands_off": hands_off_sentence(hands_off, [trace.part]),
        "sections": list(_sections(trace_text(platform, trace, fed, _ONE_LINE))),
    }


def _sections(text: str) -> Iterator[dict[str, Any]]:
    """The blocks of the text: each begins at the left edge, and the first has no label."""
    label, lines = "", list[dict[str, Any]]()
    for number, line in enumerate(text.rstrip().split("\n")):
        beside = _BESIDE.match(line)
        if number and line and not line[0].isspace():
            yield {"label": label, "lines": lines}
            label, lines = (beside[1] if beside else line), []
            line = beside[2] if beside else ""
        if line.strip():
            lines.append({"depth": _depth(line) if label == _TREE else 0, "says": _said(line, label)})
    yield {"label": label, "lines": lines}


def _said(line: str, label: str) -> str:
    """A row of columns as words; in the tree nothing is in columns."""
    return line.strip() if label == _TREE else " · ".join(_COLUMNS.split(line.strip()))


def _depth(line: str) -> int:
    """How deep a line of the tree stands: one blank, then two for each step."""
    return (len(line) - len(line.lstrip()) - 1) // 2

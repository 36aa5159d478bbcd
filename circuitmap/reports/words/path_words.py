"""A way that current takes, point by point, as lines and as JSON."""

from collections.abc import Sequence
from typing import Any

from circuitmap.circuit.link import Link
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.reports.words.paragraphs import WIDTH, joined, table
from circuitmap.reports.words.part_words import condition_words, kind_words, rating, terminal_words, wire_words
from circuitmap.wiring.output_inputs import inputs_said
from circuitmap.wiring.parts import Fuse, Ground, Joint, OpenEnd, Part, Terminal
from circuitmap.wiring.platform import Platform

ASSUMED = {
    "role": "what the pin does is assumed from the reading direction",
    "case": "its case is assumed to be its ground",
    "terminal": "the chart names no terminal",
    "ground": "its ground is not typed in",
    "supply": "its supply is not typed in",
    "body": "the battery's way to the body is not typed in",
}
"""What was assumed on the way, by `Link.assumed`."""


Row = tuple[str, str, str, str]
"""What leads to a point, the point, the sheets of what leads there, what the point is."""

MOST_POINTS = 80
"""How many points of one way are told, the first and the last ones (judgement: the samples have at most thirty)."""
_WORTH_SAYING = 3
"""How many points two ways must share at their beginning before the second says "as above"."""


def path_lines(platform: Platform, path: Path, shown: Sequence[Path] = (), width: int = WIDTH) -> list[str]:
    """A line for every point on the way. What it has in common with a way among `shown`, from its start or to its
    end, is not repeated."""
    rows = _rows(platform, path)
    others = [_rows(platform, other) for other in shown]
    ending = max((_common_start(rows[::-1], its[::-1]) for its in others), default=0)
    if _WORTH_SAYING <= ending < len(rows):
        joins_at = rows[len(rows) - ending]
        rows = [*rows[: len(rows) - ending], (joins_at[0], joins_at[1], joins_at[2], "as above from here on")]
    same = max((_common_start(rows, its) for its in others), default=0)
    if same >= _WORTH_SAYING and same < len(rows):
        _, point, _, about = rows[same - 1]
        rows = [("as above to", point, "", about), *rows[same:]]
    if len(rows) > MOST_POINTS:
        left_out = f"... {len(rows) - MOST_POINTS} more points are left out here: --json lists them"
        rows = [*rows[: MOST_POINTS // 2], ("", left_out, "", ""), *rows[-MOST_POINTS // 2 :]]
    return table(rows, width)


def made_by(platform: Platform, path: Path) -> str:
    """The alternator or charger whose own output gives a way its plus, with no fuse behind it: what feeds that one has
    no part in it while it charges."""
    made = ""
    for link in path.links:
        if link.output is not None and platform.parts[link.output.module].kind in ("alternator", "charger"):
            made = link.output.module
        elif link.kind in PROTECTIVE:
            made = ""
    return made


def _points(platform: Platform, path: Path) -> list[tuple[Terminal, Link | None]]:
    """The points of a way, each with what leads to it; from the output on of what makes its plus itself."""
    points = list(path.points())
    made = made_by(platform, path)
    if not made:
        return points
    outputs = [n for n, (_, link) in enumerate(points) if link and link.output and link.output.module == made]
    return [(points[outputs[-1]][0], None), *points[outputs[-1] + 1 :]]


def _rows(platform: Platform, path: Path) -> list[Row]:
    """The points of a way; the two sides of one fuse, cavity or bar are one point."""
    rows: list[Row] = []
    for terminal, link in _points(platform, path):
        point = terminal_words(platform, terminal)
        by = "" if link is None else _link_words(platform, link)
        if by or not rows or rows[-1][1] != point:
            sheets = joined(link.wire.sheets) if link is not None and link.wire is not None else ""
            rows.append((by, point, sheets, _point_words(platform, terminal)))
    return rows


def _common_start(rows: list[Row], others: list[Row]) -> int:
    return next((n for n, (a, b) in enumerate(zip(rows, others, strict=False)) if a != b), min(len(rows), len(others)))


def _link_words(platform: Platform, link: Link) -> str:
    """What leads from one point to the next; empty inside fuses, cavities and joints, which count as one point."""
    if link.wire is not None:
        condition = condition_words(link.condition)
        return f"{wire_words(link.wire)} {condition}".strip()
    if link.contact:
        return contact_words(platform, link)
    if link.kind == "body":
        return "body"
    if link.kind == "diode":
        return "diode, one way"
    if link.kind == "resistor":
        return "resistor"
    return ""


def contact_words(platform: Platform, link: Link) -> str:
    """When a contact conducts: `IGN run, start`; `CAB.K4 pulled in`; `on while awake`; `plus at BCM.B7`."""
    if link.output is not None:
        output = link.output
        return {
            "awake": "on while awake",
            "always": "always on",
            "request": "on request",
            "in": f"on in {', '.join(output.positions)}",
            "live": inputs_said(platform, output),
        }[output.when]
    if link.energised is not None:
        return f"{link.part} {'pulled in' if link.energised else 'at rest'}"
    return f"{link.part} {', '.join(link.closed_in) or 'in no position'}"


def _point_words(platform: Platform, terminal: Terminal) -> str:
    part = platform.parts.get(terminal.part)
    if part is None:
        return "the body" if terminal.part == "case" else ""
    if isinstance(part, Fuse):
        return ", ".join(word for word in (rating(part), part.description) if word)
    if isinstance(part, OpenEnd):
        return "not typed in"
    if isinstance(part, Joint | Ground):
        kind = {"splice": "splice", "bar": "bar", "ground": "ground", "terminal": "ring terminal"}.get(part.kind, "")
        said = part.description.startswith(kind) if kind else True
        words = ["" if said and part.description else kind, part.description, part.place]
        return ", ".join(word for word in words if word)
    return _named(part)


def _named(part: Part) -> str:
    return part.description or kind_words(part)


def path_json(platform: Platform, path: Path) -> dict[str, Any]:
    return {
        "from": terminal_words(platform, path.start),
        "to": terminal_words(platform, path.end),
        "known": path.known,
        "roundabout": path.roundabout,
        "second": path.second,
        "if": demands_json(path),
        "steps": [_step_json(platform, step.start, step.end, step.link) for step in path.steps],
        "fuses": list(path.fuses),
        "contacts": [link.contact for link in path.contacts],
        "connectors": list(path.cavities),
        "sheets": list(path.sheets),
        "chart_only": path.charted,
    }


def demands_json(path: Path) -> list[dict[str, Any]]:
    """What must hold for the path to conduct."""
    return [
        {"kind": subject.kind, "name": subject.name, "in": sorted(states)} for subject, states in path.demands.items()
    ]


def _step_json(platform: Platform, start: Terminal, end: Terminal, link: Link) -> dict[str, Any]:
    wire = link.wire
    return {
        "kind": link.kind,
        "part": link.part,
        "from": terminal_words(platform, start),
        "to": terminal_words(platform, end),
        "contact": link.contact,
        "colour": wire.colour_written if wire else "",
        "size": wire.size_written if wire else "",
        "code": wire.code if wire else "",
        "sheets": list(wire.sheets) if wire else [],
        "assumed": ASSUMED.get(link.assumed, ""),
    }

"""The fuse boxes as rows to be read: what each fuse feeds, how it stands, what it should show asleep."""

import hashlib
from collections.abc import Mapping
from typing import Any, Literal

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.quantities import Band
from circuitmap.reports.bay.asleep_there import asleep_words
from circuitmap.reports.pages.worksheet import BoxPage, Worksheet, WorksheetRow
from circuitmap.wiring.parts import Box
from circuitmap.wiring.platform import Platform

FuseState = Literal["quiet", "draws", "too early", "not read", "hands off", "empty"]

SIGNS: dict[FuseState, str] = {
    "quiet": "○", "draws": "●", "too early": "◐", "not read": "?", "hands off": "✕", "empty": "–",
}  # fmt: skip
"""A sign for each, so that nothing is told by colour alone."""


def part_key(name: str) -> str:
    """How a part is asked for: its name may hold anything, and an address may not."""
    return hashlib.sha256(name.encode()).hexdigest()[:12]


def box_rows(
    platform: Platform,
    sheet: Worksheet,
    evidence: Evidence,
    asleep: Mapping[str, Band],
    hands_off: HandsOffMap | None = None,
) -> list[dict[str, Any]]:
    """Every box with its fuses, and its rows where somebody typed in how it lies; what is in none of them comes last.

    What is hands-off, or has no fuse, has no line to write; what has no test points is clamped. With `hands_off` the
    cable that feeds a box can be read, too, where a clamp may go round it.
    """
    read = {r.place: r for r in evidence.readings if not r.without}
    return [
        {
            "name": box.name,
            "says": ", ".join(word for word in (box.description, box.place) if word),
            "rows": [[name.removeprefix(f"{box.name}.") for name in row] for row in _laid_out(platform, box)],
            "up": its.up if isinstance(its := platform.parts.get(box.name), Box) else "",
            "feeder": _feeder(platform, box.name, read) if hands_off and hands_off.may_clamp(box.name) else None,
            "fuses": [
                _row(box, row, read.get(row.fuse.name), asleep.get(row.fuse.name)) for row in _in_order(platform, box)
            ],
        }
        for box in sheet.boxes
    ]


def _feeder(platform: Platform, box: str, read: Mapping[str, Reading]) -> dict[str, str] | None:
    """What was read at the cable of a box; None for fuses that lie in none."""
    if not isinstance(platform.parts.get(box), Box):
        return None
    reading = read.get(box)
    return {"shown": reading.written.rpartition(" ")[2] if reading else "", "by": reading.by if reading else ""}


def _laid_out(platform: Platform, box: BoxPage) -> tuple[tuple[str, ...], ...]:
    its = platform.parts.get(box.name)
    return its.rows if isinstance(its, Box) else ()


def _in_order(platform: Platform, box: BoxPage) -> list[WorksheetRow]:
    """The fuses as the eye goes over the box: row by row, from left to right."""
    places = {name: place for place, name in enumerate(name for row in _laid_out(platform, box) for name in row)}
    return sorted(box.rows, key=lambda row: places.get(row.fuse.name, len(places)))


def _row(box: BoxPage, row: WorksheetRow, reading: Reading | None, amps: Band | None) -> dict[str, Any]:
    fuse, state = row.fuse, _state(row, reading)
    feeds = [
        its.load if its.description in fuse.description else f"{its.load} {its.description}" for its in row.hanging
    ]
    probed = fuse.kind == "fuse" and fuse.style != "bolted"
    return {
        "name": fuse.name,
        "part": part_key(fuse.name),
        "short": fuse.name.removeprefix(f"{box.name}."),
        "size": row.size,
        "feeds": ", ".join(dict.fromkeys(word for word in (fuse.description, *feeds, *row.feeds_fuses) if word)),
        "state": state,
        "sign": SIGNS[state],
        "shown": reading.written.rpartition(" ")[2] if reading is not None else "",
        "by": reading.by if reading is not None else "",
        "asleep": "" if row.hands_off else asleep_words(fuse, amps),
        "why": row.hands_off,
        "read": row.is_read,
        "zero": f"{fuse.name}={'0.0mV' if probed else '0A'}" if row.is_read else "",
        "probed": probed,
    }


def _state(row: WorksheetRow, reading: Reading | None) -> FuseState:
    if row.hands_off:
        return "hands off"
    if row.fuse.empty:
        return "empty"
    if reading is None:
        return "not read"
    if reading.speaks != "parked":
        return "too early"
    return "draws" if reading.shows_current else "quiet"

"""Volts at a point for the page: what to read here and along its way to ground, in which state, what readings say."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import Circuit
from circuitmap.power.state import keys_of
from circuitmap.reports.volts.place_words import point_words, volts_words
from circuitmap.reports.volts.volts_text import volts_text
from circuitmap.reports.volts.way_words import stands, title_of_way, way_rows
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.reports.words.hands_off_words import HAND_OVER, why_words
from circuitmap.volts.answer import VoltsThere
from circuitmap.wiring.parts import Fuse, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform

MOST_POINTS = 60
"""Points of one part that are offered; how many more there are is said."""

_ONE_LINE = 100_000
_LABEL = re.compile(r"([A-Z]+(?: [A-Z]+)*)(?: {2,}(.*))?\Z")
_TOLD_ELSEWHERE = ("THE WAY", "HANDS OFF")
_COLUMNS = re.compile(r" {2,}")


def point_values(circuit: Circuit, part: str) -> dict[str, Any]:
    """The points of a part at which volts can be asked for; none of one that nobody may touch."""
    if not circuit.hands_off.may_touch(part):
        return {"points": [], "points_left_out": 0}
    platform = circuit.platform
    its = platform.parts.get(part)
    found = dict.fromkeys(str(node) for node in circuit.nodes if node.part == part and not is_unnamed(node.pin))
    if isinstance(its, Fuse):
        found = dict.fromkeys((f"{part}.1", f"{part}.2"))
    names = [name for name in found if circuit.hands_off.may_probe(name)]
    rows = [{"name": name, "words": _short(platform, part, name)} for name in names[:MOST_POINTS]]
    return {"points": rows, "points_left_out": max(0, len(names) - MOST_POINTS)}


def _short(platform: Platform, part: str, name: str) -> str:
    pin = name.removeprefix(part).lstrip(".")
    return point_words(platform, Terminal(part, pin)).removeprefix(f"{part}, ").removeprefix(f"{part}.") or name


def volts_values(platform: Platform, there: VoltsThere) -> dict[str, Any]:
    """All that the page shows of one point. `way` is empty where no current flows past it."""
    its = there.expected
    text = volts_text(platform, there, width=_ONE_LINE)
    head: Mapping[str, Any] = {
        "name": there.point.as_typed,
        "says": point_words(platform, there.point),
        "title": title_of_way(platform, there) if there.running else "Nothing that runs is known there",
        "hands_off": "" if there.untouchable is None else (
            f"{why_words(str(there.point), there.untouchable)}: not probed, not measured; {HAND_OVER}."
        ),
        "keys": list(dict.fromkeys(position for key in keys_of(platform) for position in key.positions)),
        "key": there.state.powered.state.key,
        "cautions": [told.text for told in cautions_at(platform, "live-volts", (there.point.part,))],
        "sections": [] if there.untouchable is not None else list(_sections(text)),
    }  # fmt: skip
    return {**head, "way": [] if its is None else list(_way(platform, there, its.powered.circuit.hands_off))}


def _way(platform: Platform, there: VoltsThere, hands_off: HandsOffMap) -> Iterator[dict[str, Any]]:
    """The points from the battery to what runs and on to ground; `line` is what comes before a reading's volts, empty
    where nobody probes."""
    its = there.expected
    assert its is not None
    at = {point_words(platform, its_point.terminal): its_point for its_point in its.way}
    for name, onward, _, _, _, expected, read, untouched, asked in way_rows(platform, its):
        here = at[name]
        yield {
            "point": str(here.terminal),
            "name": name,
            "onward": onward,
            "expected": expected,
            "read": "" if read is None else f"{volts_words(read)} {stands(here)}".strip(),
            "untouched": untouched,
            "line": "" if untouched else f"probe {here.terminal} ",
            "asked": asked,
        }


def _sections(text: str) -> Iterator[dict[str, Any]]:
    """The blocks of the answer but for its title, the way and the cautions, which have places of their own."""
    label, lines = "", list[str]()
    for line in [*text.rstrip().split("\n")[1:], "END"]:
        match = _LABEL.match(line)
        if match is not None:
            if lines and label not in _TOLD_ELSEWHERE:
                yield {"label": label, "lines": lines}
            label, lines = match[1], [match[2]] if match[2] else []
        elif line.strip() and not line.strip().startswith("!"):
            lines.append(" · ".join(_COLUMNS.split(line.strip())))

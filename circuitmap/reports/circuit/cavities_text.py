"""The wires at each cavity of a connector, those that go on from there to another one, and the wires on each side of a
shunt."""

from collections.abc import Iterator, Sequence

from circuitmap.circuit.trace import Trace
from circuitmap.circuit.wires_on import InCavity
from circuitmap.reports.words.paragraphs import counted, listed
from circuitmap.reports.words.part_words import condition_words, terminal_words, wire_words
from circuitmap.wiring.natural_order import natural
from circuitmap.wiring.platform import Platform

_MOST_ON_A_SIDE = 12
"""How many wires are named on one side (judgement: the battery's own side has three or four)."""


def cavity_lines(platform: Platform, trace: Trace, width: int) -> Iterator[list[str]]:
    """As a plug is seen at the vehicle: a row for each cavity, the wires of each of its sides in the same order. Of a
    shunt: what it measures, and what not."""
    by_place: dict[str, list[InCavity]] = {}
    for its in sorted(trace.cavities, key=lambda its: natural(str(its.cavity))):
        by_place.setdefault(str(its.cavity), []).append(its)
    if platform.parts[trace.part].kind == "resistor":
        sides = [(name, _side_words(platform, found)) for name, found in by_place.items()]
        yield listed("ON EACH SIDE  as far as metal goes", sides, width)
        return
    rows = [(name, "; ".join(_words(platform, its) for its in found)) for name, found in by_place.items()]
    yield listed(f"CAVITIES  {len(rows)} with a wire", rows, width)
    onward: dict[str, dict[str, None]] = {}
    for its in trace.cavities:
        beyond = platform.parts.get(its.end.part)
        if beyond is not None and beyond.kind == "connector" and its.end.part != trace.part:
            here, there = (terminal_words(platform, end) for end in (its.cavity, its.end))
            onward.setdefault(its.end.part, {})[f"{here} - {there}"] = None
    told = [(f"{name}  {len(pairs)}", ", ".join(pairs)) for name, pairs in onward.items()]
    yield listed("ON TO ANOTHER CONNECTOR", told, width)


def _words(platform: Platform, its: InCavity) -> str:
    """`RD 4mm2 code 532 to FB1.F24`."""
    condition = condition_words(its.wire.condition)
    return f"{wire_words(its.wire)} to {terminal_words(platform, its.end)} {condition}".rstrip()


def _side_words(platform: Platform, found: Sequence[InCavity]) -> str:
    """`BK 50mm2 code 125 R1 - B2.-`, the nearest first."""
    told = []
    for its in found[:_MOST_ON_A_SIDE]:
        ends = " - ".join(terminal_words(platform, end) for end in (its.wire.a, its.wire.b))
        told.append(f"{wire_words(its.wire)} {ends} {condition_words(its.wire.condition)}".rstrip())
    more = len(found) - len(told)
    return "; ".join([*told, *([f"and {counted(more, 'more wire')}"] if more > 0 else [])])

"""The words on the sheet of a way: its points, what lies between them, what to expect, what to take care of."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from circuitmap.quantities import Band
from circuitmap.reports.volts.place_words import link_words, point_words, volts_words
from circuitmap.reports.volts.rests_on import rests_on
from circuitmap.reports.volts.volts_text import band_words, black_lead, lost_words
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.reports.words.state_said import state_said
from circuitmap.volts.answer import VoltsThere
from circuitmap.volts.expected_volts import AtPoint, ExpectedVolts, link_at
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform

_Row = tuple[str, str, Band, Band, float, str, float | None, str, bool]


def title_of_way(platform: Platform, there: VoltsThere) -> str:
    """`Volts while SCRL runs (key run)`."""
    verb = "run" if len(there.running) > 1 else "runs"
    running = joined([named(platform, name) for name in there.running])
    return f"Volts while {running} {verb}  ({state_said(there.state.powered.state)})"


def way_rows(platform: Platform, its: ExpectedVolts) -> Iterator[_Row]:
    """A row for each point; the two halves of a cavity are one."""
    points = _no_halves(platform, its.way)
    for at, onward in zip(points, [*points[1:], None], strict=True):
        yield (
            point_words(platform, at.terminal),
            "" if onward is None else _between(its, at, onward),
            at.bounds.most, at.bounds.ninety, at.bounds.usual,
            f"{band_words(at.bounds.ninety)} ({band_words(at.bounds.most)})",
            at.read, not_probed(its, at), at.terminal == its.asked.point,
        )  # fmt: skip


def drawn_way(its: ExpectedVolts) -> Iterator[tuple[Terminal, str, str, str, str]]:
    """For a drawing each point, the volts to expect in a few signs (or that it is hands-off), those read, how
    they stand (`low`, `high`, or nothing), and what is usually lost on the way to the next point."""
    for at, onward in zip(its.way, [*its.way[1:], None], strict=True):
        lost = 0.0 if onward is None else at.bounds.usual - onward.bounds.usual
        hands_off = not its.powered.circuit.hands_off.may_probe(str(at.terminal))
        yield (
            at.terminal,
            "hands off" if hands_off else short_band(at.bounds.ninety),
            "" if at.read is None else volts_words(at.read),
            stands(at),
            f"lost {volts_words(lost)}" if lost >= _LEAST_LOST else "",
        )


def short_band(band: Band) -> str:
    """`11.1–12.0 V`: both ends in the unit of the higher one."""
    if abs(band.high) < _MILLIVOLTS:
        low, high, unit = f"{band.low * 1000:.0f}", f"{band.high * 1000:.0f}", "mV"
    else:
        digits = 2 if abs(band.high) < 2 else 1
        low, high, unit = f"{band.low:.{digits}f}", f"{band.high:.{digits}f}", "V"
    return f"{low} {unit}" if low == high else f"{low}\N{EN DASH}{high} {unit}"


_MILLIVOLTS = 0.0995
"""Below this, V, millivolts are said."""
_LEAST_LOST = 0.005
"""V that a single wire must lose to be told in a drawing (judgement: a workshop's meter shows no less)."""


def stands(at: AtPoint) -> str:
    """How a reading stands to what is sound nine times in ten."""
    if at.read is None or at.bounds.ninety.low <= at.read <= at.bounds.ninety.high:
        return ""
    return "low" if at.read < at.bounds.ninety.low else "high"


def remarks_on_drawing(platform: Platform, its: ExpectedVolts) -> list[str]:
    """Below a drawing with volts: where the black lead is, what was lost, what to take care of."""
    return [*(lost_words(platform, its.powered, lost) for lost in its.lost), below_the_way(platform, its)[0]]


def not_probed(its: ExpectedVolts, at: AtPoint) -> str:
    """Why nobody holds a probe to a point; empty: it may be probed."""
    circuit = its.powered.circuit
    if not circuit.hands_off.may_probe(str(at.terminal)):
        return "hands off"
    part = circuit.platform.parts.get(at.terminal.part)
    return "in the loom" if part is not None and part.kind == "splice" else ""


def _no_halves(platform: Platform, way: Sequence[AtPoint]) -> list[AtPoint]:
    found: dict[str, AtPoint] = {}
    for at in way:
        found[point_words(platform, at.terminal)] = at
    return list(found.values())


def _between(its: ExpectedVolts, at: AtPoint, onward: AtPoint) -> str:
    """What leads from one point to the next: a wire, a fuse; through the load itself its name."""
    if at.terminal.part == onward.terminal.part and at.terminal.part in its.powered.circuit.loads:
        return f"{at.terminal.part} itself"
    order = [point.terminal for point in its.way]
    stretch = order[order.index(at.terminal) : order.index(onward.terminal) + 1]
    links = dict.fromkeys(link_at(its.powered.circuit, pair, pair[1]) for pair in pairwise(stretch))
    return ", ".join(link_words(its.powered.circuit, link) for link in links if link >= 0)


def below_the_way(platform: Platform, its: ExpectedVolts) -> list[str]:
    """Where the black lead is, what to take care of, what it rests on."""
    parts = dict.fromkeys(at.terminal.part for at in its.way)
    cautions = " ".join(told.text for told in cautions_at(platform, "live-volts", parts))
    return [f"Load on, black lead on {black_lead(its.net)}. ! {cautions}", f"Not known: {' '.join(rests_on(its))}"]

"""Where wires may touch a part: on which side each pin stands, and which wires share one point there.

A pin stands at the top if its wires come from above, otherwise at the bottom. Wires that end at the same pin and look
the same land on one point and share a trunk; those that look different land side by side, so that no colour hides
another.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from typing import NamedTuple

from circuitmap.drawings.lettering.text_width import TAG, Style, shorten, width_of
from circuitmap.drawings.scene.scene import DrawnEnd, DrawnPart, DrawnVolts, DrawnWire, Kind, Nature, Scene
from circuitmap.drawings.shapes.levels import TWO_SIDED, DrawnLevels

PINLESS = frozenset(
    {Kind.SPLICE, Kind.TERMINAL, Kind.BAR, Kind.CAVITY, Kind.OPEN_END, Kind.MORE, Kind.TO_SHEET, Kind.FROM_SHEET}
)
SYMBOL_LOADS = frozenset({Kind.LAMP, Kind.MOTOR, Kind.HEATER, Kind.SOLENOID, Kind.HORN, Kind.BATTERY})
"""Parts that are drawn as a symbol on the path as long as they have one pin above and one below."""
WIDEST_TAG = 92.0
_WIDEST_NUMBER = 60.0


class LandSide(StrEnum):
    TOP = "top"
    BOTTOM = "bottom"


class LineLook(NamedTuple):
    """What a line looks like. `network` is its key for a network tap; `twin` counts parallel wires of one look."""

    nature: Nature
    colour: str = ""
    tracer: str = ""
    network: str = ""
    twin: int = 0


class Land(NamedTuple):
    """One point on the edge of a part."""

    part: str
    pin: str
    side: LandSide
    look: LineLook


class Landing(NamedTuple):
    """All lands of a scene. `at_start` and `at_finish` give the land of each wire end that is on a part."""

    at_start: Mapping[str, Land]
    at_finish: Mapping[str, Land]
    at_tap: Mapping[tuple[str, str, str], Land]
    """Keyed by network key, part and pin."""
    of_part: Mapping[str, tuple[Land, ...]]
    tag_widths: Mapping[Land, float]


def tag_text(wire: DrawnWire) -> str:
    """What stands in the tag of a wire: circuit code, colour, size; `assumed` when its meaning was guessed."""
    colour = f"{wire.colour}/{wire.tracer}" if wire.tracer else wire.colour
    words = [wire.code, colour, wire.size, wire.note, "assumed" if wire.assumed else ""]
    text = " ".join(word for word in words if word)
    text = shorten(text, TAG, WIDEST_TAG) if text else ""
    return f"{text}  {wire.drop}".strip() if wire.drop else text


VOLTS = Style(TAG.size, True)
"""The type of volts in a drawing."""
_CELL = 7.0


def volts_cells(volts: DrawnVolts) -> tuple[tuple[str, float], ...]:
    """What stands in the tag of volts, cell by cell, each with its width: what is to be expected, what was read."""
    read = f"{volts.read} {volts.stands}".strip()
    return tuple((text, round(width_of(text, VOLTS) + _CELL)) for text in (volts.expected, read) if text)


def volts_width(volts: DrawnVolts) -> float:
    """The width of a tag of volts."""
    return sum(width for _, width in volts_cells(volts))


def tag_widths(scene: Scene) -> dict[str, float]:
    """The width of each wire's tag with its background, by the wire's key; a wire without a tag has no entry.

    A wire that goes on through a connector looking the same, on the same sheet, needs no second tag.
    """
    numbers = sheet_numbers(scene)
    cavities = {part.key for part in scene.parts if part.kind is Kind.CAVITY}
    arriving: dict[str, list[DrawnWire]] = {}
    for wire in scene.wires:
        if wire.finish.owner in cavities:
            arriving.setdefault(wire.finish.owner, []).append(wire)
    widths = {}
    for wire in scene.wires:
        before = arriving.get(wire.start.owner, ())
        goes_on = len(before) == 1 and not wire.drop and _says(before[0]) == _says(wire)
        width = 0.0 if goes_on else _tag_width(wire, numbers)
        if width:
            widths[wire.key] = width
    return widths


def _says(wire: DrawnWire) -> tuple[Nature, str, tuple[str, ...]]:
    return wire.nature, tag_text(wire), wire.sheets


def _tag_width(wire: DrawnWire, numbers: Mapping[str, str]) -> float:
    text = tag_text(wire)
    marks = sheet_marks(wire, numbers)
    if wire.nature is not Nature.WIRE or not (text or marks):
        return 0.0
    return round(width_of(text, TAG) + 7 + sum(width_of(mark, TAG) + 5 for mark in marks))


def sheet_numbers(scene: Scene) -> dict[str, str]:
    """The number of each sheet as it is shown on the tags; none for the one sheet that all is on."""
    if len(scene.sheets) < 2:
        return {}
    return {s.name: shorten(s.name, TAG, _WIDEST_NUMBER) for s in scene.sheets if s.name != scene.sheet}


def sheet_marks(wire: DrawnWire, numbers: Mapping[str, str]) -> list[str]:
    """What the tag of a wire says of its sheets: two numbers at most, and how many more."""
    marks = [numbers[name] for name in wire.sheets if name in numbers]
    return marks if len(marks) < 3 else [*marks[:2], f"+{len(marks) - 2}"]


def landing_of(scene: Scene, levels: DrawnLevels) -> Landing:
    """Lands of every wire end and network tap."""
    parts = {part.key: part for part in scene.parts}
    sides = _sides_of_pins(scene, levels, parts)
    its_width = tag_widths(scene)
    volts_at = {(its.wire, its.at_start): volts_width(its) for its in scene.volts}
    starts: dict[str, Land] = {}
    finishes: dict[str, Land] = {}
    taps: dict[tuple[str, str, str], Land] = {}
    of_part: dict[str, dict[Land, None]] = {key: {} for key in parts}
    widths: dict[Land, float] = {}
    for wire, start, finish in _told_apart(_plain_lands(scene, levels, parts, sides)):
        for land, ends in ((start, starts), (finish, finishes)):
            if land is not None:
                ends[wire.key] = land
                of_part[land.part][land] = None
                beside = volts_at.get((wire.key, ends is starts), 0.0)
                widths[land] = max(widths.get(land, 0.0), its_width.get(wire.key, 0.0), beside)
    for network in scene.networks:
        for tap in network.taps:
            land = Land(tap.part, tap.pin, LandSide.BOTTOM, LineLook(Nature.WIRE, network=network.key))
            taps[network.key, tap.part, tap.pin] = land
            of_part[tap.part][land] = None
    lands = {key: tuple(found) for key, found in of_part.items()}
    return Landing(starts, finishes, taps, lands, widths)


Landed = tuple[DrawnWire, Land | None, Land | None]
"""A wire with the lands of its start and finish; None for an end at a rail."""


def _plain_lands(
    scene: Scene, levels: DrawnLevels, parts: Mapping[str, DrawnPart], sides: Mapping[tuple[str, str], LandSide]
) -> list[Landed]:
    """Every wire with its lands, as if wires that look alike could always share one."""

    def land_at(wire: DrawnWire, end: DrawnEnd, across: DrawnEnd, is_start: bool) -> Land | None:
        part = parts.get(end.owner)
        if part is None:
            return None
        if part.kind in PINLESS and not end.pin:
            side = _side_towards(levels.of[part.key], levels.of.get(across.owner, 0), is_start)
        else:
            side = sides[part.key, end.pin]
        look = LineLook(wire.nature, wire.colour, wire.tracer) if wire.nature is Nature.WIRE else LineLook(wire.nature)
        return Land(part.key, end.pin, side, look)

    return [
        (wire, land_at(wire, wire.start, wire.finish, True), land_at(wire, wire.finish, wire.start, False))
        for wire in scene.wires
    ]


def _told_apart(landed: Sequence[Landed]) -> Iterator[Landed]:
    """Parallel wires, and wires that would share a trunk at both their ends so that their tags could not be told
    apart, become twins: they land side by side."""
    crowd = Counter(land for _, *ends in landed for land in ends if land is not None)
    parallel: Counter[tuple[Land | None, Land | None]] = Counter()
    twins = 0
    for wire, start, finish in landed:
        parallel[start, finish] += 1
        shares_both = wire.nature is Nature.WIRE and min(crowd[land] if land else 1 for land in (start, finish)) > 1
        if shares_both or (parallel[start, finish] > 1 and start and finish):
            twins += 1
            start = start and start._replace(look=start.look._replace(twin=twins))
            finish = finish and finish._replace(look=finish.look._replace(twin=twins))
        yield wire, start, finish


def _side_towards(own: int, other: int, is_start: bool) -> LandSide:
    if own == other:
        return LandSide.BOTTOM if is_start else LandSide.TOP
    return LandSide.TOP if other < own else LandSide.BOTTOM


def _sides_of_pins(
    scene: Scene, levels: DrawnLevels, parts: Mapping[str, DrawnPart]
) -> dict[tuple[str, str], LandSide]:
    pulls: dict[tuple[str, str], list[int]] = {}
    for wire in scene.wires:
        above, below = levels.of.get(wire.start.owner, 0), levels.of.get(wire.finish.owner, 0)
        for end, own, other in ((wire.start, above, below), (wire.finish, below, above)):
            if end.owner in parts:
                pulls.setdefault((end.owner, end.pin), []).append((other > own) - (other < own))
    sides: dict[tuple[str, str], LandSide] = {}
    for (key, pin), pull in pulls.items():
        part = parts[key]
        if part.kind is Kind.GROUND:
            sides[key, pin] = LandSide.TOP
        elif not _is_two_sided(part, pulls):
            sides[key, pin] = LandSide.BOTTOM if sum(pull) > 0 else LandSide.TOP
        else:
            first, second = part.pins
            upper = first if _lean(pulls, key, first, -0.5) <= _lean(pulls, key, second, 0.5) else second
            sides[key, pin] = LandSide.TOP if pin in (upper, "") else LandSide.BOTTOM
    return sides


def _is_two_sided(part: DrawnPart, pulls: Mapping[tuple[str, str], list[int]]) -> bool:
    if len(part.pins) != 2:
        return False
    if part.kind in TWO_SIDED:
        return True
    if part.kind not in SYMBOL_LOADS:
        return False
    leans = [pulls.get((part.key, pin)) for pin in part.pins]
    # Both wires come from the same direction: such a lamp becomes a box with its two pins side by side.
    return None in leans or len({sum(lean) > 0 for lean in leans if lean is not None}) == 2


def _lean(pulls: Mapping[tuple[str, str], list[int]], key: str, pin: str, unwired: float) -> float:
    pull = pulls.get((key, pin))
    return sum(pull) / len(pull) if pull else unwired

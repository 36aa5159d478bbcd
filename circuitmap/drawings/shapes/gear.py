"""Bodies of switchgear: relays, switches and parts with contacts of their own, drawn as a box with everything inside.

Each contact, coil or load in it is a column between an upper and a lower end; `gear_lines` says in which order they
stand and how lines run to them. Here they get their places in points.
"""

import math
from collections import Counter
from collections.abc import Sequence

from circuitmap.drawings.lettering.text_width import SMALL, TERMINAL, shorten, width_of
from circuitmap.drawings.scene.palette import SOFT_INK
from circuitmap.drawings.scene.scene import DrawnCoil, DrawnContact, DrawnPart, DrawnWithin
from circuitmap.drawings.shapes.body import (
    Body,
    Element,
    Form,
    Frame,
    Gear,
    Lettering,
    even,
    label_of,
    label_size,
    pin_label,
    set_label,
    spread,
)
from circuitmap.drawings.shapes.gear_lines import LOWER, UPPER, GearPlan, GearTrack, Leg, gear_plan
from circuitmap.drawings.shapes.lands import Land, LandSide

Point = tuple[float, float]
_FIRST_TRACK, _TRACK_STEP, _BELOW_TRACKS = 15.0, 6.0, 11.0
ROW = 18.0
"""The height of the row of contacts."""
_WORDS_WIDTH = 62.0
_HOP = 2.8
_STUB = 10.0
"""How far a leg goes in that leads to nothing drawn."""


def gear_body(part: DrawnPart, lands: Sequence[Land]) -> Body:
    """The body of a part with contacts, coils or joined pins."""
    sides = {land.pin: UPPER if land.side is LandSide.TOP else LOWER for land in lands}
    net_of = _nets(part)
    elements = _elements(part)
    pairs = tuple((net_of[a], net_of[b]) for a, b, _ in elements)
    legs = _legs(part, sides, net_of, elements)
    contacts = len(part.contacts)
    plan = gear_plan(pairs, legs, contacts)
    crowd = Counter(land.pin for land in lands)
    xs, width = _places(part, plan, elements, legs, crowd)
    upper = _FIRST_TRACK + _TRACK_STEP * max(0, plan.depth(UPPER) - 1) + _BELOW_TRACKS
    height = upper + ROW + _BELOW_TRACKS + _FIRST_TRACK - 2 + _TRACK_STEP * max(0, plan.depth(LOWER) - 1)
    lines = label_of(part)
    label_width, label_height = label_size(lines)
    total = math.ceil(max(height, label_height))
    top = round((total - height) / 2)
    letters = set_label(lines, width + 6, (total - label_height) / 2)
    places: dict[Land, Point] = {}
    leg_x = {pin: _x_at(xs, place) for pin, place in plan.leg_at}
    open_pins = []
    for leg in legs:
        x, edge = leg_x[leg.pin], top if leg.side == UPPER else top + height
        text = pin_label(leg.pin)
        here = [land for land in lands if land.pin == leg.pin]
        if text:
            letters.append(Lettering(x + 3, edge + (9.0 if leg.side == UPPER else -3.5), text, TERMINAL, SOFT_INK))
        places |= spread(here, x, edge)
        if not here:
            open_pins.append((x, edge))
    drawn = _drawn(plan, elements, xs)
    for element in drawn:
        if element.words:
            closed = isinstance(element.what, DrawnContact) and element.what.closed_at_rest
            x = element.x + (8 if closed else 5)  # clear of the blade
            letters.append(Lettering(x, top + upper + 12, element.words, SMALL, SOFT_INK))
    gear = Gear(
        top + upper,
        _lines(plan, xs, leg_x, legs, drawn, top, height, top + upper),
        _dots(plan, xs, top, height),
        drawn,
        tuple(open_pins),
        _stub_ends(plan, xs, top, height),
    )
    full = even(width + (6 + label_width + 2 if lines else 0))
    stem = next((leg_x[leg.pin] for leg in legs if leg.side == UPPER), width / 2)
    return Body(Form.GEAR, full, total, stem, Frame(0, top, width, height), places, tuple(letters), gear)


def _nets(part: DrawnPart) -> dict[str, str]:
    """Each pin's net: its own name, or the name of the first pin that it is one piece of metal with."""
    net_of = {pin: pin for pin in part.pins}
    for one, other in part.joined:
        first, second = sorted((net_of[one], net_of[other]), key=part.pins.index)
        net_of = {pin: first if net == second else net for pin, net in net_of.items()}
    return net_of


Inside = tuple[str, str, DrawnContact | DrawnCoil | DrawnWithin]


def _elements(part: DrawnPart) -> list[Inside]:
    """What stands inside: contacts first, then coils with what lies across them, then loads."""
    return [
        *((contact.common, contact.other, contact) for contact in part.contacts),
        *((coil.plus, coil.minus, coil) for coil in part.coils),
        *((its.first, its.second, its) for its in part.within),
    ]


def _legs(
    part: DrawnPart, sides: dict[str, int], net_of: dict[str, str], elements: Sequence[Inside]
) -> tuple[Leg, ...]:
    """The legs, wired ones on the side their wires come from; others where the other end of their contact is not."""
    opposite: dict[str, int] = {}
    for one, other, _ in elements:
        for pin, far in ((one, other), (other, one)):
            if far in sides:
                opposite.setdefault(pin, LOWER if sides[far] == UPPER else UPPER)
    firsts = {one for one, _, _ in elements}
    used = {net_of[pin] for pair in elements for pin in pair[:2]}
    legs = []
    for pin in part.pins:
        if pin in sides or net_of[pin] in used:
            side = sides.get(pin, opposite.get(pin, UPPER if pin in firsts else LOWER))
            legs.append(Leg(pin, net_of[pin], side))
    return tuple(legs)


def _places(
    part: DrawnPart, plan: GearPlan, elements: Sequence[Inside], legs: Sequence[Leg], crowd: Counter[str]
) -> tuple[list[float], float]:
    """The place of each column, and the width of the box."""
    at = dict(plan.leg_at)
    xs: list[float] = []
    x = 4.0
    for number, column in enumerate(plan.columns):
        before, after = _room_of(elements[column.element][2] if column.element >= 0 else None)
        for leg in legs:
            if number - 0.5 <= at[leg.pin] <= number + 0.5:
                several = 4.5 * max(0, crowd[leg.pin] - 1)
                here = at[leg.pin] == number
                label = width_of(pin_label(leg.pin), TERMINAL) + 8
                before = max(before, several + 5 if here else 0)
                after = max(after, (label if here else 0), several + 5 if here else 0)
                if at[leg.pin] == number + 0.5:
                    after = max(after, 2 * (label + several) - 20)
        x = math.ceil(x + before)
        xs.append(float(x))
        x += after
    return xs, float(math.ceil(x + 4))


def _room_of(element: DrawnContact | DrawnCoil | DrawnWithin | None) -> tuple[float, float]:
    """The room an element takes to the left and right of its middle."""
    if element is None:
        return 6.0, 7.0
    if isinstance(element, DrawnContact):
        words = shorten(element.words, SMALL, _WORDS_WIDTH)
        return 12.0, max(14.0, width_of(words, SMALL) + (12 if element.closed_at_rest else 9) if words else 0.0)
    return 16.0, 16.0


def _x_at(xs: Sequence[float], place: float) -> float:
    low = math.floor(place)
    return xs[low] if place == low else float(round((xs[low] + xs[low + 1]) / 2))


def _drawn(plan: GearPlan, elements: Sequence[Inside], xs: Sequence[float]) -> tuple[Element, ...]:
    """Contacts, coils and whatever else stands inside, from left to right."""
    found = []
    for x, column in zip(xs, plan.columns, strict=True):
        if column.element >= 0:
            _, _, what = elements[column.element]
            words = shorten(what.words, SMALL, _WORDS_WIDTH) if isinstance(what, DrawnContact) else ""
            first = elements[column.element][0]
            found.append(Element(x, what, words, column.up == first or first not in (column.up, column.down)))
    return tuple(found)


def track_y(plan: GearPlan, side: int, number: int, top: float, height: float) -> float:
    inset = _FIRST_TRACK + _TRACK_STEP * number
    return top + inset if side == UPPER else top + height - (inset - 2)


def _lines(
    plan: GearPlan,
    xs: Sequence[float],
    leg_x: dict[str, float],
    legs: Sequence[Leg],
    drawn: Sequence[Element],
    top: float,
    height: float,
    row: float,
) -> tuple[tuple[Point, ...], ...]:
    """All lines: from legs to tracks, along these, and on to the row."""
    half = {element.x: element.half for element in drawn}
    middle = row + ROW / 2
    lines: list[tuple[Point, ...]] = []
    for side in (UPPER, LOWER):
        edge = top if side == UPPER else top + height
        inner_way = -1 if side == UPPER else 1

        def end_at(n: int, way: int = inner_way) -> float:
            return middle + way * half.get(xs[n], 0.0)

        verticals: list[tuple[str, float, float, float]] = []
        tracks = {track.net: track for track in plan.tracks[side]}
        for number, column in enumerate(plan.columns):
            net = column.net_at(side)
            inward = bool(net) and (column.element >= 0 or column.up == column.down)
            if net in tracks:
                y = track_y(plan, side, tracks[net].number, top, height)
                if inward:
                    verticals.append((net, xs[number], y, end_at(number)))
            elif net:
                has_leg = any(leg.net == net and leg.side == side for leg in legs)
                start = edge if has_leg else end_at(number)
                finish = end_at(number) if inward else edge - inner_way * _STUB
                if start != finish:
                    verticals.append((net, xs[number], start, finish))
        for leg in legs:
            if leg.side == side and leg.net in tracks:
                y = track_y(plan, side, tracks[leg.net].number, top, height)
                verticals.append((leg.net, leg_x[leg.pin], edge, y))
        lines += [((x, a), (x, b)) for _, x, a, b in verticals]
        lines += [
            _level(track, track_y(plan, side, track.number, top, height), xs, verticals) for track in tracks.values()
        ]
    return tuple(lines)


def _stub_ends(plan: GearPlan, xs: Sequence[float], top: float, height: float) -> tuple[Point, ...]:
    alone = [(x, c) for x, c in zip(xs, plan.columns, strict=True) if c.element < 0 and c.up != c.down]
    joined = [{track.net for track in plan.tracks[side]} for side in (UPPER, LOWER)]
    upper = [(x, top + _STUB) for x, c in alone if c.up and c.up not in joined[UPPER]]
    return (*upper, *((x, top + height - _STUB) for x, c in alone if c.down and c.down not in joined[LOWER]))


def _level(
    track: GearTrack, y: float, xs: Sequence[float], verticals: Sequence[tuple[str, float, float, float]]
) -> tuple[Point, ...]:
    """A track from end to end, with a hop over every line of another net."""
    reach = [_x_at(xs, place) for place in (*track.legs, *track.inward)]
    low, high = min(reach), max(reach)
    points: list[Point] = [(low, y)]
    crossed = {x for net, x, a, b in verticals if net != track.net and low < x < high and min(a, b) < y < max(a, b)}
    for x in sorted(crossed):
        steps = [math.pi * step / 6 for step in range(7)]
        points += [(x - _HOP * math.cos(turn), y - _HOP * math.sin(turn)) for turn in steps]
    return (*points, (high, y))


def _dots(plan: GearPlan, xs: Sequence[float], top: float, height: float) -> tuple[Point, ...]:
    """Where three or four arms of one net meet."""
    dots = []
    for side in (UPPER, LOWER):
        for track in plan.tracks[side]:
            arms: Counter[float] = Counter(_x_at(xs, place) for place in (*track.legs, *track.inward))
            low, high = min(arms), max(arms)
            y = track_y(plan, side, track.number, top, height)
            dots += [(x, y) for x in arms if arms[x] + (x > low) + (x < high) > 2]
    return tuple(dots)

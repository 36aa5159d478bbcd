"""What must be true of every drawing, whatever is in it. Each check yields a sentence for every defect."""

from collections.abc import Iterator
from itertools import pairwise

from circuitmap.drawings.inking.ink import Disc, DrawnText, Outline, Picture, Plate, Role, Stroke
from circuitmap.drawings.placing.layout import Layout
from circuitmap.drawings.scene.scene import Scene

Box = tuple[float, float, float, float]


ELEMENTS = ("svg", "title", "desc", "polyline", "polygon", "rect", "circle", "text")
"""Everything that an SVG of ours may contain."""


def extent(text: DrawnText) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of what the type covers."""
    up, down = 0.74 * text.style.size, 0.2 * text.style.size
    if text.upright:
        return text.x - up, text.y - text.width, text.x + down, text.y
    return text.x, text.y - up, text.x + text.width, text.y + down


def overlap(one: Box, two: Box, slack: float = 0.2) -> bool:
    return one[0] < two[2] - slack and two[0] < one[2] - slack and one[1] < two[3] - slack and two[1] < one[3] - slack


def segments(points: tuple[tuple[float, float], ...], half: float) -> Iterator[Box]:
    for (x1, y1), (x2, y2) in pairwise(points):
        grow_x, grow_y = (half, 0.0) if x1 == x2 else (0.0, half)
        yield min(x1, x2) - grow_x, min(y1, y2) - grow_y, max(x1, x2) + grow_x, max(y1, y2) + grow_y


def texts_on_each_other(picture: Picture) -> Iterator[str]:
    texts = sorted((i for i in picture.ink if isinstance(i, DrawnText)), key=lambda t: extent(t)[0])
    for number, one in enumerate(texts):
        for two in texts[number + 1 :]:
            if extent(two)[0] >= extent(one)[2]:
                break
            if overlap(extent(one), extent(two)):
                yield f"{one.text!r} lies on {two.text!r}"


def texts_struck_by_wires(picture: Picture) -> Iterator[str]:
    """A text on a tag may lie on its own wire, because the tag has a background; nothing else may be crossed."""
    lines = [i for i in picture.ink if isinstance(i, Stroke) and i.role in (Role.WIRE, Role.RAIL)]
    boxes = [(line, box) for line in lines for box in segments(line.points, line.width / 2)]
    grounds = [i for i in picture.ink if isinstance(i, Plate) and i.role is Role.TAG and i.owner]
    for text in (i for i in picture.ink if isinstance(i, DrawnText)):
        own = text.owner if text.role is Role.TAG else ""
        for line, box in boxes:
            if overlap(extent(text), box) and not (own and line.owner == own):
                yield f"{text.text!r} is struck by {line.owner}"
    same = _wires_on_one_line(lines)
    for plate in grounds:
        room = (plate.x, plate.y, plate.x + plate.width, plate.y + plate.height)
        for line, box in boxes:
            if overlap(room, box) and line.owner != plate.owner and (plate.owner, line.owner) not in same:
                yield f"the tag of {plate.owner} covers {line.owner}"


def texts_struck_by_symbols(picture: Picture) -> Iterator[str]:
    """No line of a symbol runs through lettering; the letter in a circle stands inside it."""
    texts = [(ink.text, extent(ink)) for ink in picture.ink if isinstance(ink, DrawnText)]
    for ink in picture.ink:
        lines: list[Box] = []
        if isinstance(ink, Stroke) and ink.role is Role.SYMBOL:
            lines = [box for box in segments(ink.points, ink.width / 2) if box[0] < box[2] and box[1] < box[3]]
        elif isinstance(ink, Disc) and ink.role is Role.SYMBOL and ink.radius > 5:
            r, s = ink.radius, ink.radius * 0.6
            lines = [
                (ink.x - r, ink.y - s, ink.x - r + 1, ink.y + s),
                (ink.x + r - 1, ink.y - s, ink.x + r, ink.y + s),
                (ink.x - s, ink.y - r, ink.x + s, ink.y - r + 1),
                (ink.x - s, ink.y + r - 1, ink.x + s, ink.y + r),
            ]
        for line in lines:
            yield from (f"{text!r} is struck by a symbol" for text, its in texts if overlap(its, line))


def _wires_on_one_line(lines: list[Stroke]) -> set[tuple[str, str]]:
    """Wires that begin or end at the same point share a trunk, and a tag on it."""
    ends = [(line.owner, {line.points[0], line.points[-1]}) for line in lines]
    return {(a, b) for a, one in ends for b, two in ends if one & two}


def outside_the_page(picture: Picture) -> Iterator[str]:
    for ink in picture.ink:
        match ink:
            case DrawnText():
                box = extent(ink)
            case Plate():
                box = (ink.x, ink.y, ink.x + ink.width, ink.y + ink.height)
            case Disc():
                box = (ink.x - ink.radius, ink.y - ink.radius, ink.x + ink.radius, ink.y + ink.radius)
            case Stroke() | Outline():
                xs, ys = [x for x, _ in ink.points], [y for _, y in ink.points]
                box = (min(xs), min(ys), max(xs), max(ys))
        if box[0] < -0.01 or box[1] < -0.01 or box[2] > picture.width + 0.01 or box[3] > picture.height + 0.01:
            yield f"{ink} is outside of the page"


def loose_ends(scene: Scene, layout: Layout) -> Iterator[str]:
    """Every wire ends on a land of its part, or on its rail; every line runs level or straight down."""
    places = {part.key: part for part in layout.parts}
    lines = {line.key: line for line in (*layout.rails, *layout.networks) if not line.star}
    ends = {wire.key: (wire.start, wire.finish) for wire in scene.wires}
    routed = {route.entry for route in layout.routes}
    yield from (f"{key} is not drawn" for key in ends if key not in routed)
    for route in layout.routes:
        for (x1, y1), (x2, y2) in pairwise(route.points):
            if x1 != x2 and y1 != y2:
                yield f"{route.entry} runs aslant"
        for end, (x, y) in zip(ends.get(route.entry, ()), (route.points[0], route.points[-1]), strict=False):
            if end.owner in lines:
                line = lines[end.owner]
                if y != line.y or not line.x <= x <= line.right:
                    yield f"{route.entry} does not end on {end.owner}"
                continue
            part = places[end.owner]
            found = {(part.x + lx, part.y + ly) for land, (lx, ly) in part.body.lands.items() if land.pin == end.pin}
            if (x, y) not in found:
                yield f"{route.entry} does not end on {end.owner} {end.pin}"


def wires_through_parts(scene: Scene, layout: Layout) -> Iterator[str]:
    """No wire runs through a part or its label, except where it ends."""
    ends = {wire.key: {wire.start.owner, wire.finish.owner} for wire in scene.wires}
    taps = {network.key: {tap.part for tap in network.taps} for network in scene.networks}
    for part in layout.parts:
        room = (part.x, part.y, part.x + part.body.width, part.y + part.body.height)
        for route in layout.routes:
            for box in segments(route.points, 0.6):
                if overlap(room, box, 0.7) and part.key not in (ends | taps).get(route.entry, ()):
                    yield f"{route.entry} runs through {part.key}"


def wires_on_each_other(layout: Layout) -> Iterator[str]:
    """Two lines may cross, or share a stretch if they share an end; otherwise they never lie on each other."""
    pieces = [
        (route, box)
        for route in layout.routes
        for box in segments(route.points, 0.0)
        if box[0] != box[2] or box[1] != box[3]
    ]
    for number, (one, a) in enumerate(pieces):
        for two, b in pieces[number + 1 :]:
            if one.entry == two.entry or {one.points[0], one.points[-1]} & {two.points[0], two.points[-1]}:
                continue
            level = a[1] == a[3] == b[1] == b[3] and min(a[2], b[2]) - max(a[0], b[0]) > 0.5
            steep = a[0] == a[2] == b[0] == b[2] and min(a[3], b[3]) - max(a[1], b[1]) > 0.5
            if level or steep:
                yield f"{one.entry} lies on {two.entry} at {a}"


def parts_on_each_other(layout: Layout) -> Iterator[str]:
    rooms = [(p.key, (p.x, p.y, p.x + p.body.width, p.y + p.body.height)) for p in layout.parts]
    for number, (one, a) in enumerate(rooms):
        for two, b in rooms[number + 1 :]:
            if overlap(a, b):
                yield f"{one} stands on {two}"


def defects(scene: Scene, layout: Layout, picture: Picture) -> list[str]:
    """All of the above."""
    return [
        *texts_on_each_other(picture),
        *texts_struck_by_wires(picture),
        *texts_struck_by_symbols(picture),
        *outside_the_page(picture),
        *loose_ends(scene, layout),
        *wires_through_parts(scene, layout),
        *wires_on_each_other(layout),
        *parts_on_each_other(layout),
    ]

"""Reads a drawn picture back: which terminals does its ink join, which contacts and coils does it show?

Only ink is followed: lines, dots, gaps, and the numbers beside legs. The layout says nothing but which region of the
page belongs to which part, as its name does for somebody who looks at it. What conducts:

- lines that meet: an end or a corner of one on the other; two that cross with a gap in the lower one do not meet;
- a rail or network joins what has a dot on it;
- a small symbol (splice, cavity, bar, ground) joins the lines that end on its ink; boxes, coils, slanting blades and
  the symbols of fuses and loads join nothing.
"""

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Outline, Picture, Plate, Role, Stroke
from circuitmap.drawings.inking.paint import moved
from circuitmap.drawings.lettering.text_width import TERMINAL
from circuitmap.drawings.placing.layout import Layout, PlacedPart
from circuitmap.drawings.scene.scene import DrawnPart, Kind, Scene
from circuitmap.drawings.shapes.body import Form

Point = tuple[float, float]
Name = tuple[str, str]
"""A terminal as it is named on the page: part and number. Uses of one ground point are one."""

_NEAR = 0.8


@dataclass
class Joined:
    """Things joined so far."""

    _above: dict[Hashable, Hashable] = field(default_factory=dict)

    def top(self, one: Hashable) -> Hashable:
        above = self._above
        above.setdefault(one, one)
        while above[one] != one:
            above[one] = above[above[one]]
            one = above[one]
        return one

    def join(self, one: Hashable, other: Hashable) -> None:
        self._above[self.top(one)] = self.top(other)


@dataclass
class ReadPicture:
    """What the ink says. `nets` are the sets of terminals that it joins; `inside` the pairs of terminals between which
    a contact or coil is drawn, by part; `slips` what cannot be read: a leg without a number, a line that ends in the
    air, a crossing without a gap."""

    nets: list[set[Name]]
    inside: dict[str, list[frozenset[str]]]
    slips: list[str]


def read_back(scene: Scene, layout: Layout, picture: Picture) -> ReadPicture:
    return _Reader(scene, layout, picture).read()


class _Reader:
    def __init__(self, scene: Scene, layout: Layout, picture: Picture) -> None:
        self.scene, self.layout = scene, layout
        self.parts = {part.key: part for part in scene.parts}
        ink = list(_in_place(layout, picture))
        self.wires = _lines(i for i in ink if isinstance(i, Stroke) and i.role is Role.WIRE)
        self.rails = _lines(i for i in ink if isinstance(i, Stroke) and i.role is Role.RAIL)
        self.gaps = [_room(i) for i in ink if isinstance(i, Stroke) and i.role is Role.GAP]
        self.dots = [(i.x, i.y) for i in ink if isinstance(i, Disc) and i.role in (Role.RAIL, Role.SYMBOL)]
        self.symbols = [i for i in ink if i.role is Role.SYMBOL and not isinstance(i, DrawnText)]
        self.texts = [i for i in ink if isinstance(i, DrawnText) and i.role is Role.SYMBOL and i.style == TERMINAL]
        self.joined = Joined()
        self.names: dict[Hashable, set[Name]] = {}
        self.ended: set[tuple[int, Point]] = set()
        self.inside: dict[str, list[frozenset[str]]] = {}
        self.slips: list[str] = []

    def read(self) -> ReadPicture:
        self._meet()
        for line in (*self.layout.rails, *self.layout.networks):
            at = next(n for n, rail in enumerate(self.rails) if rail[0] == (line.x, line.y))
            self._name(("rail", at), (line.key, ""))
        for placed in self.layout.parts:
            self._part(self.parts[placed.key], placed)
        for number, points in enumerate(self.wires):
            for end in (points[0], points[-1]):
                if (number, end) not in self.ended:
                    self.slips.append(f"a line ends in the air at {end}")
        nets: dict[Hashable, set[Name]] = {}
        for thing, names in self.names.items():
            nets.setdefault(self.joined.top(thing), set()).update(names)
        return ReadPicture(list(nets.values()), self.inside, self.slips)

    def _name(self, thing: Hashable, name: Name) -> None:
        self.names.setdefault(thing, set()).add(name)

    def _meet(self) -> None:
        """Joins wires that meet each other or a dot on a rail."""
        for (one, a), (two, b) in combinations(enumerate(self.wires), 2):
            for meeting in _meetings(a, b):
                if meeting.ends or not any(_inside(meeting.at, gap) for gap in self.gaps):
                    self.joined.join(("wire", one), ("wire", two))
                    if not meeting.ends:
                        self.slips.append(f"lines cross without a gap at {meeting.at}")
        for number, rail in enumerate(self.rails):
            for one, points in enumerate(self.wires):
                for meeting in _meetings(points, rail):
                    if not meeting.ends and not any(_inside(meeting.at, gap) for gap in self.gaps):
                        self.slips.append(f"a line crosses a rail without a gap at {meeting.at}")
                    if any(_close(meeting.at, dot) for dot in self.dots):
                        self.joined.join(("wire", one), ("rail", number))
                        self.ended.update((one, end) for end in (points[0], points[-1]) if _close(end, meeting.at))

    def _part(self, part: DrawnPart, placed: PlacedPart) -> None:
        body, frame = placed.body, placed.body.frame
        region = (placed.x - 1, placed.y - 1, placed.x + body.width + 1, placed.y + body.height + 1)
        own = [ink for ink in self.symbols if _inside(_middle(_room(ink)), region)]
        left, top = placed.x + frame.x, placed.y + frame.y
        rooms = [(left, top, left + frame.width, top + frame.height), *map(_room, own)]
        outline = (min(r[0] for r in rooms) - 1, top - 1, max(r[2] for r in rooms) + 1, top + frame.height + 1)
        ends = [
            (number, end)
            for number, points in enumerate(self.wires)
            for end in {points[0], points[-1]}
            if _inside(end, outline)
        ]
        for number, end in ends:
            if any(_on(end, ink) for ink in own):
                self.ended.add((number, end))
        touching = [(number, end) for number, end in ends if (number, end) in self.ended]
        if not touching and not any(tap.part == part.key for net in self.scene.networks for tap in net.taps):
            self.slips.append(f"{part.key} floats: nothing leads to it")
        if body.form is Form.SMALL:
            name = ("ground", part.name) if part.kind is Kind.GROUND else (part.key, "")
            self._name(("part", part.key), name)
            if part.kind is Kind.GROUND:
                self.joined.join(("part", part.key), name)
            for number, _ in touching:
                self.joined.join(("wire", number), ("part", part.key))
            heights = {end[1] for _, end in touching}
            if part.kind is Kind.CAVITY and len(part.pins) == 2 and len(heights) == 1:
                self.slips.append(f"{part.key} is passed by: all its wires end on one side of it")
            return
        texts = [text for text in self.texts if text.owner == part.key]
        if body.form is Form.GEAR:
            self._gear(part, placed, own, touching, texts)
            return
        self._legs(part, placed, own, touching, texts)

    def _legs(
        self, part: DrawnPart, placed: PlacedPart, own: list[Ink], ends: list[tuple[int, Point]], texts: list[DrawnText]
    ) -> None:
        """The legs of a box or of a symbol on the path; short bars join ends that share a leg."""
        legs = Joined()
        bars = [i for i in own if isinstance(i, Stroke) and i.width > 2 and i.points[0][1] == i.points[-1][1]]
        for _, end in ends:
            legs.join(end, end)
            for bar in bars:
                if _on(end, bar):
                    legs.join(end, ("bar", bar.points))
        groups: dict[Hashable, list[Point]] = {}
        for _, end in ends:
            groups.setdefault(legs.top(end), []).append(end)
        middle = placed.y + placed.body.frame.y + placed.body.frame.height / 2
        for points in groups.values():
            x, above = sum(p[0] for p in points) / len(points), points[0][1] < middle
            pin = self._unnumbered(part, placed, points[0])
            if pin is None:
                near = [t for t in texts if (t.y < middle) == above and abs(t.y - points[0][1]) < 14]
                if placed.body.form is Form.SYMBOL:  # its numbers stand to the left of the lead
                    near = [t for t in near if t.x < x]
                rivals = [sum(q[0] for q in g) / len(g) for g in groups.values() if (g[0][1] < middle) == above]
                mine = [t for t in near if min(rivals, key=lambda at, t=t: abs(_center(t) - at)) == x]  # type: ignore[misc]
                if len(mine) != 1:
                    self.slips.append(f"{part.key} has a leg without a number of its own at {points[0]}")
                    continue
                pin = mine[0].text
            leg = ("leg", part.key, points[0])
            self._name(leg, (part.key, pin))
            for number, end in ends:
                if end in points:
                    self.joined.join(("wire", number), leg)

    def _unnumbered(self, part: DrawnPart, placed: PlacedPart, at: Point) -> str | None:
        """The pin of a symbol that is drawn without numbers (a fuse, a diode), told by its side; None if it has
        numbers."""
        from circuitmap.drawings.shapes.body import pin_label
        from circuitmap.drawings.shapes.levels import TWO_SIDED

        for land, (x, y) in placed.body.lands.items():
            plain = part.kind in TWO_SIDED and placed.body.form is Form.SYMBOL
            if _close(at, (placed.x + x, placed.y + y)) and (plain or not pin_label(land.pin)):
                return land.pin
        return None

    def _gear(
        self, part: DrawnPart, placed: PlacedPart, own: list[Ink], ends: list[tuple[int, Point]], texts: list[DrawnText]
    ) -> None:
        """The lines, contacts and coil in the box of a relay or switch."""
        frame = placed.body.frame
        top, bottom = placed.y + frame.y, placed.y + frame.y + frame.height
        own = [ink for ink in own if _middle(_room(ink))[0] <= placed.x + frame.x + frame.width]  # not its label
        bodies = [ink for ink in own if _is_body(ink, frame.height / 2)]
        straight: list[tuple[Point, ...]] = []
        blades: list[tuple[Point, ...]] = []
        dots: list[Point] = []
        for ink in own:
            if isinstance(ink, Disc) and ink.radius < 2.2:
                dots.append((ink.x, ink.y))
            elif isinstance(ink, Stroke) and not ink.dash and not any(_within(ink, body) for body in bodies):
                if (
                    len(ink.points) == 2
                    and ink.points[0][0] != ink.points[1][0]
                    and ink.points[0][1] != ink.points[1][1]
                ):
                    blades.append(ink.points)
                elif ink.width < 1.5:
                    straight.append(ink.points)
        inner = Joined()
        for (one, a), (two, b) in combinations(enumerate(straight), 2):
            for meeting in _meetings(a, b):
                inner.join(one, two)
                if not meeting.ends and not any(_close(meeting.at, dot) for dot in dots):
                    self.slips.append(f"{part.key}: lines inside cross without a hop at {meeting.at}")
        at_edge = {
            end: number
            for number, points in enumerate(straight)
            for end in (points[0], points[-1])
            if abs(end[1] - top) < _NEAR or abs(end[1] - bottom) < _NEAR
        }
        numbers: dict[Hashable, set[str]] = {}
        for (x, y), number in at_edge.items():
            beside = [t for t in texts if 0 <= t.x - x <= 6 and abs(t.y - y) < 14]
            if not beside and not any(p.startswith("~") for p in part.pins):
                self.slips.append(f"{part.key} has a leg without a number at {(x, y)}")
            numbers.setdefault(inner.top(number), set()).update(t.text for t in beside[:1])
        stubs = {number for end, number in at_edge.items() if any(_close(end, at) for _, at in ends)}
        for (x, y), number in at_edge.items():
            open_end = any(isinstance(i, Disc) and 2.2 <= i.radius < 4 and _close((i.x, i.y), (x, y)) for i in own)
            barred = any(isinstance(i, Stroke) and i.width > 2 and _on((x, y), i) for i in own)
            if number not in stubs and not barred and not open_end:
                self.slips.append(f"{part.key} has a leg that ends in the air at {(x, y)}")
        for net, pins in numbers.items():
            for pin in pins:
                self._name(("gear", part.key, net), (part.key, pin))
        for number, end in ends:
            leg = next((n for at, n in at_edge.items() if _close(at, end)), None)
            bar = next((i for i in own if isinstance(i, Stroke) and i.width > 2 and _on(end, i)), None)
            if leg is None and bar is not None:
                leg = next((n for at, n in at_edge.items() if _on(at, bar)), None)
            if leg is not None:
                self.joined.join(("wire", number), ("gear", part.key, inner.top(leg)))
        tips = [(end, n) for n, points in enumerate(straight) for end in (points[0], points[-1])]
        found: list[frozenset[str]] = []
        for blade in blades:
            foot, tip = sorted(
                (blade[0], blade[-1]), key=lambda p: min(abs(p[0] - e[0]) + abs(p[1] - e[1]) for e, _ in tips)
            )
            foot_net = next((inner.top(n) for end, n in tips if _close(end, foot)), None)
            fixed = sorted((abs(e[0] - tip[0]) + abs(e[1] - tip[1]), n) for e, n in tips if not _close(e, foot))
            fixed_net = inner.top(fixed[0][1]) if fixed and fixed[0][0] < 13 else None
            found.append(frozenset(p for net in (foot_net, fixed_net) for p in numbers.get(net, ("nothing",))))
        for body in bodies:
            left, over, right, under = _room(body)
            x = (left + right) / 2
            its = [
                n for end, n in tips if abs(end[0] - x) < _NEAR and min(abs(end[1] - over), abs(end[1] - under)) < 1.5
            ]
            found.append(frozenset(p for n in its for p in numbers.get(inner.top(n), ("nothing",))))
        self.inside[part.key] = found


@dataclass(frozen=True)
class _Meeting:
    """Where two lines meet; `ends`: an end or corner of one is there."""

    at: Point
    ends: bool


def _in_place(layout: Layout, picture: Picture) -> Iterator[Ink]:
    """The ink of a picture in the coordinates of its layout."""
    lines = [ink.points[0] for ink in picture.ink if isinstance(ink, Stroke) and ink.role is Role.WIRE]
    goals = [route.points[0] for route in layout.routes]
    if lines:
        left, top = min(x for x, _ in lines), min(y for _, y in lines)
        dx, dy = min(x for x, _ in goals) - left, min(y for _, y in goals) - top
        for ink in picture.ink:
            yield moved(ink, dx, dy)


def _lines(strokes: Iterable[Stroke]) -> list[tuple[Point, ...]]:
    """Each line once: a wire is laid down in several layers."""
    exact = [(tuple((round(x, 3), round(y, 3)) for x, y in stroke.points), stroke.owner) for stroke in strokes]
    return [points for points, _ in dict.fromkeys(exact)]


def _meetings(a: tuple[Point, ...], b: tuple[Point, ...]) -> Iterator[_Meeting]:
    """Slanting pieces are hops over another line, and meet nothing."""
    for (x1, y1), (x2, y2) in pairwise(a):
        if x1 != x2 and y1 != y2:
            continue
        for (u1, v1), (u2, v2) in pairwise(b):
            if u1 != u2 and v1 != v2:
                continue
            if max(x1, x2) + _NEAR < min(u1, u2) or max(u1, u2) + _NEAR < min(x1, x2):
                continue
            if max(y1, y2) + _NEAR < min(v1, v2) or max(v1, v2) + _NEAR < min(y1, y2):
                continue
            touching = [p for p in ((x1, y1), (x2, y2)) if _on_line(p, (u1, v1), (u2, v2))]
            touching += [p for p in ((u1, v1), (u2, v2)) if _on_line(p, (x1, y1), (x2, y2))]
            if touching:
                yield from (_Meeting(p, True) for p in touching)
            elif (x1 == x2) != (u1 == u2):
                yield _Meeting((x1 if x1 == x2 else u1, v1 if x1 == x2 else y1), False)


def _is_body(ink: Ink, most: float) -> bool:
    """A coil, lamp, motor, diode or resistor inside of a box: what its own lines do is not followed."""
    if isinstance(ink, Plate):
        return ink.height < most and bool(ink.colour)
    return (isinstance(ink, Disc) and ink.radius > 4) or (isinstance(ink, Outline) and bool(ink.colour))


def _within(ink: Ink, body: Ink) -> bool:
    left, top, right, bottom = _room(ink)
    return _inside((left, top), _grown(_room(body))) and _inside((right, bottom), _grown(_room(body)))


def _grown(room: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    return room[0] - 1.5, room[1] - 1.5, room[2] + 1.5, room[3] + 1.5


def _on_line(p: Point, a: Point, b: Point) -> bool:
    return min(a[0], b[0]) - _NEAR < p[0] < max(a[0], b[0]) + _NEAR and (
        min(a[1], b[1]) - _NEAR < p[1] < max(a[1], b[1]) + _NEAR
    )


def _on(p: Point, ink: Ink) -> bool:
    left, top, right, bottom = _room(ink)
    return left - _NEAR <= p[0] <= right + _NEAR and top - _NEAR <= p[1] <= bottom + _NEAR


def _room(ink: Ink) -> tuple[float, float, float, float]:
    match ink:
        case Stroke() | Outline():
            half = ink.width / 2 if isinstance(ink, Stroke) else 0.0
            xs, ys = [x for x, _ in ink.points], [y for _, y in ink.points]
            return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half
        case Plate():
            return ink.x, ink.y, ink.x + ink.width, ink.y + ink.height
        case Disc():
            return ink.x - ink.radius, ink.y - ink.radius, ink.x + ink.radius, ink.y + ink.radius
        case DrawnText():
            return ink.x, ink.y - ink.style.size, ink.x + ink.width, ink.y


def _inside(p: Point, room: tuple[float, float, float, float]) -> bool:
    return room[0] <= p[0] <= room[2] and room[1] <= p[1] <= room[3]


def _middle(room: tuple[float, float, float, float]) -> Point:
    return (room[0] + room[2]) / 2, (room[1] + room[3]) / 2


def _center(text: DrawnText) -> float:
    return text.x + text.width / 2


def _close(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < _NEAR and abs(a[1] - b[1]) < _NEAR

"""From a scene to places: every part, wire, tag, rail and network with its coordinates, in points.

Graphviz says in which order and how far apart things stand; the levels, channels and tracks say the rest.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.drawings.bodies import Body, Form, body_of
from circuitmap.drawings.graphviz_layout import GraphvizProcess, LayoutFailed
from circuitmap.drawings.lands import Land, Landing, Side, landing_of, sheet_numbers, tag_width
from circuitmap.drawings.lettering import RAIL_NAME, width_of
from circuitmap.drawings.levels import Levels, levels_of
from circuitmap.drawings.paths import Edge, Path, paths_of, plan_of
from circuitmap.drawings.scene import Network, Rail, Scene, slips_in
from circuitmap.drawings.tags import Strip, Tag, Wish, strip_of
from circuitmap.drawings.tracks import Point, Strand, tracks_of

TRACK = 10.0
RAIL_STEP = 20.0
_EDGE = 5.0
"""Free height at each edge of a channel."""
_SHORTEST_CHANNEL = 14.0


class PlacedPart(NamedTuple):
    key: str
    x: float
    y: float
    body: Body


class Route(NamedTuple):
    """The line of a wire or tap, from its start to its finish; neighbours differ in one coordinate only."""

    entry: str
    points: tuple[tuple[float, float], ...]


class PlacedTag(NamedTuple):
    entry: str
    x: float
    y: float
    width: float
    height: float
    upright: bool


class PlacedRail(NamedTuple):
    """A rail or network; `x`..`right` is the line, its name stands above the line's left end."""

    key: str
    x: float
    right: float
    y: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything in place; the origin is the top left corner and nothing has a negative coordinate."""

    width: float
    height: float
    parts: tuple[PlacedPart, ...]
    routes: tuple[Route, ...]
    tags: tuple[PlacedTag, ...]
    rails: tuple[PlacedRail, ...]
    networks: tuple[PlacedRail, ...]


def layout_of(scene: Scene, graphviz: GraphvizProcess) -> Layout:
    """Lay out one scene. Raises LayoutFailed, or ValueError for a scene that is not whole."""
    slips = slips_in(scene)
    if slips:
        raise ValueError("; ".join(slips))
    levels = levels_of(scene)
    landing = landing_of(scene, levels)
    names = {part.key: f"n{number}" for number, part in enumerate(scene.parts)}
    paths = paths_of(scene, levels, landing, names)
    orders = dict(landing.of_part)
    bodies = _bodies(scene, orders, landing)
    middles = graphviz.arrange(plan_of(scene, levels, names, bodies, paths, pins_are_placed=False))
    orders = _pins_in_order(orders, bodies, paths, middles)
    bodies = _bodies(scene, orders, landing)
    middles = graphviz.arrange(plan_of(scene, levels, names, bodies, paths, pins_are_placed=True))
    return _Placing(scene, levels, landing, names, bodies, paths, middles).layout()


def _bodies(scene: Scene, orders: Mapping[str, Sequence[Land]], landing: Landing) -> dict[str, Body]:
    return {part.key: body_of(part, orders[part.key], landing.tag_widths) for part in scene.parts}


def _pins_in_order(
    orders: Mapping[str, tuple[Land, ...]], bodies: Mapping[str, Body], paths: Sequence[Path], middles: Mapping[str, float]
) -> dict[str, tuple[Land, ...]]:
    """Pins of boxes from left to right as the wires come in."""
    pulls: dict[Land, list[float]] = defaultdict(list)
    for path in paths:
        stops = [path.start.box, *(lane.box for lane in path.lanes), path.finish.box]
        if path.start.land:
            pulls[path.start.land].append(middles[stops[1]])
        if path.finish.land:
            pulls[path.finish.land].append(middles[stops[-2]])
    mean = {land: sum(xs) / len(xs) for land, xs in pulls.items()}
    ordered = {}
    for key, lands in orders.items():
        by_pin: dict[tuple[str, Side], list[float]] = defaultdict(list)
        for land in lands:
            by_pin[land.pin, land.side].append(mean[land])
        pin_mean = {pin: sum(xs) / len(xs) for pin, xs in by_pin.items()}
        if bodies[key].form is Form.GEAR:
            ordered[key] = tuple(sorted(lands, key=lambda land: (land.pin, mean[land])))
        else:
            ordered[key] = tuple(sorted(lands, key=lambda land: (pin_mean[land.pin, land.side], land.pin, mean[land])))
    return ordered


class _Placing:
    """One run from arranged boxes to coordinates."""

    def __init__(
        self,
        scene: Scene,
        levels: Levels,
        landing: Landing,
        names: Mapping[str, str],
        bodies: Mapping[str, Body],
        paths: Sequence[Path],
        middles: Mapping[str, float],
    ) -> None:
        self.scene, self.levels, self.landing, self.bodies, self.paths = scene, levels, landing, bodies, paths
        self.lefts = {key: round(middles[names[key]] - bodies[key].width / 2) for key in names}
        self.middles = {box: round(x) for box, x in middles.items()}
        self.crowd: dict[Land, int] = defaultdict(int)
        for path in paths:
            for edge in (path.start, path.finish):
                if edge.land:
                    self.crowd[edge.land] += 1

    def layout(self) -> Layout:
        pieces = [self._pieces(path) for path in self.paths]
        channels = self._channels(pieces)
        rail_room = RAIL_STEP * len(self.scene.rails) + (4 if self.scene.rails else 0)
        net_room = RAIL_STEP * len(self.scene.networks)
        row_heights = self._row_heights()
        row_tops, channel_tops = [], []
        y = rail_room
        for level, height in enumerate(row_heights):
            row_tops.append(y)
            y += height
            channel_tops.append(y)
            if level < len(row_heights) - 1:
                y += channels[level].height
        parts = [
            PlacedPart(part.key, self.lefts[part.key], self._top(part.key, row_tops, row_heights), self.bodies[part.key])
            for part in self.scene.parts
        ]
        tops = {part.key: part.y for part in parts}
        rails = self._lines(self.scene.rails, 14.0, self._rail_taps())
        networks = self._lines(self.scene.networks, y + 10.0, self._network_taps())
        line_y = {line.key: line.y for line in (*rails, *networks)}
        routes = [
            self._route(path, pieces[number], channels, channel_tops, tops, line_y, number)
            for number, path in enumerate(self.paths)
        ]
        tags = [
            PlacedTag(t.entry, t.x - t.width / 2, channel_tops[level] + t.top, t.width, t.height, t.upright)
            for level, channel in enumerate(channels)
            for t in channel.tags
        ]
        return _moved_to_origin(parts, routes, tags, rails, networks, y + net_room)

    def _row_heights(self) -> list[float]:
        heights = [0.0] * (self.levels.last + 1)
        for part in self.scene.parts:
            level = self.levels.of[part.key]
            heights[level] = max(heights[level], self.bodies[part.key].height)
        return heights

    def _top(self, key: str, row_tops: Sequence[float], row_heights: Sequence[float]) -> float:
        level = self.levels.of[key]
        return round(row_tops[level] + (row_heights[level] - self.bodies[key].height) / 2)

    def _x(self, edge: Edge) -> float:
        if edge.land is None:
            return self.middles[edge.box]
        return self.lefts[edge.land.part] + self.bodies[edge.land.part].lands[edge.land][0]

    def _pieces(self, path: Path) -> list["_Piece"]:
        """The path cut into its pieces, one for each channel."""
        stops: list[tuple[float, int | None]] = [(self._x(path.start), None)]
        stops += [(self.middles[lane.box], lane.level) for lane in path.lanes]
        stops.append((self._x(path.finish), None))
        down = path.start.channel <= path.finish.channel
        pieces = []
        channel = path.start.channel
        for number, ((x1, _), (x2, _)) in enumerate(zip(stops, stops[1:], strict=False)):
            from_upper = path.start.side is Side.BOTTOM if number == 0 else down
            to_upper = path.finish.side is Side.BOTTOM if number == len(stops) - 2 else not down
            pieces.append(_Piece(channel, Point(x1, from_upper), Point(x2, to_upper)))
            channel += 1 if down else -1
        return pieces

    def _channels(self, pieces: Sequence[Sequence["_Piece"]]) -> list["_Channel"]:
        by_channel: list[list[tuple[int, int]]] = [[] for _ in range(self.levels.last)]
        for number, own in enumerate(pieces):
            for at, piece in enumerate(own):
                by_channel[piece.channel].append((number, at))
        wishes = self._wishes(pieces)
        return [
            self._channel(members, pieces, wishes.get(level, {}))
            for level, members in enumerate(by_channel)
        ]

    def _channel(
        self,
        members: Sequence[tuple[int, int]],
        pieces: Sequence[Sequence["_Piece"]],
        wishes: Mapping[bool, Sequence[Wish]],
    ) -> "_Channel":
        groups = _Groups()
        for number, at in members:
            path = self.paths[number]
            keys: list[object] = [(number, at)]
            if at == 0 and path.start.land:
                keys.append(path.start.land)
            if at == len(pieces[number]) - 1 and path.finish.land:
                keys.append(path.finish.land)
            groups.join(keys)
        points: dict[int, set[Point]] = defaultdict(set)
        for number, at in members:
            piece = pieces[number][at]
            points[groups.of((number, at))].update((piece.one, piece.two))
        group_order = sorted(points)
        strands = [Strand(tuple(sorted(points[group]))) for group in group_order]
        tracks = tracks_of(strands)
        used = max((t + 1 for t, s in zip(tracks, strands, strict=True) if not s.is_straight), default=0)
        upper = strip_of(wishes.get(True, ()), sorted({p.x for s in strands for p in s.points if p.on_upper_edge}))
        lower = strip_of(wishes.get(False, ()), sorted({p.x for s in strands for p in s.points if not p.on_upper_edge}))
        top = _EDGE + upper.height + (4 if upper.tags else 0)
        height = top + max(0, used - 1) * TRACK + (4 if lower.tags else 0) + lower.height + _EDGE
        height = max(height, _SHORTEST_CHANNEL)
        at_track = {group: top + track * TRACK for group, track in zip(group_order, tracks, strict=True)}
        track_of = {member: at_track[groups.of(member)] for member in members}
        tags = _shifted(upper, _EDGE) + _shifted(lower, height - _EDGE - lower.height)
        return _Channel(height, track_of, tags)

    def _wishes(self, pieces: Sequence[Sequence["_Piece"]]) -> dict[int, dict[bool, list[Wish]]]:
        """Which tags are wanted in which channel, on its upper edge (True) or lower."""
        numbers = sheet_numbers(self.scene)
        widths = {wire.key: tag_width(wire, numbers) for wire in self.scene.wires}
        wishes: dict[int, dict[bool, list[Wish]]] = defaultdict(lambda: defaultdict(list))
        for number, path in enumerate(self.paths):
            width = widths.get(path.entry, 0.0)
            if not width:
                continue
            own_finish = path.finish.land is None or self.crowd[path.finish.land] == 1
            piece, point = (pieces[number][-1], pieces[number][-1].two)
            if not own_finish:
                piece, point = pieces[number][0], pieces[number][0].one
            wishes[piece.channel][point.on_upper_edge].append(Wish(path.entry, point.x, width))
        return wishes

    def _rail_taps(self) -> dict[str, list[float]]:
        taps: dict[str, list[float]] = defaultdict(list)
        for path, wire in zip(self.paths, self.scene.wires, strict=False):
            for edge, end in ((path.start, wire.start), (path.finish, wire.finish)):
                if edge.land is None:
                    taps[end.owner].append(self.middles[edge.box])
        return taps

    def _network_taps(self) -> dict[str, list[float]]:
        taps: dict[str, list[float]] = defaultdict(list)
        for path in self.paths[len(self.scene.wires) :]:
            taps[path.entry].append(self.middles[path.finish.box])
        return taps

    def _lines(
        self, entries: Sequence[Rail] | Sequence[Network], first_y: float, taps: Mapping[str, Sequence[float]]
    ) -> list[PlacedRail]:
        """Rails or networks, one below the other; the name of each has room at its left, before the first tap."""
        everything = [x for xs in taps.values() for x in xs]
        lefts, rights = [*everything, *self.lefts.values()], everything
        rights += [self.lefts[key] + body.width for key, body in self.bodies.items()]
        lines = []
        for number, entry in enumerate(entries):
            name_width = width_of(line_name(entry), RAIL_NAME)
            left = min(min(lefts, default=0.0), min(everything, default=0.0) - name_width - 8)
            lines.append(PlacedRail(entry.key, left, max(rights, default=200.0), first_y + RAIL_STEP * number))
        if lines:
            left = min(line.x for line in lines)
            lines = [line._replace(x=left) for line in lines]
        return lines

    def _route(
        self,
        path: Path,
        pieces: Sequence["_Piece"],
        channels: Sequence["_Channel"],
        channel_tops: Sequence[float],
        tops: Mapping[str, float],
        line_y: Mapping[str, float],
        number: int,
    ) -> Route:
        wire = self.scene.wires[number] if number < len(self.scene.wires) else None
        start = self._end(path.start, wire.start.owner if wire else path.entry, tops, line_y)
        finish = self._end(path.finish, wire.finish.owner if wire else path.entry, tops, line_y)
        points = [start]
        for at, piece in enumerate(pieces):
            if piece.one.x != piece.two.x:
                y = channel_tops[piece.channel] + channels[piece.channel].track_of[number, at]
                points += [(piece.one.x, y), (piece.two.x, y)]
        points.append(finish)
        return Route(path.entry, tuple(points))

    def _end(self, edge: Edge, owner: str, tops: Mapping[str, float], line_y: Mapping[str, float]) -> tuple[float, float]:
        if edge.land is None:
            return self.middles[edge.box], line_y[owner]
        return self._x(edge), tops[edge.land.part] + self.bodies[edge.land.part].lands[edge.land][1]


class _Piece(NamedTuple):
    channel: int
    one: Point
    two: Point


class _Channel(NamedTuple):
    height: float
    track_of: Mapping[tuple[int, int], float]
    tags: list[Tag]


class _Groups:
    """Pieces that share a land, directly or through others, are one strand."""

    def __init__(self) -> None:
        self._parent: dict[object, object] = {}
        self._number: dict[object, int] = {}

    def join(self, keys: Sequence[object]) -> None:
        roots = [self._root(key) for key in keys]
        first = min(roots, key=lambda root: self._number[root])
        for root in roots:
            self._parent[root] = first

    def of(self, key: object) -> int:
        return self._number[self._root(key)]

    def _root(self, key: object) -> object:
        if key not in self._parent:
            self._parent[key] = key
            self._number[key] = len(self._number)
        while self._parent[key] != key:
            key = self._parent[key]
        return key


def _shifted(strip: Strip, top: float) -> list[Tag]:
    return [tag._replace(top=tag.top + top) for tag in strip.tags]


def line_name(entry: Rail | Network) -> str:
    """What stands on a rail or network."""
    if isinstance(entry, Rail):
        return f"{entry.terminal} {entry.words}".strip()
    return f"{entry.name} {entry.words}".strip()


def _moved_to_origin(
    parts: Sequence[PlacedPart],
    routes: Sequence[Route],
    tags: Sequence[PlacedTag],
    rails: Sequence[PlacedRail],
    networks: Sequence[PlacedRail],
    height: float,
) -> Layout:
    lefts = [p.x for p in parts] + [x for r in routes for x, _ in r.points] + [t.x for t in tags]
    lefts += [line.x for line in (*rails, *networks)]
    rights = [p.x + p.body.width for p in parts] + [x for r in routes for x, _ in r.points]
    rights += [t.x + t.width for t in tags] + [line.right for line in (*rails, *networks)]
    left = min(lefts, default=0.0) - 6
    width = max(rights, default=100.0) - left + 6
    return Layout(
        width,
        height,
        tuple(p._replace(x=p.x - left) for p in parts),
        tuple(Route(r.entry, tuple((x - left, y) for x, y in r.points)) for r in routes),
        tuple(t._replace(x=t.x - left) for t in tags),
        tuple(line._replace(x=line.x - left, right=line.right - left) for line in rails),
        tuple(line._replace(x=line.x - left, right=line.right - left) for line in networks),
    )


__all__ = ["Layout", "LayoutFailed", "PlacedPart", "PlacedRail", "PlacedTag", "Route", "layout_of"]

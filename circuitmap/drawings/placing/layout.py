"""From a scene to places: every part, wire, tag, rail and network with its coordinates, in points.

Graphviz says in which order and how far apart things stand; the levels, channels and tracks say the rest.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from circuitmap.drawings.lettering.text_width import RAIL_NAME, shorten, width_of
from circuitmap.drawings.placing.arranging import Arrangement, arranged
from circuitmap.drawings.placing.channels import Channel, DrawnPiece, channels_of, pieces_of
from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
from circuitmap.drawings.placing.paths import DrawnPath, Edge
from circuitmap.drawings.scene.scene import DrawnNetwork, Mark, Rail, Scene, slips_in
from circuitmap.drawings.shapes.body import Body

RAIL_STEP = 20.0
_FIRST_RAIL = 14.0
_FIRST_NETWORK = 18.0
_BEYOND = 8.0
"""How far a network's line goes on beyond its last tap."""
_BESIDE_NAME = 4.0


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


class PlacedLine(NamedTuple):
    """A rail, a network or a star connector of it (`star`): a level line, with its name above it at `name_x`.
    `leg_x` is where a star connector is joined to its network."""

    key: str
    star: str
    name: str
    x: float
    right: float
    y: float
    name_x: float
    leg_x: float = 0.0


class Layout(NamedTuple):
    """Everything in place; the origin is the top left corner and nothing has a negative coordinate."""

    width: float
    height: float
    parts: tuple[PlacedPart, ...]
    routes: tuple[Route, ...]
    tags: tuple[PlacedTag, ...]
    rails: tuple[PlacedLine, ...]
    networks: tuple[PlacedLine, ...]


def layout_of(scene: Scene, graphviz: GraphvizProcess) -> Layout:
    """Lay out one scene. Raises LayoutFailed, or ValueError for a scene that is inconsistent."""
    slips = slips_in(scene)
    if slips:
        raise ValueError("; ".join(slips))
    return _placed(scene, arranged(scene, graphviz))


def _placed(scene: Scene, arrangement: Arrangement) -> Layout:
    pieces = [pieces_of(path, arrangement) for path in arrangement.paths]
    channels = channels_of(scene, arrangement, pieces)
    heights = _row_heights(scene, arrangement)
    row_tops, channel_tops = [], []
    y = RAIL_STEP * len(scene.rails) + (4 if scene.rails else 0)
    for level, height in enumerate(heights):
        row_tops.append(y)
        y += height
        channel_tops.append(y)
        if level < len(channels):
            y += channels[level].height
    parts = []
    for part in scene.parts:
        level, body = arrangement.levels.of[part.key], arrangement.bodies[part.key]
        top = round(row_tops[level] + (heights[level] - body.height) / 2)
        parts.append(PlacedPart(part.key, arrangement.left_of(part.key), top, body))
    rails = _rails(scene, arrangement)
    networks = _networks(scene, arrangement, y)
    line_y = {(line.key, line.star): line.y for line in (*rails, *networks)}
    tops = {part.key: part.y for part in parts}
    owners = _owners(scene)
    routes = []
    for number, path in enumerate(arrangement.paths):
        ends = [
            _end(edge, owner, arrangement, tops, line_y)
            for edge, owner in zip((path.start, path.finish), owners[number], strict=True)
        ]
        routes.append(_route(path, number, ends, pieces[number], channels, channel_tops))
    routes += _star_legs(scene, networks)
    tags = [
        PlacedTag(t.entry, t.x - t.width / 2, channel_tops[level] + t.top, t.width, t.height, t.upright)
        for level, channel in enumerate(channels)
        for t in channel.tags
    ]
    bottom = max([y, *(line.y + 6 for line in networks)])
    return _moved_to_origin(Layout(0, bottom, tuple(parts), tuple(routes), tuple(tags), tuple(rails), tuple(networks)))


def _row_heights(scene: Scene, arrangement: Arrangement) -> list[float]:
    heights = [0.0] * (arrangement.levels.last + 1)
    for part in scene.parts:
        level = arrangement.levels.of[part.key]
        heights[level] = max(heights[level], arrangement.bodies[part.key].height)
    return heights


def _owners(scene: Scene) -> list[tuple[tuple[str, str], tuple[str, str]]]:
    """For each path, the lines at its two ends, as key and star, where it ends at a line."""
    owners = [((wire.start.owner, ""), (wire.finish.owner, "")) for wire in scene.wires]
    owners += [(("", ""), (network.key, tap.star)) for network in scene.networks for tap in network.taps]
    return owners


def _end(
    edge: Edge,
    owner: tuple[str, str],
    arrangement: Arrangement,
    tops: Mapping[str, float],
    line_y: Mapping[tuple[str, str], float],
) -> tuple[float, float]:
    if edge.land is None:
        return arrangement.middles[edge.box], line_y[owner]
    part = edge.land.part
    return arrangement.x_of(edge), tops[part] + arrangement.bodies[part].lands[edge.land][1]


def _route(
    path: DrawnPath,
    number: int,
    ends: Sequence[tuple[float, float]],
    pieces: Sequence[DrawnPiece],
    channels: Sequence[Channel],
    channel_tops: Sequence[float],
) -> Route:
    points = [ends[0]]
    for at, piece in enumerate(pieces):
        if piece.one.x == piece.two.x:
            continue
        top, crossing = channel_tops[piece.channel], channels[piece.channel].crossings[number, at]
        upper, lower = top + crossing.depth, top + crossing.lower_depth
        if crossing.change_x is None:
            points += [(piece.one.x, upper), (piece.two.x, upper)]
        else:
            bends = [(crossing.change_x, upper), (crossing.change_x, lower)]
            first, second = (upper, lower) if piece.one.on_upper_edge else (lower, upper)
            middle = bends if piece.one.on_upper_edge else bends[::-1]
            points += [(piece.one.x, first), *middle, (piece.two.x, second)]
    return Route(path.entry, (*points, ends[1]))


def _rails(scene: Scene, arrangement: Arrangement) -> list[PlacedLine]:
    """Rails across the whole width; each name stands clear of the taps of the rails above."""
    taps: dict[str, list[float]] = defaultdict(list)
    for wire, path in zip(scene.wires, arrangement.paths, strict=False):
        for edge, end in ((path.start, wire.start), (path.finish, wire.finish)):
            if edge.land is None:
                taps[end.owner].append(arrangement.middles[edge.box])
    left, right = _reach(arrangement)
    lines: list[PlacedLine] = []
    passing: list[float] = []
    for number, rail in enumerate(scene.rails):
        name = line_name(rail)
        name_x = _clear_place(left, width_of(name, RAIL_NAME), passing)
        right = max(right, name_x + width_of(name, RAIL_NAME))
        lines.append(PlacedLine(rail.key, "", name, left, right, _FIRST_RAIL + RAIL_STEP * number, name_x))
        passing += taps[rail.key]
    return [line._replace(right=right) for line in lines]


def _networks(scene: Scene, arrangement: Arrangement, top: float) -> list[PlacedLine]:
    """Networks below everything, each as far as its taps reach, its star connectors just above it."""
    finishes = [path.finish for path in arrangement.paths[len(scene.wires) :]]
    where = iter(finishes)
    taps: dict[tuple[str, str], list[float]] = {}
    marks: dict[tuple[str, str], Mark] = {}
    for network in scene.networks:
        stars = sorted({tap.star for tap in network.taps if tap.star})
        for star in (*stars, ""):
            taps[network.key, star] = []
            marks[network.key, star] = network.mark
        for tap in network.taps:
            taps[network.key, tap.star].append(arrangement.middles[next(where).box])
    everything = {x for xs in taps.values() for x in xs}
    by_key = {network.key: network for network in scene.networks}
    legs: dict[tuple[str, str], float] = {}
    for (key, star), xs in taps.items():
        if star:
            legs[key, star] = _leg_place(xs, everything)
            taps[key, ""].append(legs[key, star])
            everything.add(legs[key, star])
    lines: list[PlacedLine] = []
    y = top + _FIRST_NETWORK - RAIL_STEP
    lowest = list(taps.items())
    for number, ((key, star), xs) in enumerate(lowest):
        y += RAIL_STEP
        passing = [x for _, others in lowest[number:] for x in others]
        leg = legs.get((key, star))
        reached = xs if leg is None else [*xs, leg]
        name = f"star {star}" if star else line_name(by_key[key])
        first = min(reached, default=0.0) - _BEYOND
        width = width_of(name, RAIL_NAME)
        name_x = _clear_place(first, width, passing)
        last = max([name_x + width, *(x + _BEYOND for x in reached)])
        lines.append(PlacedLine(key, star, name, min(first, name_x), last, y, name_x, leg or 0.0))
    return lines


def _leg_place(xs: Sequence[float], taken: set[float]) -> float:
    """Where a star connector is joined to its network: beside its last tap, clear of the others."""
    x = max(xs) + 12
    while any(abs(x - other) < 8 for other in taken):
        x += 8
    return x


def _star_legs(scene: Scene, networks: Sequence[PlacedLine]) -> list[Route]:
    main = {line.key: line for line in networks if not line.star}
    return [Route(line.key, ((line.leg_x, line.y), (line.leg_x, main[line.key].y))) for line in networks if line.star]


def _clear_place(left: float, width: float, passing: Sequence[float]) -> float:
    """The leftmost place from `left` on where nothing crosses a name of this width."""
    for x in sorted([left, *(p + _BESIDE_NAME for p in passing if p > left - _BESIDE_NAME)]):
        if not any(x - _BESIDE_NAME < p < x + width + _BESIDE_NAME for p in passing):
            return x
    return left


def _reach(arrangement: Arrangement) -> tuple[float, float]:
    """The left and right end of all bodies and lanes."""
    lefts = [arrangement.left_of(key) for key in arrangement.bodies]
    rights = [left + body.width for left, body in zip(lefts, arrangement.bodies.values(), strict=True)]
    middles = [arrangement.middles[lane.box] for path in arrangement.paths for lane in path.lanes]
    return min([*lefts, *middles], default=0.0), max([*rights, *middles], default=100.0)


def line_name(entry: Rail | DrawnNetwork) -> str:
    """What stands on a rail or network."""
    first = entry.terminal if isinstance(entry, Rail) else entry.name
    return shorten(f"{first} {entry.words}", RAIL_NAME, 260.0)


def _moved_to_origin(layout: Layout) -> Layout:
    lines = (*layout.rails, *layout.networks)
    lefts = [p.x for p in layout.parts] + [x for r in layout.routes for x, _ in r.points] + [t.x for t in layout.tags]
    lefts += [line.x for line in lines]
    rights = [p.x + p.body.width for p in layout.parts] + [x for r in layout.routes for x, _ in r.points]
    rights += [t.x + t.width for t in layout.tags] + [line.right for line in lines]
    left = min(lefts, default=0.0) - 6
    return Layout(
        max(rights, default=100.0) - left + 6,
        layout.height,
        tuple(p._replace(x=p.x - left) for p in layout.parts),
        tuple(Route(r.entry, tuple((x - left, y) for x, y in r.points)) for r in layout.routes),
        tuple(t._replace(x=t.x - left) for t in layout.tags),
        *(tuple(_line_moved(line, -left) for line in found) for found in (layout.rails, layout.networks)),
    )


def _line_moved(line: PlacedLine, by: float) -> PlacedLine:
    return line._replace(x=line.x + by, right=line.right + by, name_x=line.name_x + by, leg_x=line.leg_x + by)

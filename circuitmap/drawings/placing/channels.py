"""The channels between the levels: how high each is, on which track each wire crosses it, and where its tags stand."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from circuitmap.drawings.placing.arranging import Arrangement
from circuitmap.drawings.placing.paths import DrawnPath
from circuitmap.drawings.placing.tags import Tag, TagStrip, Wish, strip_of
from circuitmap.drawings.placing.tracks import Strand, TrackPoint, untangled
from circuitmap.drawings.scene.scene import Scene
from circuitmap.drawings.shapes.lands import Land, LandSide, tag_widths, volts_width

TRACK = 10.0
_EDGE = 5.0
"""Free height at each edge of a channel."""
_BESIDE_TAGS = 4.0
_SHORTEST = 14.0


class DrawnPiece(NamedTuple):
    """The part of a path that lies in one channel, from point to point."""

    channel: int
    one: TrackPoint
    two: TrackPoint


class Crossing(NamedTuple):
    """How a piece crosses its channel: at `depth` below the upper edge and, if it changes its track, from `change_x` on
    at `lower_depth`."""

    depth: float
    change_x: float | None = None
    lower_depth: float = 0.0


class Channel(NamedTuple):
    """`crossings` are keyed by the number of a path and of its piece."""

    height: float
    crossings: Mapping[tuple[int, int], Crossing]
    tags: tuple[Tag, ...]


def pieces_of(path: DrawnPath, arrangement: Arrangement) -> list[DrawnPiece]:
    """A path cut into its pieces."""
    xs = [arrangement.x_of(path.start)]
    xs += [arrangement.middles[lane.box] for lane in path.lanes]
    xs.append(arrangement.x_of(path.finish))
    down = path.start.channel <= path.finish.channel
    last = len(xs) - 2
    pieces = []
    for number, (x1, x2) in enumerate(pairwise(xs)):
        from_upper = path.start.side is LandSide.BOTTOM if number == 0 else down
        to_upper = path.finish.side is LandSide.BOTTOM if number == last else not down
        channel = path.start.channel + (number if down else -number)
        pieces.append(DrawnPiece(channel, TrackPoint(x1, from_upper), TrackPoint(x2, to_upper)))
    return pieces


def channels_of(scene: Scene, arrangement: Arrangement, pieces: Sequence[Sequence[DrawnPiece]]) -> list[Channel]:
    """All channels from top to bottom; `pieces` are those of the paths, in their order."""
    members: list[list[tuple[int, int]]] = [[] for _ in range(arrangement.levels.last)]
    for number, own in enumerate(pieces):
        for at, piece in enumerate(own):
            members[piece.channel].append((number, at))
    wishes = _wishes(scene, arrangement, pieces)
    return [_channel(arrangement, found, pieces, wishes[level]) for level, found in enumerate(members)]


def _channel(
    arrangement: Arrangement,
    members: Sequence[tuple[int, int]],
    pieces: Sequence[Sequence[DrawnPiece]],
    wishes: Mapping[bool, Sequence[Wish]],
) -> Channel:
    groups = _Groups()
    for number, at in members:
        path = arrangement.paths[number]
        keys: list[object] = [(number, at)]
        if at == 0 and path.start.land:
            keys.append(path.start.land)
        if at == len(pieces[number]) - 1 and path.finish.land:
            keys.append(path.finish.land)
        groups.join(keys)
    points: dict[int, set[TrackPoint]] = defaultdict(set)
    for number, at in members:
        piece = pieces[number][at]
        points[groups.of((number, at))].update((piece.one, piece.two))
    strands, tracks, changes = untangled([Strand(tuple(sorted(found))) for found in points.values()])
    used = max((track + 1 for track, strand in zip(tracks, strands, strict=True) if not strand.is_straight), default=0)
    upper = strip_of(wishes[True], _verticals(strands, True))
    lower = strip_of(wishes[False], _verticals(strands, False))
    top = _EDGE + (upper.height + _BESIDE_TAGS if upper.tags else 0)
    height = top + max(0, used - 1) * TRACK + (_BESIDE_TAGS + lower.height if lower.tags else 0) + _EDGE
    height = max(height, _SHORTEST)
    depth = [top + track * TRACK for track in tracks]
    crossing: dict[int, Crossing] = {}
    for number, group in enumerate(points):
        half, x = changes.get(number, (number, None))
        crossing[group] = Crossing(depth[number], x, depth[half])
    tags = (*_lowered(upper, _EDGE), *_lowered(lower, height - _EDGE - lower.height))
    return Channel(height, {member: crossing[groups.of(member)] for member in members}, tags)


def _verticals(strands: Sequence[Strand], on_upper_edge: bool) -> list[float]:
    return sorted({p.x for strand in strands for p in strand.points if p.on_upper_edge is on_upper_edge})


def _lowered(strip: TagStrip, by: float) -> list[Tag]:
    return [tag._replace(top=tag.top + by) for tag in strip.tags]


def _wishes(
    scene: Scene, arrangement: Arrangement, pieces: Sequence[Sequence[DrawnPiece]]
) -> Mapping[int, Mapping[bool, Sequence[Wish]]]:
    """The channel in which the tag of each wire is wanted, and whether on its upper edge (True) or its lower one: near
    the end of the wire, or near its start if it shares its end with others."""
    widths = tag_widths(scene)
    crowd: dict[Land, int] = defaultdict(int)
    for path in arrangement.paths:
        for edge in (path.start, path.finish):
            if edge.land:
                crowd[edge.land] += 1
    wishes: dict[int, dict[bool, list[Wish]]] = defaultdict(lambda: defaultdict(list))
    for wire, path, own in zip(scene.wires, arrangement.paths, pieces, strict=False):
        width = widths.get(wire.key, 0.0)
        if width:
            shares_end = path.finish.land is not None and crowd[path.finish.land] > 1
            piece, point = (own[0], own[0].one) if shares_end else (own[-1], own[-1].two)
            wishes[piece.channel][point.on_upper_edge].append(Wish(wire.key, point.x, width))
    ways = {wire.key: own for wire, own in zip(scene.wires, pieces, strict=False)}
    for volts in scene.volts:
        own = ways[volts.wire]
        piece, point = (own[0], own[0].one) if volts.at_start else (own[-1], own[-1].two)
        wishes[piece.channel][point.on_upper_edge].append(Wish(volts.key, point.x, volts_width(volts)))
    return wishes


class _Groups:
    """Pieces that share a land, directly or through others, form one strand."""

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

"""Which way each wire takes through the levels, and the plan that Graphviz is asked to arrange.

Between two neighbouring levels lies a channel; channel n is the one below level n. A wire that passes levels gets a
lane, a narrow box of its own, on each of them, so that nothing is ever put in its way.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from circuitmap.drawings.placing.graphviz_layout import LaidBox, LaidEdge, LayoutPlan, Port
from circuitmap.drawings.scene.scene import Kind, Scene
from circuitmap.drawings.shapes.body import Body, Form
from circuitmap.drawings.shapes.lands import Land, Landing, LandSide
from circuitmap.drawings.shapes.levels import DrawnLevels

LANE_WIDTH = 10.0
STUBS = frozenset({Kind.MORE, Kind.OPEN_END, Kind.TO_SHEET, Kind.FROM_SHEET})
_STUB_WEIGHT, _MARKED_WEIGHT = 0.3, 2.0


class Edge(NamedTuple):
    """An end of a path: at a land of a part, or at a rail or network when `land` is None; `box` is the name of its
    box."""

    box: str
    level: int
    side: LandSide
    land: Land | None = None

    @property
    def channel(self) -> int:
        return self.level if self.side is LandSide.BOTTOM else self.level - 1


class Lane(NamedTuple):
    box: str
    level: int


class DrawnPath(NamedTuple):
    """The way of one wire or network tap. `entry` is its key; `lanes` are in the order they are passed.

    `weight` says how much a straight way matters: little for a stub, more for a highlighted wire.
    """

    entry: str
    start: Edge
    finish: Edge
    lanes: tuple[Lane, ...]
    weight: float = 1.0


def paths_of(scene: Scene, levels: DrawnLevels, landing: Landing, names: Mapping[str, str]) -> tuple[DrawnPath, ...]:
    """Paths of all wires and taps. `names` are the box names of the parts."""
    paths = []
    counter = 0
    kinds = {part.key: part.kind for part in scene.parts}

    def lanes_between(start: Edge, finish: Edge) -> tuple[Lane, ...]:
        nonlocal counter
        lanes = []
        if start.channel < finish.channel:
            passed = range(start.channel + 1, finish.channel + 1)
        else:
            passed = range(start.channel, finish.channel, -1)
        for level in passed:
            lanes.append(Lane(f"l{counter}", level))
            counter += 1
        return tuple(lanes)

    for number, wire in enumerate(scene.wires):
        ends = []
        for which, land in (
            (f"s{number}", landing.at_start.get(wire.key)),
            (f"f{number}", landing.at_finish.get(wire.key)),
        ):
            if land is None:
                ends.append(Edge(f"t{which}", 0, LandSide.BOTTOM))
            else:
                ends.append(Edge(names[land.part], levels.of[land.part], land.side, land))
        stubs = {kinds.get(wire.start.owner), kinds.get(wire.finish.owner)} & STUBS
        weight = _STUB_WEIGHT if stubs else _MARKED_WEIGHT if wire.mark or wire.named else 1.0
        paths.append(DrawnPath(wire.key, ends[0], ends[1], lanes_between(*ends), weight))
    number = 0
    for network in scene.networks:
        for tap in network.taps:
            land = landing.at_tap[network.key, tap.part, tap.pin]
            start = Edge(names[land.part], levels.of[land.part], land.side, land)
            finish = Edge(f"tn{number}", levels.last, LandSide.TOP)
            paths.append(DrawnPath(network.key, start, finish, lanes_between(start, finish)))
            number += 1
    return tuple(paths)


def plan_of(
    scene: Scene,
    levels: DrawnLevels,
    names: Mapping[str, str],
    bodies: Mapping[str, Body],
    paths: Sequence[DrawnPath],
    gap: float,
    pins_are_placed: bool,
) -> LayoutPlan:
    """The plan of a drawing. Until the pins of boxes are placed, wires go to the middle of a box."""
    rows: list[list[LaidBox]] = [[] for _ in range(levels.last + 1)]
    ports: dict[Land, str] = {}
    for part in scene.parts:
        body = bodies[part.key]
        if pins_are_placed or body.form is not Form.BOX:
            sides: dict[LandSide, list[Port]] = {LandSide.TOP: [], LandSide.BOTTOM: []}
            for land, (x, _) in body.lands.items():
                ports[land] = f"p{len(ports)}"
                sides[land.side].append(Port(ports[land], x))
            box = LaidBox(names[part.key], body.width, tuple(sides[LandSide.TOP]), tuple(sides[LandSide.BOTTOM]))
        else:
            box = LaidBox(names[part.key], body.width)
        rows[levels.of[part.key]].append(box)
    for path in paths:
        for edge in (path.start, path.finish):
            if edge.land is None:
                rows[edge.level].append(LaidBox(edge.box, LANE_WIDTH))
        for lane in path.lanes:
            rows[lane.level].append(LaidBox(lane.box, LANE_WIDTH))
    links: list[LaidEdge] = []
    crowd = _crowds(paths)
    for path in paths:
        _link_path(path, rows, links, ports, crowd)
    return LayoutPlan(tuple(tuple(row) for row in rows), tuple(links), gap)


def _crowds(paths: Sequence[DrawnPath]) -> dict[Land, int]:
    crowd: dict[Land, int] = {}
    for path in paths:
        for edge in (path.start, path.finish):
            if edge.land is not None:
                crowd[edge.land] = crowd.get(edge.land, 0) + 1
    return crowd


def _link_path(
    path: DrawnPath,
    rows: list[list[LaidBox]],
    links: list[LaidEdge],
    ports: Mapping[Land, str],
    crowd: Mapping[Land, int],
) -> None:
    """Links along a path; where both its ends in a channel are on one side, a point on the far side joins them."""
    stops: list[Edge | Lane] = [path.start, *path.lanes, path.finish]
    for one, two in pairwise(stops):
        upper, lower = (one, two) if one.level <= two.level else (two, one)
        shared = max((crowd[e.land] for e in (one, two) if isinstance(e, Edge) and e.land), default=1)
        lanes = isinstance(one, Lane) + isinstance(two, Lane)
        weight = max(1, round((8 if lanes == 2 else 4 if shared == 1 else 1) * path.weight))
        if upper.level < lower.level:
            links.append(
                LaidEdge(f"e{len(links)}", upper.box, _port(upper, ports), lower.box, _port(lower, ports), weight)
            )
            continue
        side = path.start.side if isinstance(one, Edge) else path.finish.side
        level = upper.level - 1 if side is LandSide.TOP else upper.level + 1
        helper = f"h{len(links)}"
        rows[level].append(LaidBox(helper, 1.0))
        for stop in (upper, lower):
            if side is LandSide.TOP:
                links.append(LaidEdge(f"e{len(links)}", helper, "", stop.box, _port(stop, ports), 1))
            else:
                links.append(LaidEdge(f"e{len(links)}", stop.box, _port(stop, ports), helper, "", 1))


def _port(stop: Edge | Lane, ports: Mapping[Land, str]) -> str:
    return ports.get(stop.land, "") if isinstance(stop, Edge) and stop.land else ""

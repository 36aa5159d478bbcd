"""What stands beside what: levels, pins and lanes of a scene, arranged by Graphviz, then straightened.

Graphviz is asked several times: first with the pins of boxes left open, then with the pins in the order in which the
wires come in; the arrangement with the fewest crossings is kept.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess, LayoutPlan
from circuitmap.drawings.placing.paths import LANE_WIDTH, DrawnPath, Edge, Lane, paths_of, plan_of
from circuitmap.drawings.placing.straighten import Alignable, Tie, slid, straightened
from circuitmap.drawings.scene.scene import Scene
from circuitmap.drawings.shapes.bodies import body_of, corner_of, pitches_of
from circuitmap.drawings.shapes.body import Body, Form
from circuitmap.drawings.shapes.lands import Land, Landing, LandSide, landing_of
from circuitmap.drawings.shapes.levels import DrawnLevels, levels_of

GAP = 9.0
_LANE_GAP = 4.0
_TRIES = 3
Orders = Mapping[str, Sequence[Land]]


class Arrangement(NamedTuple):
    """The bodies of the parts by key, the paths of the wires and taps, and the middle of every box by name."""

    levels: DrawnLevels
    bodies: Mapping[str, Body]
    paths: tuple[DrawnPath, ...]
    middles: Mapping[str, float]
    names: Mapping[str, str]

    def left_of(self, key: str) -> float:
        return self.middles[self.names[key]] - self.bodies[key].width / 2

    def x_of(self, edge: Edge) -> float:
        """Where a path ends."""
        if edge.land is None:
            return self.middles[edge.box]
        return self.left_of(edge.land.part) + self.bodies[edge.land.part].lands[edge.land][0]


def arranged(scene: Scene, graphviz: GraphvizProcess) -> Arrangement:
    """The best arrangement found. Raises LayoutFailed."""
    levels = levels_of(scene)
    landing = landing_of(scene, levels)
    names = {part.key: f"n{number}" for number, part in enumerate(scene.parts)}
    paths = paths_of(scene, levels, landing, names)
    orders: Orders = landing.of_part
    bodies = _bodies(scene, orders, landing)
    plan = plan_of(scene, levels, names, bodies, paths, GAP, pins_are_placed=False)
    middles = graphviz.arrange(plan)
    best: tuple[tuple[int, float], Arrangement, Orders] | None = None
    for _ in range(_TRIES - 1):
        orders = _pins_in_order(orders, bodies, paths, middles)
        bodies = _bodies(scene, orders, landing)
        plan = _in_order(plan_of(scene, levels, names, bodies, paths, GAP, pins_are_placed=True), middles)
        middles = graphviz.arrange(plan)
        arrangement = Arrangement(levels, bodies, paths, middles, names)
        cost = _cost(plan, middles)
        if best is None or cost < best[0]:
            best = (cost, arrangement, orders)
    assert best is not None
    return _straightened(scene, landing, best[1], best[2])


def _bodies(scene: Scene, orders: Orders, landing: Landing, xs: Mapping[Land, float] | None = None) -> dict[str, Body]:
    return {part.key: body_of(part, orders[part.key], landing.tag_widths, xs) for part in scene.parts}


def _pins_in_order(
    orders: Orders, bodies: Mapping[str, Body], paths: Sequence[DrawnPath], middles: Mapping[str, float]
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
        by_pin: dict[tuple[str, LandSide], list[float]] = defaultdict(list)
        for land in lands:
            by_pin[land.pin, land.side].append(mean[land])
        pin_mean = {pin: sum(xs) / len(xs) for pin, xs in by_pin.items()}
        if bodies[key].form is Form.GEAR:
            ordered[key] = tuple(sorted(lands, key=lambda land: (land.pin, mean[land])))
        else:
            ordered[key] = tuple(sorted(lands, key=lambda land: (pin_mean[land.pin, land.side], land.pin, mean[land])))
    return ordered


def _in_order(plan: LayoutPlan, middles: Mapping[str, float]) -> LayoutPlan:
    """The same plan written from left to right as it came out before: Graphviz starts from that order."""
    rows = tuple(tuple(sorted(row, key=lambda box: middles.get(box.name, 0.0))) for row in plan.rows)
    links = tuple(sorted(plan.links, key=lambda link: (middles.get(link.upper, 0.0), middles.get(link.lower, 0.0))))
    return LayoutPlan(rows, links, plan.gap)


def _cost(plan: LayoutPlan, middles: Mapping[str, float]) -> tuple[int, float]:
    """Crossings between neighbouring rows, then how far the wires run sideways."""
    at = {
        (box.name, port.name): middles[box.name] - box.width / 2 + port.x
        for row in plan.rows
        for box in row
        for port in (*box.top, *box.bottom)
    }
    row_of = {box.name: number for number, row in enumerate(plan.rows) for box in row}
    by_row: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for link in plan.links:
        upper = at.get((link.upper, link.upper_port), middles[link.upper])
        lower = at.get((link.lower, link.lower_port), middles[link.lower])
        by_row[row_of[link.upper]].append((upper, lower))
    crossings = 0
    for lines in by_row.values():
        lines.sort()
        for number, (upper, lower) in enumerate(lines):
            crossings += sum(upper < u and lower > v for u, v in lines[number + 1 :])
    sideways = sum(abs(upper - lower) for lines in by_row.values() for upper, lower in lines)
    return crossings, round(sideways, 1)


def _straightened(scene: Scene, landing: Landing, found: Arrangement, orders: Orders) -> Arrangement:
    """Takes bends out: shifts parts and lanes, then the pins of boxes, three times over."""
    bodies, middles = found.bodies, dict(found.middles)
    middles = {name: float(round(x)) for name, x in middles.items()}
    for _ in range(3):
        current = Arrangement(found.levels, bodies, found.paths, middles, found.names)
        middles |= straightened(_items(current), _ties(current), middles)
        current = Arrangement(found.levels, bodies, found.paths, middles, found.names)
        bodies = _bodies(scene, orders, landing, _slid_pins(current, orders, landing))
    return Arrangement(found.levels, bodies, found.paths, middles, found.names)


def _items(arrangement: Arrangement) -> list[Alignable]:
    items = [
        Alignable(name, arrangement.levels.of[key], arrangement.bodies[key].width / 2, GAP)
        for key, name in arrangement.names.items()
    ]
    for path in arrangement.paths:
        items += [
            Alignable(e.box, e.level, LANE_WIDTH / 2, _LANE_GAP) for e in (path.start, path.finish) if e.land is None
        ]
        items += [Alignable(lane.box, lane.level, LANE_WIDTH / 2, _LANE_GAP) for lane in path.lanes]
    return items


def _ties(arrangement: Arrangement) -> list[Tie]:
    def at(stop: Edge | Lane) -> float:
        if isinstance(stop, Lane) or stop.land is None:
            return 0.0
        body = arrangement.bodies[stop.land.part]
        return body.lands[stop.land][0] - body.width / 2

    ties = []
    for path in arrangement.paths:
        stops: list[Edge | Lane] = [path.start, *path.lanes, path.finish]
        for one, two in pairwise(stops):
            if one.box != two.box:
                ties.append(Tie(one.box, at(one), two.box, at(two), path.weight))
    return ties


def _slid_pins(arrangement: Arrangement, orders: Orders, landing: Landing) -> dict[Land, float]:
    """Where the pins of boxes stand when they follow their wires."""
    wanted: dict[Land, list[float]] = defaultdict(list)
    for path in arrangement.paths:
        for edge, other in ((path.start, path.lanes[:1]), (path.finish, path.lanes[-1:])):
            if edge.land is not None:
                far = path.finish if edge is path.start else path.start
                wanted[edge.land].append(arrangement.middles[other[0].box] if other else arrangement.x_of(far))
    xs: dict[Land, float] = {}
    for key, lands in orders.items():
        body = arrangement.bodies[key]
        if body.form is not Form.BOX:
            continue
        left = arrangement.left_of(key)
        for side in LandSide:
            own = [land for land in lands if land.side is side]
            goals = [wanted[land][0] - left if len(wanted[land]) == 1 else None for land in own]
            places = [body.lands[land][0] for land in own]
            pitches = pitches_of(own, landing.tag_widths)
            corner = corner_of(own)
            xs |= dict(zip(own, slid(places, goals, pitches, corner, body.width - corner), strict=True))
    return xs

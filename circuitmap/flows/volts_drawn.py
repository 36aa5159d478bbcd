"""The flow from the volts of a way to the wiring diagram with these volts at its points."""

from typing import TYPE_CHECKING

from circuitmap.flows.drawing import with_notes
from circuitmap.flows.questions import Bench
from circuitmap.volts.answer import VoltsThere
from circuitmap.wiring.parts import Switch

if TYPE_CHECKING:
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
    from circuitmap.drawings.scene.scene import Scene

MOST_NAMED = 8
"""Loads that run, drawn with the way of one of them (judgement: what a page has room for)."""


def scene_with_volts(bench: Bench, there: VoltsThere, proven: str = "") -> "Scene | None":
    """The wiring that the current of a way passes, with volts to expect and read; None where no current flows. `proven`
    is a part that was found faulty."""
    from circuitmap.drawings.draw import scene_of
    from circuitmap.drawings.scene.scene import Probed
    from circuitmap.drawings.scene.wanted import Wanted
    from circuitmap.drawings.scene.with_volts import PointVolts, with_volts
    from circuitmap.power.functions import function_named
    from circuitmap.reports.volts.rests_on import rests_on
    from circuitmap.reports.volts.way_words import drawn_way, remarks_on_drawing, title_of_way

    its = there.expected
    if its is None or not its.way:
        return None
    platform = bench.platform
    running = (function_named(bench.circuit, name) for name in there.running)
    parts = (there.point.part, *(one.part for one in running if one is not None))
    named = tuple(dict.fromkeys(name for name in parts if name in platform.parts))
    faulty = (proven,) if proven in platform.parts else ()
    title = title_of_way(platform, there)
    # Of the key's contacts a drawing makes rails; here what comes before them belongs to the way.
    on_way = (platform.parts.get(at.terminal.part) for at in its.way)
    keys = tuple(dict.fromkeys(part.name for part in on_way if isinstance(part, Switch) and part.is_key))
    wanted = Wanted(named=named[:MOST_NAMED], suspect=faulty, proven=bool(faulty), also=keys, title=title)
    scene = with_notes(scene_of(bench.feeding, wanted))
    way = [PointVolts(at, expected, read, Probed(stands), lost) for at, expected, read, stands, lost in drawn_way(its)]
    return with_volts(scene, platform, way, remarks_on_drawing(platform, its), rests_on(its))


def drawing_with_volts(bench: Bench, there: VoltsThere, form: str, process: "GraphvizProcess | None" = None) -> bytes:
    """The same as `svg`, `png` or `pdf`. Raises WrongUse where there is nothing to draw."""
    from circuitmap.drawings.draw import draw
    from circuitmap.flows.volts import nothing_flows

    scene = scene_with_volts(bench, there)
    if scene is None:
        raise nothing_flows()
    return draw(lambda: scene, form, graphviz=process)

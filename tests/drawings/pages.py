"""Layouts and pictures of scenes for the tests, all made by one child process, as long as the tests run."""

import atexit
from functools import lru_cache

from circuitmap.drawings.files.sheets import pages_of
from circuitmap.drawings.inking.ink import Picture
from circuitmap.drawings.inking.paint import picture_of
from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess, LayoutLimits
from circuitmap.drawings.placing.layout import Layout, layout_of
from circuitmap.drawings.scene.scene import Scene


@lru_cache(maxsize=1)
def graphviz() -> GraphvizProcess:
    process = GraphvizProcess(LayoutLimits(seconds=900.0, patience=900.0))
    atexit.register(process.__exit__, None, None, None)
    return process


def drawn(scene: Scene) -> tuple[Layout, Picture]:
    """The layout of a scene on one page, and its picture."""
    layout = layout_of(scene, graphviz())
    return layout, picture_of(scene, layout)


def sheets(scene: Scene) -> tuple[Picture, ...]:
    """The pages into which a scene is cut."""
    return pages_of(scene, graphviz())

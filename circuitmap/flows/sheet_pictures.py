"""One sheet drawn again and again while it is typed: the program that lays it out stays loaded between two drawings."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from circuitmap.flows.drawing import with_notes
from circuitmap.flows.questions import Bench
from circuitmap.reports.bay.boxes import part_key

if TYPE_CHECKING:
    from circuitmap.drawings.inking.ink import Picture
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
    from circuitmap.drawings.scene.scene import Scene

Made = TypeVar("Made")

ARRANGED_BY_ONE = 6_000
"""Boxes and lines after which another process is begun: its processor time is limited over all of them (judgement: a
tenth of that limit)."""


@dataclass
class SheetPictures:
    """Draws, one at a time; `close` ends the process."""

    _process: "GraphvizProcess | None" = None

    def svg(self, bench: Bench, sheet: str) -> bytes:
        """A sheet as SVG, each part in a group with its key. Raises LayoutFailed where it cannot be laid out within the
        limits, WrongUse for a sheet that is not there."""
        from circuitmap.drawings.draw import scene_of
        from circuitmap.drawings.files.svg import svg_of
        from circuitmap.drawings.scene.wanted import Wanted

        parts = bench.platform.parts

        def key_of(owner: str) -> str:
            name = owner if owner in parts else owner.rpartition(".")[0]
            return part_key(name) if name in parts else ""

        self.make_ready()
        scene = with_notes(scene_of(bench.feeding, Wanted(sheet=sheet)))
        return svg_of(self._laid_out(scene), key_of).encode()

    def file(self, bench: Bench, sheet: str, form: str) -> bytes:
        """A sheet as the content of a file: `svg`, `png`, `pdf` or `dot`. Raises as `svg` does."""
        from circuitmap.drawings.draw import draw, scene_of
        from circuitmap.drawings.scene.wanted import Wanted

        self.make_ready()
        scene = with_notes(scene_of(bench.feeding, Wanted(sheet=sheet)))
        return self._by_process(lambda process: draw(lambda: scene, form, graphviz=process))

    def _laid_out(self, scene: "Scene") -> "Picture":
        from circuitmap.drawings.files.sheets import pages_of
        from circuitmap.drawings.files.stacking import stacked

        return self._by_process(lambda process: stacked(pages_of(scene, process, in_one=True)))

    def _by_process(self, work: "Callable[[GraphvizProcess], Made]") -> Made:
        from circuitmap.drawings.placing.graphviz_layout import LayoutFailed

        process = self._process
        assert process is not None
        try:
            return work(process)
        except LayoutFailed:
            self.close()  # whatever it was, the next drawing begins with a new one
            raise
        finally:
            if process.arranged > ARRANGED_BY_ONE:
                self.close()
                self.make_ready()

    def make_ready(self) -> None:
        """Begin the process, so that it loads while something else is done."""
        from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess

        if self._process is None:
            self._process = GraphvizProcess()

    def close(self) -> None:
        if self._process is not None:
            self._process.__exit__(None, None, None)
            self._process = None

"""Draws what somebody wants to see, into the bytes of a file. The one entry for the command line."""

from collections.abc import Callable
from contextlib import ExitStack
from typing import TYPE_CHECKING

from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
from circuitmap.drawings.scene.scene import Scene
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Switch

if TYPE_CHECKING:
    from circuitmap.circuit.feeding import Feeding


def scene_of(feeding: "Feeding", wanted: Wanted) -> Scene:
    """What is to be drawn of a car: one sheet as it was typed, or the subset that joins the wanted parts.

    A switch inside another part is that part."""
    parts = feeding.circuit.platform.parts
    owners = {name: part.owner for name, part in parts.items() if isinstance(part, Switch) and part.inside}
    wanted = wanted.instead(owners) if owners else wanted
    if wanted.sheet:
        from circuitmap.drawings.scene.whole_sheet import sheet_scene

        return sheet_scene(feeding.circuit, wanted, feeding.fitting)
    if not wanted.in_focus:
        raise WrongUse("Nothing to draw: name a part, a fuse that draws, or a sheet; --all draws the whole vehicle.")
    from circuitmap.drawings.scene.subset import subset_scene

    return subset_scene(feeding, wanted)


def draw(
    make_scene: Callable[[], Scene],
    file_format: str,
    on_sheets: bool = False,
    graphviz: GraphvizProcess | None = None,
) -> bytes:
    """The bytes of a drawing. Raises LayoutFailed when it cannot be laid out within its limits.

    A PDF is cut into A4 pages with type of at least 7 pt. SVG and PNG are one picture, or with `on_sheets` the same
    sheets one below the other. The scene is made in here, so that Graphviz loads meanwhile in its own process; pass
    `graphviz` if one is already running.
    """
    if file_format == "dot":
        from circuitmap.drawings.files.dot_text import dot_text_of

        return dot_text_of(make_scene()).encode("utf-8")
    with ExitStack() as stack:
        process = graphviz or stack.enter_context(GraphvizProcess())
        from circuitmap.drawings.files.sheets import pages_of
        from circuitmap.drawings.files.stacking import stacked

        pages = pages_of(make_scene(), process, in_one=not on_sheets and file_format != "pdf")
    if file_format == "pdf":
        from circuitmap.drawings.files.pdf import pdf_of

        return pdf_of(pages)
    if file_format == "png":
        from circuitmap.drawings.files.png import png_of

        return png_of(stacked(pages))
    from circuitmap.drawings.files.svg import svg_of

    return svg_of(stacked(pages)).encode("utf-8")

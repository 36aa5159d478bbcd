"""No text on another, no wire through text or parts, wires end on their pins, everything on the page: for every
drawing."""

import pytest

from circuitmap.drawings.inking.ink import DrawnText, Picture, Role, Stroke
from circuitmap.drawings.lettering.text_width import DESCRIPTION, width_of
from circuitmap.drawings.placing.layout import Layout
from circuitmap.drawings.scene.scene import Scene
from tests.drawings.pages import drawn
from tests.drawings.picture_checks import defects
from tests.drawings.random_scenes import random_scene
from tests.drawings.scenes import ALL, van


@pytest.mark.parametrize("name", ALL)
def test_a_hand_written_scene_has_no_defects(name: str) -> None:
    scene = ALL[name]()
    layout, picture = drawn(scene)
    assert defects(scene, layout, picture) == []


@pytest.mark.parametrize("first", range(0, 200, 25))
def test_scenes_by_lot_have_no_defects(first: int) -> None:
    for seed in range(first, first + 25):
        scene = random_scene(seed)
        layout, picture = drawn(scene)
        assert defects(scene, layout, picture) == [], f"seed {seed}"


def spoilt(picture: Picture, *more: Stroke | DrawnText) -> Picture:
    return picture._replace(ink=(*picture.ink, *more))


@pytest.fixture(scope="module")
def whole() -> tuple[Scene, Layout, Picture]:
    scene = van()
    return scene, *drawn(scene)


def test_the_checks_see_a_text_on_another(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    label = next(ink for ink in picture.ink if isinstance(ink, DrawnText) and ink.text == "CAB.F22")
    double = DrawnText(label.x + 3, label.y + 2, "again", DESCRIPTION, "#000000", width_of("again", DESCRIPTION))
    assert any("again" in defect for defect in defects(scene, layout, spoilt(picture, double)))


def test_the_checks_see_a_struck_text(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    label = next(ink for ink in picture.ink if isinstance(ink, DrawnText) and ink.text == "CAB.F22")
    line = Stroke(((label.x - 9, label.y - 2), (label.x + 40, label.y - 2)), "#000000", 2.0, role=Role.WIRE, owner="w1")
    assert any("struck by w1" in defect for defect in defects(scene, layout, spoilt(picture, line)))


def test_the_checks_see_a_covered_wire(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    tag = layout.tags[0]
    tags = [ink for ink in picture.ink if getattr(ink, "owner", "") == tag.entry and ink.role is Role.TAG]
    x, y = tags[0].x + 1, tags[0].y - 20  # type: ignore[union-attr]
    line = Stroke(((x, y), (x, y + 60)), "#000000", 2.0, role=Role.WIRE, owner="other")
    assert any("covers other" in defect for defect in defects(scene, layout, spoilt(picture, line)))


def test_the_checks_see_what_is_off_the_page(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    assert any("outside" in defect for defect in defects(scene, layout, picture._replace(width=picture.width / 2)))


def test_the_checks_see_a_loose_end(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    first = layout.routes[0]
    x, y = first.points[-1]
    loose = layout._replace(routes=(first._replace(points=(*first.points[:-1], (x, y - 3))), *layout.routes[1:]))
    assert any("does not end" in defect for defect in defects(scene, loose, picture))


def test_the_checks_see_a_wire_on_another(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    run = layout.routes[-1].points
    twin = layout.routes[0]._replace(entry="twin", points=((run[0][0], run[0][1] + 2), (run[1][0], run[1][1] - 2)))
    assert any(
        "lies on" in defect for defect in defects(scene, layout._replace(routes=(*layout.routes, twin)), picture)
    )


def test_the_checks_see_a_wire_through_a_part(whole: tuple[Scene, Layout, Picture]) -> None:
    scene, layout, picture = whole
    fuse = next(part for part in layout.parts if part.key == "CAB.F22")
    moved = [part._replace(x=fuse.x, y=fuse.y + 50) if part.key == "SUSP" else part for part in layout.parts]
    assert any("runs through SUSP" in d for d in defects(scene, layout._replace(parts=tuple(moved)), picture))

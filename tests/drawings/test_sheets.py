"""Cutting a drawing into sheets loses nothing: every part once, every wire whole or with a pair of marks."""

from collections import Counter

import pytest

from circuitmap.drawings.files.sheets import _groups, sheets_of
from circuitmap.drawings.scene.scene import Kind, Scene, slips_in
from tests.drawings.pages import drawn
from tests.drawings.picture_checks import defects
from tests.drawings.random_scenes import random_scene
from tests.drawings.scenes import truck, van, worst

MARKS = (Kind.TO_SHEET, Kind.FROM_SHEET)


def cut(scene: Scene, count: int) -> list[Scene]:
    layout, _ = drawn(scene)
    return sheets_of(scene, _groups(scene, layout, 1, count))


@pytest.mark.parametrize("count", (2, 3, 5))
@pytest.mark.parametrize("make", (van, truck, worst))
def test_every_part_is_on_one_sheet_and_every_wire_is_there(make: object, count: int) -> None:
    scene = make()  # type: ignore[operator]
    sheets = cut(scene, count)
    parts = Counter(part.key for sheet in sheets for part in sheet.parts if part.kind not in MARKS)
    assert parts == Counter(part.key for part in scene.parts)
    finishes = Counter(wire.key for sheet in sheets for wire in sheet.wires if not wire.key.endswith(" leaving"))
    assert finishes == Counter(wire.key for wire in scene.wires)
    assert all(slips_in(sheet) == [] for sheet in sheets)
    assert [sheet.number for sheet in sheets] == list(range(1, len(sheets) + 1))
    assert {sheet.of for sheet in sheets} == {len(sheets)}


def test_marks_come_in_pairs_that_name_each_other() -> None:
    sheets = cut(worst(), 3)
    leaving = {
        (p.name[0], p.name.split()[-1], str(s.number)) for s in sheets for p in s.parts if p.kind is Kind.TO_SHEET
    }
    coming = {
        (p.name[0], str(s.number), p.name.split()[-1]) for s in sheets for p in s.parts if p.kind is Kind.FROM_SHEET
    }
    assert leaving == coming and leaving


def test_sheets_have_no_defects() -> None:
    for seed in range(12):
        scene = random_scene(seed)
        if len(scene.parts) < 8:
            continue
        for sheet in cut(scene, 2):
            layout, picture = drawn(sheet)
            assert defects(sheet, layout, picture) == [], f"seed {seed}"


def test_notes_are_on_the_last_sheet_and_networks_say_that_they_go_on() -> None:
    sheets = cut(truck(), 2)
    assert [bool(sheet.notes) for sheet in sheets] == [False, True]
    assert any("other pages" in network.words for sheet in sheets for network in sheet.networks)

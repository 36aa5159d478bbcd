"""A box as it lies in the vehicle: its rows in the notation, and the fuses of the page in their order."""

from pathlib import Path
from shutil import copytree

from circuitmap.changes.facts import facts_of
from circuitmap.flows.desk import Desk
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.parts import Box
from tests.bay.served import ROOT

NOTATION = """\
platform "Ostrey Dunlin"
battery BAT
box HAB "Living box" up "the windscreen"
    row F3, HAB.F1
    row F2, K1
fuse HAB.F1 15A mini, HAB.F2 15A mini, HAB.F3 15A mini, HAB.F4 15A mini
relay HAB.K1 make
"""
CARD = "platform: camper\nentries:\n"


def written(room: Path, notation: str) -> Path:
    (room / "camper").mkdir(exist_ok=True)
    (room / "camper" / "all.circuit").write_text(notation)
    (room / "job.yaml").write_text(CARD)
    return room


def test_rows_are_full_names_and_a_fact_of_the_box(tmp_path: Path) -> None:
    platform = open_platform(written(tmp_path, NOTATION) / "camper")
    box = platform.parts["HAB"]
    assert isinstance(box, Box) and box.up == "the windscreen"
    assert box.rows == (("HAB.F3", "HAB.F1"), ("HAB.F2", "HAB.K1"))
    [fact] = [fact for fact in facts_of(platform) if fact.name == "HAB"]
    assert fact.says["rows"] == "HAB.F3 HAB.F1 / HAB.F2 HAB.K1" and fact.says["upper edge to"] == "the windscreen"
    assert not [problem for problem in platform.problems if problem.code != "fuse-no-load"]


def test_what_is_not_in_the_box_is_told_where_it_stands(tmp_path: Path) -> None:
    platform = open_platform(written(tmp_path, NOTATION.replace("row F2, K1", "row F2, F9")) / "camper")
    assert [problem.span.line for problem in platform.problems if "HAB.F9" in problem.headline] == [5]


def test_the_page_has_the_fuses_as_they_lie(tmp_path: Path) -> None:
    desk = Desk(written(tmp_path, NOTATION) / "job.yaml")
    [key] = desk.cards()
    [box] = desk.answer(key)["boxes"]
    assert box["rows"] == [["F3", "F1"], ["F2", "K1"]] and box["up"] == "the windscreen"
    assert [fuse["short"] for fuse in box["fuses"]] == ["F3", "F1", "F2", "F4"], "what is in no row comes last"


def test_without_rows_they_stand_as_written_down(tmp_path: Path) -> None:
    notation = "\n".join(line for line in NOTATION.split("\n") if not line.startswith("    row"))
    desk = Desk(written(tmp_path, notation) / "job.yaml")
    [key] = desk.cards()
    [box] = desk.answer(key)["boxes"]
    assert box["rows"] == [] and [fuse["short"] for fuse in box["fuses"]] == ["F1", "F2", "F3", "F4"]


def test_every_fuse_of_a_box_with_rows_in_the_samples_lies_somewhere(tmp_path: Path) -> None:
    laid_out = 0
    for folder in sorted((ROOT / "sample_vehicles").glob("*/")):
        platform = open_platform(Path(copytree(folder, tmp_path / folder.name)))
        for box in (part for part in platform.parts.values() if isinstance(part, Box) and part.rows):
            laid_out += 1
            lying = [name for row in box.rows for name in row]
            inside = [name for name in platform.parts if name.startswith(f"{box.name}.F")]
            assert len(set(lying)) == len(lying) and set(inside) <= set(lying)
    assert laid_out

"""Volts on the wiring diagram: each point of the way once, read beside expected, drops on the wires, in every form."""

from pathlib import Path

import pytest

from circuitmap.drawings.files.sheets import sheets_of
from circuitmap.drawings.scene.scene import Probed, Scene, slips_in
from circuitmap.drawings.shapes.lands import tag_text, volts_cells
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of
from circuitmap.flows.volts import volts_at
from circuitmap.flows.volts_drawn import scene_with_volts
from circuitmap.quantities import Band
from circuitmap.reports.volts.way_words import short_band
from tests.bay.test_dead_on_page import PLATFORM
from tests.cli.conftest import ROOT, Run


@pytest.fixture(scope="module")
def screens(tmp_path_factory: pytest.TempPathFactory) -> Path:
    room = tmp_path_factory.mktemp("screens")
    (room / "all.circuit").write_text(PLATFORM)
    return room


@pytest.fixture(scope="module")
def drawn(screens: Path) -> Scene:
    bench = open_bench(screens)
    there = volts_at(bench, state_of(bench, key="run"), "SCRL.1", ["SCRL,SCRR"], ["SCRL.1=9.7V", "HAB.F1.1=11.9V"])
    scene = scene_with_volts(bench, there)
    assert scene is not None
    return scene


def test_each_point_of_the_way_stands_once_at_an_end_of_its_wire(drawn: Scene) -> None:
    wires = {wire.key: wire for wire in drawn.wires}
    ends = [wires[its.wire].start if its.at_start else wires[its.wire].finish for its in drawn.volts]
    owners = [end.owner for end in ends if not end.owner.startswith("ground")]
    for owner in ("rail BAT.+", "SP1", "HAB.F1", "SCRL", "X1.1", "X1.2"):
        assert owner in owners, owner
    assert len({(end.owner, end.pin) for end in ends}) == len(ends) and slips_in(drawn) == []
    assert all(wires[its.wire].named for its in drawn.volts), "the way stands out"


def test_what_was_read_stands_beside_what_was_to_be_expected(drawn: Scene) -> None:
    read = {(its.read, its.stands) for its in drawn.volts if its.read}
    assert read == {("9.7 V", Probed.LOW), ("11.9 V", Probed.SOUND)}
    low = next(its for its in drawn.volts if its.stands)
    assert [text for text, _ in volts_cells(low)] == [low.expected, "9.7 V low"]
    assert any(wire.drop and tag_text(wire).endswith(wire.drop) for wire in drawn.wires)
    remarks = " ".join(drawn.remarks)
    assert "HAB.F1, feed side to SCRL.1" in remarks and "pierce nothing" in remarks and "BAT.-" in remarks


def test_no_volts_stand_where_nobody_may_measure(drawn: Scene) -> None:
    wires = {wire.key: wire for wire in drawn.wires}
    ends = {its: wires[its.wire].start if its.at_start else wires[its.wire].finish for its in drawn.volts}
    told = [its.expected for its, end in ends.items() if end.owner == "HAB.B1"]
    assert told == ["hands off"], "the airbag's fuse hangs on it"


def test_what_is_cut_into_pages_keeps_its_volts(drawn: Scene) -> None:
    keys = [part.key for part in drawn.parts]
    half = frozenset(keys[: len(keys) // 2])
    pages = sheets_of(drawn, [half, frozenset(keys) - half])
    assert sorted(its.key for page in pages for its in page.volts) == sorted(its.key for its in drawn.volts)
    for page in pages:
        assert {its.wire for its in page.volts} <= {wire.key for wire in page.wires}


def test_the_forms_are_the_same_twice_and_hold_the_volts(screens: Path, tmp_path: Path, circuitmap: Run) -> None:
    for name in ("a.svg", "b.svg", "a.png", "a.pdf"):
        ran = circuitmap("volts", screens, "SCRL.1", "--saw", "SCRL.1=9.7V", "--drawing", tmp_path / name)
        assert ran.code == 0, ran.err
    text = (tmp_path / "a.svg").read_text()
    assert "9.7 V low" in text and text == (tmp_path / "b.svg").read_text()
    assert (tmp_path / "a.png").read_bytes()[1:4] == b"PNG" and (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")


def test_what_cannot_be_drawn_is_said(screens: Path, tmp_path: Path, circuitmap: Run) -> None:
    out = tmp_path / "a.svg"
    for words, told in (
        (("SCRL.1", "--drawing", out, "-o", out), "One file at once"),
        (("SCRL.1", "--drawing", tmp_path / "a.txt"), "in which form"),
        (("SRS.1", "--drawing", out), "nothing to draw"),
    ):
        ran = circuitmap("volts", screens, *words)
        assert ran.code == 2 and told in ran.err and not out.exists()


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [(11.13, 12.04, "11.1–12.0 V"), (0.031, 0.18, "0.03–0.18 V"), (0.006, 0.093, "6–93 mV"), (0.0, 0.0, "0 mV")],
)
def test_a_band_is_said_in_one_unit(low: float, high: float, words: str) -> None:
    assert short_band(Band(low, high)) == words


def test_of_two_batteries_in_a_row_the_black_lead_is_on_the_minus() -> None:
    """24 V stand at what is fed by both of them; on the tap between them it would be half."""
    bench: Bench = open_bench(ROOT / "sample_vehicles" / "truck")
    there = volts_at(bench, state_of(bench), "HEATER.1")
    assert there.expected is not None
    at = there.expected.way[there.expected.point_at].bounds
    assert 23.0 < at.ninety.low < at.ninety.high < 26.0

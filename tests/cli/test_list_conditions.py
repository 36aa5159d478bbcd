"""`list` says with which equipment a load, a sheet or an open end comes."""

from pathlib import Path

from tests.cli.conftest import Run
from tests.cli.test_equipment_not_said import TOWING


def test_the_condition_of_a_sheet_is_that_of_what_stands_on_it_alone(tmp_path: Path, circuitmap: Run) -> None:
    (tmp_path / "heron.circuit").write_text(TOWING + 'F1 -> ? "trailer socket, sheet 3"\n', "utf-8")
    lines = [" ".join(line.split()) for line in circuitmap("list", str(tmp_path)).out.splitlines()]
    assert "TOWMOD if TOW" in lines
    assert "2 in part 3 wires Towing; if TOW" in lines
    assert "F1 goes on to trailer socket, sheet 3 sheet 2 if TOW" in lines

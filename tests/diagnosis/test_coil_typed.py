"""What a relay's coil takes, where that was typed: a held relay is then known by its current."""

from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.diagnosis.car.currents import COIL, coil_spread
from tests.power.random_platforms import platform_from


def test_a_typed_coil_has_a_narrow_spread_around_what_was_typed() -> None:
    parts = platform_from("relay K1 make running 60mA\nrelay K2 make\n").parts
    typed, usual = coil_spread(parts["K1"]), coil_spread(parts["K2"])
    assert usual == COIL
    assert typed.median == pytest.approx(0.06) and typed.sigma < usual.sigma


TEXT = """
battery BAT
naming G* ground
fuse F1 10A, F2 10A, F3 5A
bar B1 feeds F1, F2, F3
relay K1 make{}
switch S positions off, on closes 1 to 2 in on
module M supply 1 ground 2 asleep 1mA
motor FAN running 4A
BAT.+ -> B1
BAT.- -> G1
F1 -> K1.30
K1.87 -> FAN -> G1
F2 -> K1.86
K1.85 -> S.1
S.2 -> G1
F3 -> M.1
M.2 -> G1
"""


def test_a_reading_fits_a_held_relay_by_its_coil(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def look_at(coil: str) -> str:
        folder = tmp_path / (coil.strip().replace(" ", "") or "usual")
        folder.mkdir()
        (folder / "a.circuit").write_text(TEXT.format(coil), "utf-8")
        assert end_of(program, ["suspects", str(folder), "F1=4A", "F2=500mA", "F3=1mA"]) == 0
        return " ".join(capsys.readouterr().out.split())

    fits, does_not = look_at(" running 500mA"), look_at(" running 50mA")
    assert "+++ F1 (4.00 A: FAN) and F2 (0.50 A: the coil of K1) draw." in fits
    assert "unexplained" not in fits
    assert "that leaves F2 (0.50 A) unexplained" in does_not

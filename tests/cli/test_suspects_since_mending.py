"""`suspects --card` speaks of the vehicle as it is, also once something was mended, as `card show` does."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run

BUS = """\
platform "Orvane Plover" sleep 20min limit 50mA
battery BAT 90Ah
fuse F1 15A, F2 15A
relay K1 "heater relay" make
heater H1
module A6 "heater controller" supply 2 ground 4
output A6.9 grounds
ground GND
BAT.+ -> F1 -> K1.30
BAT.+ -> F2 -> A6.2
K1.87 -> H1.1
F1 -> K1.86
K1.85 -> A6.9
H1.2 -> GND
A6.4 -> GND
BAT.- -> GND
"""
DREW = ['at: "09:00", state: locked', 'at: "09:40", total: 4.6A, read: {F1: 4.6A}, steady: yes',
        'at: "09:50", out: [K1]', 'at: "10:20", total: 0.01A', 'at: "10:25", back: [K1]',
        'at: "10:50", total: 4.6A']  # fmt: skip
MENDED = ['at: "10:55", cause: "K1, its contact sticks", mended: a new K1', 'at: "11:00", state: locked']
RESTS, DRAWS = 'at: "11:40", total: 0.01A, steady: yes', 'at: "11:40", total: 4.6A, steady: yes'


@pytest.mark.parametrize(
    ("since", "stage", "says"),
    [
        ([*MENDED, RESTS], "mended", "NO DRAW FOUND"),
        (MENDED, "mended", "NOTHING READ YET"),
        ([*MENDED, DRAWS], "not-repaired", "Total 4.60 A"),
        ([], None, "K1"),
    ],
)
def test_they_speak_of_the_vehicle_as_it_is(
    circuitmap: Run, tmp_path: Path, since: list[str], stage: str | None, says: str
) -> None:
    """What was proven before the mending is no longer to be proven; the headline is that of the card."""
    (tmp_path / "bus").mkdir()
    (tmp_path / "bus" / "b.circuit").write_text(BUS, encoding="utf-8")
    card = tmp_path / "job.yaml"
    lines = "".join(f"  - {{{entry}}}\n" for entry in (*DREW, *since))
    card.write_text(f"platform: bus\nentries:\n{lines}", encoding="utf-8")
    told = circuitmap("suspects", tmp_path / "bus", "--card", card, "--without-earlier-jobs").out
    assert says in told
    assert ("prove this now" in told) <= (stage is None)
    shown = circuitmap("card", "show", card).out.split("\n", 1)[0]
    assert told.startswith(shown) == (stage is not None)
    its = circuitmap("suspects", tmp_path / "bus", "--card", card, "--json").json
    assert its["card_stage"] == stage


@pytest.mark.parametrize(
    ("since", "asked"),
    [
        ([RESTS], "Lock it, and log a night"),
        ([RESTS, 'at: "20:00", log: {floor: 0.01A, peak: 0.02A, mean: 0.01A, for: 8h}'], "Write the report"),
    ],
)
def test_nothing_else_is_left_to_do_than_the_card_says(
    circuitmap: Run, tmp_path: Path, since: list[str], asked: str
) -> None:
    """Neither leads off for a day, nor the engine: what was found is mended, and only its night may be missing."""
    (tmp_path / "bus").mkdir()
    (tmp_path / "bus" / "b.circuit").write_text(BUS, encoding="utf-8")
    card = tmp_path / "job.yaml"
    lines = "".join(f"  - {{{entry}}}\n" for entry in (*DREW, *MENDED, *since))
    card.write_text(f"platform: bus\nentries:\n{lines}", encoding="utf-8")
    told = " ".join(circuitmap("suspects", tmp_path / "bus", "--card", card, "--without-earlier-jobs").out.split())
    assert asked in told and "24 hours" not in told and "Engine running" not in told

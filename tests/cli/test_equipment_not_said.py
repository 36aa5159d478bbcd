"""A suspect on a sheet for towing vehicles: nobody said whether this one tows, but the suspect's feed is on the
drawings."""

from pathlib import Path

from tests.cli.conftest import Run

TOWING = """
platform "Marlow Heron" supply 12V return body
option TOW
battery BAT 95Ah
ground G1
fuse F1 10A mini, F2 10A mini
module TOWMOD supply 30 ground 31
module HEATER supply 1 ground 2
BAT.- -> G1
BAT.+ -> F1
BAT.+ -> F2
F2 -> HEATER.1
HEATER.2 -> G1
sheet "2" "Towing" if TOW
F1 -> TOWMOD.30
TOWMOD.31 -> G1
"""


def test_the_option_is_named_and_no_feed_is_missed(tmp_path: Path, circuitmap: Run) -> None:
    (tmp_path / "heron.circuit").write_text(TOWING, "utf-8")
    words = ["suspects", str(tmp_path), "F1=0.5A", "F2=0A", "--total", "0.5A"]
    said = " ".join(circuitmap(*words).out.split())
    assert "TOWMOD" in said and "Whether this car has TOW was not said" in said
    assert "is not on the drawings yet" not in said
    assert "was not said" not in circuitmap(*words, "--option", "TOW").out

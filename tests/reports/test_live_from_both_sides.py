"""A relay between two batteries is live from both sides: the step that takes it out says so, and what to open first."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.reports.words.cautions import cautions_at, proof_step
from circuitmap.wiring.between_batteries import BothSides, LiveSide, live_from_both
from tests.diagnosis.test_answers import circuit_from

DORY = """
platform "Tarnvik Dory"
battery SB 90Ah
battery HB 110Ah
fuse FA 80A bolted, FB 80A bolted, FC 10A mini
link FP 60A
relay TIE "separating relay" make
relay WARM "heater relay" make
relay TOO "second separating relay" make
switch MAIN "battery switch" positions off, on closes 1 to 2 in on
heater H
terminal BA, BB
ground GND
SB.+ -> BA
BA -> FA -> TIE.30
TIE.87 -> FB -> BB
HB.+ -> BB
BA -> MAIN.1
MAIN.2 -> TOO.30
TOO.87 -> BB
BB -> FC -> WARM.30
WARM.87 -> H.1
H.2 -> GND
SB.- -> GND
HB.- -> GND
"""


@pytest.fixture(scope="module")
def dory() -> Circuit:
    return circuit_from(DORY)


def test_both_sides_are_found_over_cable_and_fuses_alone(dory: Circuit) -> None:
    its = BothSides(LiveSide("30", "SB", "FA"), LiveSide("87", "HB", "FB"))
    assert live_from_both(dory.platform, "TIE") == live_from_both(dory.platform, "TIE.30") == its
    for other in ("WARM", "H", "FA", "MAIN", "TOO", "SB", "nobody"):
        assert live_from_both(dory.platform, other) is None, other


@pytest.mark.parametrize("step", ["pull-relay", "unplug", "prove", "refit"])
def test_whoever_takes_it_out_is_told(dory: Circuit, step: str) -> None:
    told = {its.code: its.text for its in cautions_at(dory.platform, step, ("TIE",))}  # type: ignore[arg-type]
    assert "open FA and FB first (or all ground leads off, on last)" in told["live-from-both"]
    others = cautions_at(dory.platform, step, ("WARM",))  # type: ignore[arg-type]
    assert "live-from-both" not in {its.code for its in others}


def test_how_it_is_proven_has_it_and_a_look_has_not(dory: Circuit) -> None:
    assert "live-from-both" in {
        its.code for its in cautions_at(dory.platform, proof_step(dory.platform, "TIE"), ("TIE",))
    }
    assert "live-from-both" not in {its.code for its in cautions_at(dory.platform, "look", ("TIE",))}


@pytest.mark.parametrize("side", ["TIE.87 -> BB", "TIE.87 -> FP -> BB"])
def test_where_a_side_has_no_fuse_to_pull_the_ground_leads_come_off(side: str) -> None:
    platform = circuit_from(DORY.replace("TIE.87 -> FB -> BB", side)).platform
    told = {its.code: its.text for its in cautions_at(platform, "pull-relay", ("TIE",))}
    assert "all ground leads off first, on last" in told["live-from-both"]
    assert "open F" not in told["live-from-both"]

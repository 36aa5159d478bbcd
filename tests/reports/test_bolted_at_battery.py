"""A fuse that is bolted straight on a battery is taken out with the battery's cautions: its metal is plus, whatever
else is out. Common practice, no source."""

import pytest

from circuitmap.flows.questions import platform_from
from circuitmap.reports.words.cautions import StepKind, cautions_at
from circuitmap.source import SourceFile
from circuitmap.wiring.at_battery import bolted_at_battery
from circuitmap.wiring.platform import Platform

LAUNCH = """\
platform "Survey launch" supply 12V
battery MAIN 120Ah
terminal POST "plus bar"
link L1 200A "main link"
fuse E1 80A "generator", E2 60A bolted "bilge heater", E3 15A mini "bilge pump", E4 50A "winch", E5 60A maxi "cabin"
breaker E6 70A "capstan"
fuse E7 60A bolted empty
fuse E8 60A bolted "beyond the pump fuse", E9 60A bolted "beyond the main switch", E10 80A bolted "behind the link"
switch CUT "main switch" positions off, on closes 1 to 2 in on
heater H1, H2, H3, H4, H5, H6, H7, H8, H9
ground G1
MAIN.+ -> POST
POST -> E1 -> H1.1
POST -> E2 -> H2.1
POST -> E3 -> E8 -> H3.1
POST -> E4 -> H4.1
POST -> E5 -> H5.1
POST -> E6 -> H6.1
POST -> E7 -> H7.1
POST -> CUT.1
CUT.2 -> E9 -> H8.1
POST -> L1 -> E10 -> H9.1
MAIN.- -> G1
"""


@pytest.fixture(scope="module")
def launch() -> Platform:
    return platform_from((SourceFile("launch.circuit", LAUNCH),))


def codes(platform: Platform, step: StepKind, *parts: str) -> set[str]:
    return {told.code for told in cautions_at(platform, step, parts)}


def test_bolted_and_large_fuses_at_the_battery_are_told_from_the_others(launch: Platform) -> None:
    assert bolted_at_battery(launch) == {"E1", "E2", "E4", "L1", "E10"}


@pytest.mark.parametrize("step", ("pull-fuses", "prove", "refit"))
@pytest.mark.parametrize("fuse", ("E1", "E2", "L1", "E10"))
def test_its_caution_stands_where_it_is_taken_out_or_goes_back(launch: Platform, step: StepKind, fuse: str) -> None:
    told = {its.code: its.text for its in cautions_at(launch, step, (fuse,))}
    text = told["bolted-at-battery"]
    assert "gas" in text and "no sparks" in text and "ground lead off first, on last" in text


@pytest.mark.parametrize("fuse", ("E3", "E5", "E6", "E8", "E9"))
def test_a_fuse_that_is_no_metal_of_the_battery_has_none(launch: Platform, fuse: str) -> None:
    assert "bolted-at-battery" not in codes(launch, "pull-fuses", fuse)


def test_a_clamp_round_its_cable_takes_nothing_out(launch: Platform) -> None:
    assert "bolted-at-battery" not in codes(launch, "clamp", "E1")

"""The steps at the battery fit the vehicle: no engine runs where there is none, the battery that is not charged is
followed along its way, and a gas alarm does not lose its supply unsaid."""

import pytest

from circuitmap.flows.job import diagnosis_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_battery_since import TWO
from tests.jobs.test_found_cause import BUS, job

READ = ('at: "10:00", state: locked, meter: low-current clamp', 'at: "11:00", read: {BAT: 0.01A}, steady: yes')
CONVERTER = BUS.replace(
    "ground GND\n", 'ground GND\ncharger CONV "converter" supply 1 ground 2 hands-off high-voltage\n'
)
ALARM = BUS.replace("ground GND\n", 'ground GND\nsensor SNIFF "gas alarm" supply 1 ground 2 care gas-alarm\n')
WAY = TWO.replace("lamp L1", "alternator GEN supply B+ ground 31\nlamp L1").replace(
    "HUT.+ -> L1.1", "HUT.+ -> L1.1\nGEN.B+ -> BAT.+\nGEN.31 -> G"
)


def platform(text: str) -> Platform:
    read, problems = read_text(SourceFile("b.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def said(its: Platform, *entries: str) -> str:
    return " ".join(suspects_text(its, diagnosis_of(job(its, *entries))).split())


def test_without_an_engine_none_runs() -> None:
    told = said(platform(CONVERTER), *READ)
    assert "Engine" not in told and "belts" not in told and "exhaust" not in told
    assert "Ready to drive, or plugged in, lights on: volts at the battery" in told and "nobody in front" in told
    assert "Engine running, lights on" in said(platform(BUS), *READ)


def test_an_alarm_loses_its_supply_with_the_battery() -> None:
    codes = [one.code for one in cautions_at(platform(ALARM), "battery-rest", ["BAT"])]
    assert "gas-alarm" in codes
    assert "gas-alarm" not in [one.code for one in cautions_at(platform(BUS), "battery-rest", ["BAT"])]
    assert "gas-alarm" not in [one.code for one in cautions_at(platform(ALARM), "night-log", ["BAT"])]


@pytest.mark.parametrize(("volts", "there"), [("12.1V", True), ("14.2V", False)])
def test_what_is_not_charged_is_followed_first(volts: str, there: bool) -> None:
    read = ('at: "11:00", read: {BAT: 0.01A, HUT: 0.01A}, steady: yes', f"battery: {{place: HUT, charging: {volts}}}")
    told = said(platform(WAY), READ[0], *read)
    way = "HUT was not charged: while what charges it runs, read the volts along its way: GEN.B+, F1, K9 and HUT.+"
    assert (f"1 {way}" in told) == there
    assert ("where they fall" in told) == there

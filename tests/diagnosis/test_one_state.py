"""Which readings belong to the state of the car that is looked at: what a battery gave by the same look is that moment's
total, and what was read while the draw was down, or gone, says nothing against what draws when it is up."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.platform import Platform

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(scope="module")
def truck() -> Platform:
    return open_platform(SAMPLES / "truck")


@pytest.fixture(scope="module")
def motorhome() -> Platform:
    return open_platform(SAMPLES / "motorhome")


def answer(platform: Platform, *entries: str) -> Diagnosis:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(platform, text, "job.yaml")
    assert not found.problems, found.problems
    return diagnose(circuit_of(platform), found.evidence)


def aside(its: Diagnosis) -> dict[str, str]:
    return {one.reading.place: one.why for one in its.netted.set_aside}


LOCKED = 'at: "2026-03-01 16:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes'
QUIET = 'at: "2026-03-01 17:00", read: {BAT: 0.04A, MAIN.F1: 0.01A, MAIN.F5: 0.00A, MAIN.F6: 0.01A}, steady: yes'
LOG = 'at: "2026-03-02 06:00", log: {floor: 0.04A, peak: 1.60A, mean: 0.40A, for: 12h}'


def test_what_was_read_beside_the_floor_says_nothing_of_the_event(truck: Platform) -> None:
    its = answer(truck, LOCKED, QUIET, LOG)
    assert {aside(its)[place] for place in ("MAIN.F1", "MAIN.F5", "MAIN.F6")} == {"quiet-phase"}
    assert not {"MAIN.F1", "MAIN.F5", "MAIN.F6"} & its.netted.readings.keys()


def test_nor_what_shows_no_more_than_the_floor_where_nobody_read_the_total(truck: Platform) -> None:
    alone = 'at: "2026-03-01 17:05", read: {MAIN.F1: 0.03A, MAIN.F2: 0.60A}'
    its = answer(truck, LOCKED, alone, LOG)
    assert aside(its)["MAIN.F1"] == "phase-unknown"
    assert "MAIN.F2" in its.netted.readings  # more than all of the floor: it was up


def test_once_read_in_the_event_nothing_is_said_of_the_earlier_reading(truck: Platform) -> None:
    alone = 'at: "2026-03-01 17:05", read: {MAIN.F1: 0.00A}'
    up = 'at: "2026-03-02 07:00", during: event, read: {BAT: 1.58A, MAIN.F1: 1.50A}'
    its = answer(truck, LOCKED, alone, LOG, up)
    assert "MAIN.F1" not in aside(its)
    assert not any(entry.kind == "set aside" for entry in its.incomplete)


def test_an_event_somewhat_lower_than_the_peak_is_the_event_all_the_same(truck: Platform) -> None:
    up = 'at: "2026-03-02 07:00", total: 1.45A, read: {MAIN.F1: 1.40A}'
    its = answer(truck, LOCKED, LOG, up)
    assert "MAIN.F1" in its.netted.readings and not aside(its)


DREW = 'at: "2026-03-01 17:00", read: {LEIS: 0.90A, BAT: 0.01A}, steady: yes'
FUSES = 'at: "2026-03-01 17:10", read: {LIV.F3: 0.00A, LIV.F5: 0.04A, LIV.F8: 0.75A}'
LESS = 'at: "2026-03-01 18:00", read: {LEIS: 0.40A, BAT: 0.01A}, steady: yes'
GONE = 'at: "2026-03-01 18:00", read: {LEIS: 0.02A, BAT: 0.01A, LIV.F8: 0.00A}, steady: yes'
BACK = 'at: "2026-03-01 19:00", read: {LEIS: 0.90A, BAT: 0.01A}, steady: yes'


def test_with_less_in_all_what_was_read_before_is_of_another_state(motorhome: Platform) -> None:
    its = answer(motorhome, LOCKED, DREW, FUSES, LESS)
    assert aside(its)["LIV.F8"] == "other-state" and "LIV.F3" in its.netted.readings  # with less on it shows no more
    assert not its.contradictions


def test_of_two_batteries_the_one_that_feeds_the_place_tells(motorhome: Platform) -> None:
    changed = 'at: "2026-03-01 18:00", read: {LEIS: 0.90A, BAT: 0.60A}, steady: yes'
    its = answer(motorhome, LOCKED, DREW, FUSES, changed)
    assert {"LIV.F3", "LIV.F5", "LIV.F8"} <= its.netted.readings.keys()


def test_one_look_that_nobody_watched_changes_nothing(motorhome: Platform) -> None:
    its = answer(motorhome, LOCKED, DREW, FUSES, LESS.replace(", steady: yes", ""))
    assert "LIV.F8" in its.netted.readings


def test_what_had_gone_by_itself_is_hunted_by_what_was_read_while_it_drew(motorhome: Platform) -> None:
    its = answer(motorhome, LOCKED, DREW, FUSES, GONE)
    assert its.tests.gone and not its.contradictions
    assert its.netted.readings["LIV.F8"].amps == pytest.approx(0.75)
    assert aside(its)["LEIS"] == "gone-by-itself"
    assert its.subjects == answer(motorhome, LOCKED, DREW, FUSES).subjects
    assert not any(test.action.takes_out for test in its.tests.choices)


def test_once_it_is_back_what_was_read_meanwhile_still_says_nothing(motorhome: Platform) -> None:
    its = answer(motorhome, LOCKED, DREW, FUSES, GONE, BACK)
    assert not its.tests.gone and its.netted.readings["LIV.F8"].amps == pytest.approx(0.75)


def test_what_was_still_falling_asleep_had_not_gone(motorhome: Platform) -> None:
    its = answer(motorhome, LOCKED, DREW.replace("17:00", "16:06"), FUSES.replace("17:10", "16:08"), GONE)
    assert not its.tests.gone


def test_lines_volts_and_relays_seen_while_it_was_gone_say_nothing(truck: Platform) -> None:
    drew = 'at: "2026-03-01 17:00", total: 0.70A, network: {CHASSIS: 2.5V}, relays: {FRM.K5: held}, steady: yes'
    out, back = 'at: "2026-03-01 17:10", out: [CAB.F33]', 'at: "2026-03-01 17:50", back: [CAB.F33]'
    low = 'at: "2026-03-01 17:45", total: 0.04A, relays: {FRM.K5: open}'
    quiet = 'at: "2026-03-01 18:40", total: 0.04A, network: {CHASSIS: 0.0V}, relays: {FRM.K5: open}, steady: yes'
    its = answer(truck, LOCKED, drew, out, low, back, quiet)
    before = answer(truck, LOCKED, drew, out, low, back, quiet.split(", network")[0] + ", steady: yes")
    assert its.tests.gone and its.subjects == before.subjects
    assert its.subjects[0].about == "CHASSIS" or "FRM.K5" in [part.part for part in its.parts[:6]]

"""A display whose one step is more than the limit shows nothing within it: 0.0 A on a display of 0.1 A may be 0.1 A, and
0.2 A no more than that meter's zero. Source: the display's step (arithmetic)."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.meters import METERS, meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.zeroing import Zeroing
from circuitmap.flows.job import job_from
from circuitmap.jobs.against_limit import against_limit, tolerance
from circuitmap.jobs.job import Job
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.job.standing_text import headline, left_sentence
from tests.diagnosis.test_answers import circuit_from

VAN = """\
platform "Larch Pipit 20 van" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 95Ah
fuse F1 10A mini, F2 10A mini
heater FRAME "door frame heater" running 2.5A
module BODY "body controller" supply 1 ground 2 asleep 5mA awake 200mA
ground G1
BAT.+ -> F1 -> FRAME -> G1
BAT.+ -> F2 -> BODY.1
BODY.2 -> G1
BAT.- -> G1
"""
COARSE = "at: '07:00', state: locked, meter: clamp, resolution: 100mA, zeroed: yes"
FINE = COARSE.replace("100mA", "10mA")
READ, OUT = "at: '07:40', total: 2.5A, read: {F1: 2.5A}, steady: yes", "at: '07:50', out: [F1]"
MENDED = "at: '08:30', mended: heater renewed, back: [F1]"
LOCKED = "at: '08:40', state: locked, zeroed: yes"


@pytest.fixture(scope="module")
def van() -> Circuit:
    return circuit_from(VAN)


def job(van: Circuit, *entries: str) -> Job:
    text = "job: 1\nplatform: van\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(van.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def left(van: Circuit, first: str, amps: str) -> str:
    found = job(van, first, READ, OUT, f"at: '07:58', total: {amps}, steady: yes").standing
    assert found.leading is not None
    return left_sentence(found.leading, found)


@pytest.mark.parametrize("amps", ["0.0A", "0.1A", "0.2A"])
def test_what_is_left_on_a_coarse_display_is_neither_normal_nor_a_second_draw(van: Circuit, amps: str) -> None:
    said = left(van, COARSE, amps)
    assert "which this meter can't tell from normal (it can be off 0.25 A)" in said
    assert "low-current clamp (to 1 mA)" in said


def test_beyond_what_it_can_be_off_it_is_too_much(van: Circuit) -> None:
    assert "something else draws too" in left(van, COARSE, "0.4A")


def test_a_finer_display_says_normal(van: Circuit) -> None:
    said = left(van, FINE, "0.02A")
    assert "which is normal" in said and "low-current" not in said
    assert "something else draws too" in left(van, FINE, "0.20A")


def test_a_first_look_within_a_coarse_display_says_nothing(van: Circuit) -> None:
    said = headline(van.platform, job(van, COARSE, "at: '07:40', total: 0.0A, steady: yes").standing)
    assert said.startswith("CAN'T TELL WITH THIS METER: it shows 0.00 A")
    assert "WITHIN" in headline(van.platform, job(van, FINE, "at: '07:40', total: 0.02A, steady: yes").standing)


def test_a_coarse_look_after_mending_is_no_quiet(van: Circuit) -> None:
    look = "at: '09:15', total: 0.0A, steady: yes"
    its = job(van, COARSE, READ, OUT, MENDED, LOCKED, look).standing
    said = mended_headline(van.platform, its)
    assert "QUIET" not in said and "within the limit" not in said
    assert "which this meter can't tell from 0.04 A (this platform's): one step of its display is 0.10 A" in said
    assert any("low-current clamp (to 1 mA)" in step for step in next_sentences(van.platform, its))
    finer = LOCKED.replace("zeroed: yes", "meter: low current clamp, resolution: 1mA, zeroed: yes")
    its = job(van, COARSE, READ, OUT, MENDED, finer, look.replace("0.0A", "0.008A")).standing
    assert "within the limit" in mended_headline(van.platform, its)
    assert not any("to 1 mA" in step for step in next_sentences(van.platform, its))


def test_a_coarse_log_shows_no_repair(van: Circuit) -> None:
    night = "at: '18:40', log: {floor: 0.0A, peak: 0.0A, mean: 0.0A, for: 9h}"
    assert job(van, COARSE, READ, OUT, MENDED, LOCKED, night).standing.stage != "repaired"
    assert job(van, FINE, READ, OUT, MENDED, LOCKED, night.replace("0.0A", "0.01A")).standing.stage == "repaired"


@pytest.mark.parametrize("kind", [meter.kind for meter in METERS])
@pytest.mark.parametrize("step", [0.001, 0.01, 0.1])
def test_a_zero_is_no_finer_than_the_display(kind: str, step: float) -> None:
    meter, zeroing = meter_named(kind, step), Zeroing()
    zeroing.zeroed(meter, 0.0)
    for its in (meter, zeroing.of(meter, 1.0)):
        assert its.zero == 0.0 or its.zero >= step
        assert (its.zero == 0.0) is (meter_named(kind).zero == 0.0)


@pytest.mark.parametrize("limit", [0.03, 0.1, 0.3])
def test_within_is_said_only_by_a_display_that_can_show_it(limit: float) -> None:
    for step in (0.001, 0.01, 0.1, 1.0):
        for n in range(6):
            reading = Reading(place="BAT", meter=meter_named("series", step), amps=n * step)
            told = against_limit(reading, limit)
            assert told != "within" or step <= limit
            assert told != "above" or n * step > limit + tolerance(reading)

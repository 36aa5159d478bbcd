"""What was added to a car, and is to stay, takes its share standing by: that share is sound, and more than that is a
fault. What such things take, 2 to 30 mA: common practice, no source."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.case import case_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.trying import normal_up_to
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.jobs.limits import limits_of
from circuitmap.jobs.short_line import entry_of
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

DREDGER = """\
platform "Dredger" supply 12V sleep 5min..10min limit 20mA
battery BAT 90Ah
fuse MAIN 80A mega "all"
fuse F1 10A mini "lamp", F2 10A mini "locks", F3 10A mini "heater"
alternator ALT
module LOCK "locks" supply 1 ground 2 asleep 2mA
module HEAT "heater" supply 1 ground 2 asleep 1mA
module BILGE "bilge" supply 1 ground 2 asleep 1mA
ground G
BAT.+ -> MAIN -> ALT.B
MAIN -> F1 -> BILGE.1
MAIN -> F2 -> LOCK.1
MAIN -> F3 -> HEAT.1
LOCK.2, HEAT.2, BILGE.2, BAT.- -> G
"""
BEGINS = """\
job: 1
platform: dredger
battery: 90Ah
entries:
  - {at: "14:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes}
"""
FOUR = "{remote: F1, receiver: F2, pump remote: F3, cool box: F3}"


@pytest.fixture(scope="module")
def dredger() -> Platform:
    return platform_from((SourceFile("dredger.circuit", DREDGER),))


def evidence_of(dredger: Platform, *entries: str) -> Evidence:
    job = job_from(dredger, BEGINS + "".join(f"  - {{{its}}}\n" for its in entries), "job.yaml")
    assert not job.problems, job.problems
    return job.evidence


def told(dredger: Platform, *entries: str) -> Diagnosis:
    return diagnose(circuit_of(dredger), evidence_of(dredger, *entries))


def chance(found: Diagnosis, part: str) -> float:
    return sum(its.probability for its in found.parts if its.part == part)


READ = 'at: "14:20", total: 37mA, read: {MAIN: 37mA, F1: 8mA, F2: 11mA, F3: 18mA}, steady: yes'


def test_many_small_sound_shares_make_no_stranger_guilty(dredger: Platform) -> None:
    """By hand: 8 + 11 + 18 = 37 mA, all of it found; 2 + 1 + 1 mA are the sheets' own, and four things are there."""
    found = told(dredger, READ, f'at: "14:25", added: {FOUR}')
    assert found.something_wrong < 0.3
    assert chance(found, "ALT") < 0.2
    assert told(dredger, READ).something_wrong > 0.9


@pytest.mark.parametrize("amps", ("150mA", "600mA", "2.5A"))
def test_one_that_takes_far_more_is_still_the_fault(dredger: Platform, amps: str) -> None:
    read = f'at: "14:20", total: {amps}, read: {{MAIN: {amps}, F1: {amps}, F2: 2mA, F3: 1mA}}, steady: yes'
    found = told(dredger, read, f'at: "14:25", added: {FOUR}')
    assert found.parts[0].part == "remote"
    assert found.something_wrong > 0.9


def test_a_share_that_went_with_its_fuse_is_no_riddle(dredger: Platform) -> None:
    """By hand: 18 mA of 88 mA go with F3, which is what stands by there; the 51 mA of the lead on the post stay."""
    entries = (
        'at: "14:20", total: 88mA, read: {MAIN: 37mA, F1: 8mA, F2: 11mA, F3: 18mA}, steady: yes',
        f'at: "14:25", added: {FOUR}', 'at: "14:26", added: {charger: BAT}',
        'at: "14:30", out: [charger]', 'at: "14:40", total: 37mA, steady: yes',
        'at: "14:41", back: [charger]', 'at: "14:52", total: 88mA, steady: yes',
        'at: "15:00", out: [F3]', 'at: "15:12", total: 70mA, steady: yes',
        'at: "15:13", back: [F3]', 'at: "15:25", total: 88mA, steady: yes',
    )  # fmt: skip
    found = told(dredger, *entries)
    assert found.parts[0].part == "charger" and found.parts[0].probability > 0.8
    assert not found.unexplained_tries and found.two_faults < 0.3
    assert told(dredger, *(its for its in entries if FOUR not in its)).two_faults > 0.8


def test_what_nobody_said_makes_nothing_normal_and_what_was_said_does(dredger: Platform) -> None:
    """By hand: the limit is 20 mA; 4 mA by the sheets and four times 9 mA that are said are 40 mA."""
    said = f'at: "14:25", added: {FOUR}'.replace("F1,", "F1 9mA,").replace("F2,", "F2 9mA,").replace("F3", "F3 9mA")
    normal, limit = [], []
    for entry in (f'at: "14:25", added: {FOUR}', said):
        evidence = evidence_of(dredger, READ, entry)
        ready = prepared_for(circuit_of(dredger), {}, evidence)
        normal.append(normal_up_to(ready.parked, ready.tree, "BAT"))
        limit.append(limits_of(circuit_of(dredger), evidence).at("BAT"))
    assert normal[0] == limit[0] == 0.020
    assert 0.040 < normal[1] < 0.060 and 0.040 < limit[1] < 0.060


def test_a_figure_of_its_papers_is_told_in_text_and_json(dredger: Platform) -> None:
    """By hand: 4 mA by the sheets, 6 mA by the papers; 48 - 10 = 38 mA too many. The receiver's share is not said."""
    entries = ('at: "14:20", total: 48mA, steady: yes', 'at: "14:25", added: {cool box: F3 6mA, receiver: F2}')
    found = told(dredger, *entries)
    text = " ".join(suspects_text(dredger, found).split())
    assert "4 mA are the sheets' own for all asleep, 6 mA what was added takes standing by" in text
    assert "(not said: receiver)" in text and "38 mA too many" in text
    fields = suspects_json(dredger, found, 5)["should_flow"][0]
    assert fields["by_added"] == pytest.approx(0.006, abs=0.001) and fields["added"] == ["receiver"]
    job = job_from(dredger, BEGINS + "".join(f"  - {{{its}}}\n" for its in entries), "job.yaml")
    on_none = {its["name"]: its["asleep"] for its in job_json(job)["on_no_sheet"]}
    assert on_none == {"cool box": [0.006, 0.006], "receiver": None}


def test_a_figure_is_typed_at_the_car_corrected_and_refused(dredger: Platform) -> None:
    assert dict(entry_of(dredger, "fitted BOX from F3 6mA").fields)["added"] == (("BOX", "F3 6mA"),)
    again = evidence_of(dredger, 'at: "14:25", added: {cool box: F3}', 'at: "14:30", added: {cool box: F3 5mA..7mA}')
    assert [(its.fed_from, its.asleep) for its in again.added] == [("F3", (0.005, 0.007))]
    refused = job_from(dredger, BEGINS + '  - {at: "14:25", added: {cool box: F3 6kg}}\n', "job.yaml")
    assert any("standing by" in its.headline for its in refused.problems)


def test_out_it_takes_nothing(dredger: Platform) -> None:
    evidence = evidence_of(dredger, READ, f'at: "14:25", added: {FOUR}')
    ready = case_of(circuit_of(dredger), evidence, {}, None).ready
    owners = {flow.owner for flow in ready.parked.asleep.values()}
    assert {"remote", "receiver", "pump remote", "cool box"} <= owners
    assert "cool box" not in {its.owner for its in ready.without(("cool box",)).asleep.values()}
    left = {its.owner for its in ready.without(("F3",)).asleep.values()}
    assert left == owners - {"cool box", "pump remote", "HEAT"}


@pytest.mark.parametrize(
    ("read", "off"),
    [
        ("{cool box: 0mA}", True), ("{cool box: 6mA}", False), ("{F3: 0mA}", True), ("{F3: 0.0mV}", False),
        ("{F2: 0mA}", False),
    ],
)  # fmt: skip
def test_what_takes_nothing_does_not_stand_by(dredger: Platform, read: str, off: bool) -> None:
    """0 mA in its cable, or where it is fed; 0.0 mV across the fuse hides some ten milliamperes."""
    evidence = evidence_of(dredger, 'at: "14:10", added: {cool box: F3}', f'at: "14:20", read: {read}, steady: yes')
    asleep = prepared_for(circuit_of(dredger), {}, evidence).parked.asleep.values()
    assert ("cool box" not in {flow.owner for flow in asleep}) == off

"""What was out while the vehicle was used again is held to what it drew before the draw had gone, not to a quiet look
made while it was gone. Worked out by hand: a module that hangs is started anew by the loss of its supply, and is set up
again by use; so a quiet look before that use is of a vehicle that is well, whatever is out later."""

from itertools import combinations

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import headline, standing_text
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from

GRITTER = """\
platform "Corrow 7 gritter" supply 12V return body sleep 10min..15min limit 50mA
battery BAT 90Ah
box BX
fuse BX.F1 15A mini "body control", BX.F2 20A mini "locks, tail lift", BX.F3 15A mini "heater"
bar BX.B1 feeds BX.F1..F3
module BODYC "body control" supply 1 ground 2 asleep 4mA awake 150mA
module LOCKS "lock control" supply 1 ground 2 asleep 2mA awake 70mA
module LIFT "tail lift control" supply 1 ground 2 asleep 2mA awake 110mA
module HEATC "heater control" supply 1 ground 2 asleep 2mA awake 60mA
network NET can members BODYC (7, 8), LOCKS (7, 8), LIFT (7, 8), HEATC (7, 8)
ground G1
BAT.- -> G1
BAT.+ -> BX.B1
BX.F1 -> BODYC.1
BX.F2 -> LOCKS.1
BX.F2 -> LIFT.1
BX.F3 -> HEATC.1
BODYC.2, LOCKS.2, LIFT.2, HEATC.2 -> G1
"""
DREW = (
    'at: "08:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
    'at: "08:40", total: 0.39A, steady: yes',
)
RESET = (
    'at: "08:50", out: [BX.F2]', 'at: "09:10", total: 0.01A, steady: yes', 'at: "09:12", back: [BX.F2]',
    'at: "09:40", total: 0.01A, steady: yes',
)  # fmt: skip


def used(hour: int) -> tuple[str, ...]:
    return f'at: "{hour}:10", state: key on', f'at: "{hour}:20", state: locked'


def look(hour: int, amps: float) -> str:
    return f'at: "{hour}:50", total: {amps}A, steady: yes'


LOCKS_OUT = ('at: "10:00", out: [LOCKS]', *used(10), look(10, 0.32))
LOCKS_IN = ('at: "10:55", back: [LOCKS]', 'at: "11:30", total: 0.39A, steady: yes')
LIFT_OUT = (
    'at: "11:40", out: [LIFT]', 'at: "12:00", total: 0.01A, steady: yes', 'at: "12:02", back: [LIFT]',
    'at: "12:40", total: 0.01A, steady: yes', 'at: "12:50", out: [LIFT]', *used(13), look(13, 0.01),
)  # fmt: skip
LIFT_IN = ('at: "13:55", back: [LIFT]', *used(14), look(14, 0.39))


@pytest.fixture(scope="module")
def gritter() -> Platform:
    return circuit_from(GRITTER).platform


def job(platform: Platform, *entries: str) -> Job:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def answer(platform: Platform, evidence: Evidence) -> Diagnosis:
    return diagnose(circuit_of(platform), evidence)


def tried(found: Job, part: str) -> TryVerdict:
    return next(one for one in found.standing.tries if one.out == (part,))


def chance(its: Diagnosis, part: str) -> float:
    return next((one.probability for one in its.parts if one.part == part), 0.0)


def test_drawing_after_a_use_with_it_out_it_took_its_own_share_only(gritter: Platform) -> None:
    found = job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN)
    one = tried(found, "LOCKS")
    assert one.verdict == "own-share" and one.figures == (0.39, 0.32, 0.39) and one.over_use
    assert chance(answer(gritter, found.evidence), "LOCKS") < 0.05 < chance(answer(gritter, found.evidence), "LIFT")


def test_what_goes_with_its_own_share_needs_no_other_explanation(gritter: Platform) -> None:
    assert not answer(gritter, job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN).evidence).unexplained_tries


def test_it_draws_again_whatever_is_out(gritter: Platform) -> None:
    found = job(gritter, *DREW, *RESET, *LOCKS_OUT)
    assert headline(gritter, found.standing).startswith("IT DRAWS 0.39 A")
    assert not answer(gritter, found.evidence).tests.gone


def test_in_again_and_quiet_it_has_gone_by_itself(gritter: Platform) -> None:
    found = job(
        gritter, *DREW, *RESET, *LOCKS_OUT, 'at: "10:55", back: [LOCKS]', 'at: "11:30", total: 0.01A, steady: yes'
    )
    assert headline(gritter, found.standing).startswith("GONE FOR NOW")


def test_quiet_after_a_use_with_it_out_it_is_put_in_and_used_again(gritter: Platform) -> None:
    found = job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN, *LIFT_OUT)
    one = tried(found, "LIFT")
    assert one.verdict == "involved" and one.needs[0] == "in-again" and "out-again" not in one.needs
    said = " ".join(" ".join(standing_text(gritter, found.standing, Clock())).split())
    assert "Put LIFT in again, use the car as its owner does, lock it, let the car sleep" in said
    assert "0.01 A without again (used with it out)" in said
    told = next(its for its in job_json(found)["tries"] if its["out"] == ["LIFT"])
    assert told["over_use"] is True


def test_in_again_and_not_used_since_a_quiet_look_shows_nothing_of_it(gritter: Platform) -> None:
    quiet = ('at: "13:55", back: [LIFT]', 'at: "14:05", total: 0.01A, steady: yes')
    one = tried(job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN, *LIFT_OUT, *quiet), "LIFT")
    assert one.verdict == "involved" and one.back is None and one.needs[0] == "in-again"
    then = (*used(15), look(15, 0.01))
    one = tried(job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN, *LIFT_OUT, *quiet, *then), "LIFT")
    assert one.verdict == "gone-by-itself"


def test_back_after_the_next_use_with_it_in_it_is_the_one(gritter: Platform) -> None:
    found = job(gritter, *DREW, *RESET, *LOCKS_OUT, *LOCKS_IN, *LIFT_OUT, *LIFT_IN)
    one = tried(found, "LIFT")
    assert one.verdict == "involved" and one.figures == (0.39, 0.01, 0.01, 0.01, 0.39)
    assert not {"in-again", "out-again"} & set(one.needs)
    assert chance(answer(gritter, found.evidence), "LIFT") > 0.9


def test_drawing_after_a_use_with_it_out_it_is_cleared(gritter: Platform) -> None:
    one = tried(job(gritter, *DREW, *RESET, 'at: "10:00", out: [HEATC]', *used(10), look(10, 0.38)), "HEATC")
    assert one.verdict == "cleared" and one.before is not None and one.before.amps == 0.39


def test_with_the_draw_gone_one_of_those_that_are_level_is_out_for_the_next_use(gritter: Platform) -> None:
    its = answer(gritter, job(gritter, *DREW, *RESET).evidence)
    said = " ".join(suspects_text(gritter, its).split())
    assert "LIFT and LOCKS apart, so unplug one of them before that use" in said
    assert sorted(suspects_json(gritter, its, 5)["out_before_use"]) == ["LIFT", "LOCKS"]
    drew = answer(gritter, job(gritter, *DREW).evidence)
    assert suspects_json(gritter, drew, 5)["out_before_use"] == []


QUIET = {
    "after the reset": ('at: "09:50", total: 0.01A, steady: yes', 'at: "09:40"'),
    "between the tries": ('at: "12:45", total: 0.01A, steady: yes', 'at: "12:40"'),
    "in again": ('at: "14:05", total: 0.01A, steady: yes', 'at: "13:55"'),
}


@pytest.mark.parametrize("where", [name for n in range(1, 4) for name in combinations(QUIET, n)])
def test_a_look_more_made_while_it_was_gone_clears_nobody_and_lowers_nothing_that_leads(
    gritter: Platform, where: tuple[str, ...]
) -> None:
    plain = (*DREW, *RESET, *LOCKS_OUT, *LOCKS_IN, *LIFT_OUT, *LIFT_IN)
    entries = plain
    for name in where:
        extra, below = QUIET[name]
        entries = tuple(its for entry in entries for its in ((entry, extra) if entry.startswith(below) else (entry,)))
    assert len(entries) == len(plain) + len(where)
    less, more = job(gritter, *plain), job(gritter, *entries)
    assert {one.out: one.verdict for one in more.standing.tries} == {
        one.out: one.verdict for one in less.standing.tries
    }
    assert chance(answer(gritter, more.evidence), "LIFT") >= chance(answer(gritter, less.evidence), "LIFT") - 0.01

"""What was out for nothing and is left out blinds nobody: what is read with it out is of the draw as it is. Worked out by
hand: with the socket and the charger out the draw goes on as before; so what comes back with their fuse came back with
it, and what goes while they are still out went of the vehicle itself."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job
from circuitmap.reports.job.battery_text import mean_draw
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import headline, standing_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

FLATBED = """\
platform "Orrin 4 flatbed" supply 12V return body sleep 10min..15min limit 50mA
battery BAT 70Ah
box PB
fuse PB.F1 15A mini "cab", PB.F5 25A mini "trailer"
bar PB.B1 feeds PB.F1, PB.F5
module CABC "cab control" supply 1 ground 2 asleep 8mA awake 200mA
socket TSOCK "trailer socket" supply 9 ground 13
module CHG "trailer charger" supply 1 ground 2 asleep 3mA
splice SP5
ground G1
BAT.- -> G1
BAT.+ -> PB.B1
PB.F1 -> CABC.1
PB.F5 -> SP5
SP5 -> TSOCK.9
SP5 -> CHG.1
CABC.2, TSOCK.13, CHG.2 -> G1
"""
DREW = (
    'at: "08:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
    'at: "09:00", total: 0.63A, steady: yes, looked: yes',
)
FOR_NOTHING = (
    'at: "09:10", out: [CHG]', 'at: "09:40", total: 0.63A, steady: yes', 'at: "09:45", out: [TSOCK]',
    'at: "10:10", total: 0.63A, steady: yes',
)  # fmt: skip
TAKEN = ('at: "10:20", out: [PB.F5]', 'at: "10:40", total: 0.01A, steady: yes')
BACK = ('at: "10:41", back: [PB.F5]', 'at: "10:48", total: 0.63A, steady: yes')
CHAFED = 'at: "11:05", found: {PB.F5: chafed}, remark: "rubbed on its bracket"'
FELL = 'at: "11:20", total: 0.01A, steady: yes'
MENDED = (
    'at: "11:30", cause: "wire behind PB.F5; kind chafed"', 'at: "12:00", mended: "wire behind PB.F5 sleeved"',
    'at: "12:05", back: [CHG, TSOCK]',
)  # fmt: skip


@pytest.fixture(scope="module")
def flatbed() -> Platform:
    return circuit_from(FLATBED).platform


def said(platform: Platform, found: Job) -> str:
    return " ".join(" ".join(standing_text(platform, found.standing, Clock())).split())


def test_the_fuse_is_back_though_what_was_out_for_nothing_is_not(flatbed: Platform) -> None:
    one = next(its for its in job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK).standing.tries if "PB.F5" in its.out)
    assert one.out == ("PB.F5",) and one.figures == (0.63, 0.01, 0.63)
    assert "in-again" not in one.needs and "out-again" in one.needs


def test_what_took_the_draw_and_is_out_is_no_base_to_hold_another_to(flatbed: Platform) -> None:
    taken = ('at: "09:10", out: [CHG]', 'at: "09:40", total: 0.01A, steady: yes', *TAKEN, *BACK[:1])
    found = job(flatbed, *DREW, *taken, 'at: "10:48", total: 0.01A, steady: yes')
    assert all(one.back is None for one in found.evidence.tries if "PB.F5" in one.out)


def test_what_goes_while_it_is_out_is_gone_and_the_draw_is_that_before(flatbed: Platform) -> None:
    found = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK, FELL)
    drew = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK)
    assert found.evidence.gone and not drew.evidence.gone
    assert mean_draw(found.standing.total) == mean_draw(drew.standing.total)
    assert diagnose(circuit_of(flatbed), found.evidence).tests.gone


def test_it_is_gone_also_where_nothing_else_was_tried(flatbed: Platform) -> None:
    found = job(flatbed, *DREW, *FOR_NOTHING, FELL)
    assert headline(flatbed, found.standing).startswith("GONE FOR NOW, NOT REPAIRED: it draws 0.01 A, and drew 0.63 A")


def test_mended_the_draw_as_it_came_in_is_that_before(flatbed: Platform) -> None:
    drew = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK)
    found = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK, CHAFED, FELL, *MENDED)
    assert mean_draw(found.standing.total) == mean_draw(drew.standing.total)


def test_found_chafed_and_fallen_nobody_is_asked_what_was_done(flatbed: Platform) -> None:
    found = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK, CHAFED, FELL)
    text = said(flatbed, found)
    assert "what else was switched" not in text
    assert "LET GO With the same out (CHG and TSOCK) BAT fell from 0.63 A to 0.01 A once PB.F5 was found chafed" in text
    assert job_json(found)["changed_itself"][0]["found"] == [{"place": "PB.F5", "sign": "chafed"}]
    its = diagnose(circuit_of(flatbed), found.evidence)
    assert not its.tests.gone and "Make it come back first" not in suspects_text(flatbed, its)


def test_with_nothing_found_it_is_asked(flatbed: Platform) -> None:
    found = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK, CHAFED.replace("chafed", "sound"), FELL)
    assert "what else was switched, shut or taken off" in said(flatbed, found)
    assert job_json(found)["changed_itself"][0]["found"] == []


def test_once_mended_nobody_is_asked_what_changed_before(flatbed: Platform) -> None:
    found = job(flatbed, *DREW, *FOR_NOTHING, *TAKEN, *BACK, FELL, *MENDED)
    assert not found.standing.changed and "ASK" not in said(flatbed, found)

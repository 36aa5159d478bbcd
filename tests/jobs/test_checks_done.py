"""What was checked at the battery and found right is not asked for again; one that is lower than a start is taken to need
has no time told; and the kind of a fault is no matter of the customer's."""

import pytest

from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.jobs.intake import Intake
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.quantities import Band
from circuitmap.reports.job.battery_text import BatteryTold, battery_sentences
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.reports.test_battery_text import DRAW

PONY = """\
platform "Whinchat Pony" sleep 10min..20min limit 50mA
battery BAT 70Ah
fuse F1 10A mini
lamp BOOT running 400mA
ground G
BAT.+ -> F1 -> BOOT -> G
BAT.- -> G
"""


def job(*entries: str, intake: tuple[str, ...] = ()) -> Job:
    lines = ["job: 8", "platform: pony", *intake, "entries:", *(f"  - {{{entry}}}" for entry in entries)]
    return job_of(
        platform_of([read_text(SourceFile("p.circuit", PONY))[0]]), SourceFile("j.yaml", "\n".join(lines) + "\n")
    )


def watched(*checks: str) -> Job:
    found = job(
        'at: "2026-02-01 20:00", state: locked, meter: low-current clamp, zeroed: yes',
        'at: "2026-02-01 21:00", total: 0.020A',
        'at: "2026-02-02 08:00", log: {floor: 0.02A, mean: 0.02A, peak: 0.03A, for: 10h}',
        *(f'at: "2026-02-02 09:00", battery: {{{check}}}' for check in checks),
    )
    assert found.standing.stage == "no-draw" and not found.problems
    return found


def said(*checks: str) -> str:
    return " ".join(" ".join(job_text(watched(*checks))).split())


@pytest.mark.parametrize(
    ("checks", "battery", "leads", "load"),
    [
        ((), True, True, True),
        (("rest: 12.75V",), True, False, True),
        (("rest: 12.75V", "test: passed"), False, False, False),
        (("test: passed",), True, True, False),
        (("rest: 12.30V", "test: passed"), True, True, False),
        (("rest: 12.75V", "test: bad"), True, False, False),  # it is charged, and tested again
        (("rest: 12.75V", "test: passed", "rest: 12.10V"), True, True, False),  # the latest counts
    ],
)
def test_what_was_found_right_is_not_asked_for_again(
    checks: tuple[str, ...], battery: bool, leads: bool, load: bool
) -> None:
    its = said(*checks)
    assert ("Next: is it the battery?" in its, "Next: how is the car used?" in its) == (battery, not battery)
    assert ("take both leads off" in its, "Test it under load" in its) == (leads, load)
    assert "how the car is used" in its


def test_the_report_leaves_it_out_as_well() -> None:
    def told(*checks: str) -> str:
        return " ".join(said for one in report_of(watched(*checks)).customer for said in one.sentences)

    assert "take both leads off" in told() and "take both leads off" not in told("rest: 12.75V", "test: passed")


@pytest.mark.parametrize(("ran", "starts"), [(False, True), (True, True), (False, False)])
def test_below_what_a_start_is_taken_to_need_no_time_is_told(ran: bool, starts: bool) -> None:
    intake = Intake(battery=ParkedBattery(rated=Band(95, 95), charge=Band(0.2, 0.38)), flat_after=Band(48, 72))
    text = " ".join(battery_sentences(intake, DRAW, told=BatteryTold(ran=ran, starts=starts)))
    assert ("about 38% full, below what a start is taken to need" in text) == starts
    assert ("so the engine did start" in text, "too empty to start" in text) == (ran, not ran and starts)
    if starts:
        assert "no longer starts after" not in text


def test_above_it_the_time_is_told_as_before() -> None:
    intake = Intake(battery=ParkedBattery(rated=Band(95, 95), charge=Band(0.6, 0.7)))
    text = " ".join(battery_sentences(intake, DRAW, told=BatteryTold(ran=True)))
    assert "no longer starts after" in text and "below what a start" not in text


def test_a_card_with_charging_volts_says_that_it_did_start() -> None:
    its = job('at: "20:00", state: locked, meter: low-current clamp', 'at: "21:00", total: 0.300A',
              'at: "21:10", battery: {rest: 12.0V}', 'at: "21:30", battery: {charging: 14.3V}')  # fmt: skip
    text = " ".join(" ".join(job_text(its)).split())
    assert "below what a start is taken to need; yet it was seen being charged" in text


def test_why_it_was_so_is_told_without_the_kind_of_fault() -> None:
    its = job('at: "20:00", state: locked', 'at: "21:00", total: 0.30A', 'at: "21:10", out: [BOOT], total: 0.01A',
              'at: "21:20", cause: "BOOT, its own contact stays closed; kind contact", mended: lamp renewed')  # fmt: skip
    sections = {one.heading: one.sentences for one in report_of(its).customer}
    assert sections["Why"] == ("BOOT, its own contact stays closed",)


CHARGED = ('at: "2026-02-02 09:00", state: charger on', 'at: "2026-02-02 19:00", state: charger off')


def charged(*since: str, before: tuple[str, ...] = CHARGED) -> tuple[Job, str]:
    night = (
        'at: "2026-02-01 20:00", state: locked, meter: low-current clamp, zeroed: yes',
        'at: "2026-02-01 21:00", total: 0.020A',
        'at: "2026-02-02 08:00", log: {floor: 0.02A, mean: 0.02A, peak: 0.03A, for: 10h}',
    )
    found = job(*night, *before, *since)
    assert found.standing.stage == "no-draw" and not found.problems
    return found, " ".join(" ".join(job_text(found)).split()).partition("BATTERY")[0]


def test_a_battery_that_failed_after_charging_is_the_answer() -> None:
    found, text = charged('at: "2026-02-02 23:00", battery: {rest: 12.2V, test: bad}')
    assert found.standing.battery.worn == ("BAT",)
    assert "It is the battery: BAT failed its test after charging" in text and "Renew BAT" in text
    assert "Charge it" not in text and "is it the battery?" not in text and "wait 24 hours" not in text
    told = " ".join(said for one in report_of(found).customer for said in one.sentences)
    assert "Renew BAT" in told and "wait 24 hours" not in told


def test_one_that_is_low_after_charging_is_tested_and_not_charged_again() -> None:
    found, text = charged('at: "2026-02-02 23:00", battery: {rest: 12.2V}')
    assert (found.standing.battery.worn, found.standing.battery.leaks) == ((), ("BAT",))
    assert "Test BAT under load" in text and "Charge it" not in text and "It is the battery" not in text
    passed, text = charged('at: "2026-02-02 23:00", battery: {rest: 12.2V, test: passed}')
    assert passed.standing.battery.leaks == () and "did not hold its charge" not in text


def test_one_that_failed_uncharged_is_charged_first() -> None:
    found, text = charged('at: "2026-02-02 23:00", battery: {test: bad}', before=())
    assert (found.standing.battery.worn, found.standing.battery.failed) == ((), ("BAT",))
    assert "Charge BAT full, then its test again" in text and "Renew" not in text


def test_one_that_comes_off_the_charger_stands_before_it_is_judged() -> None:
    found, text = charged()
    assert found.standing.battery.charger == "came-off"
    assert "It was charged. Let it stand 4 hours" in text and "Charge it" not in text
    on, text = charged(before=CHARGED[:1])
    assert on.standing.battery.charger == "on" and "It is on the charger" in text
    short, text = charged(before=(CHARGED[0], 'at: "2026-02-02 09:30", state: charger off'))
    assert short.standing.battery.charger == "" and "Charge it" in text

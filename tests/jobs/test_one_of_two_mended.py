"""Two things drew, and one was mended: what the rest is known to do is not forgotten, and the first is not lost."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.pages.report import report_of
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_left_so import answer, chances

CAME = (
    'at: "14:01", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
    'at: "15:10", read: {SB: 0.01A, HB: 3.21A, FL: 1.20A, FW: 2.00A, FH: 0.00A, FC: 0.00A}',
)
TRIED = (
    'at: "15:15", out: [WS]', 'at: "15:40", read: {HB: 1.21A}',
    'at: "15:41", back: [WS]', 'at: "15:55", read: {HB: 3.21A}',
)  # fmt: skip
MENDED = ('at: "16:00", cause: "WS, its contact does not open", mended: "new switch WS"', 'at: "16:05", state: locked')
LEFT = 'at: "16:40", read: {SB: 0.01A, HB: 1.21A}, steady: yes'


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_of([read_text(SourceFile("skiff.circuit", SKIFF))[0]])


def job(platform: Platform, *entries: str) -> Job:
    text = "job: 1\nflat-after: 2 days\nbattery: 140Ah\nentries:\n" + "".join(f"  - {{{one}}}\n" for one in entries)
    its = job_of(platform, SourceFile("job.yaml", text))
    assert not its.problems, its.problems
    return its


def test_what_showed_the_rest_before_counts_on(skiff: Platform) -> None:
    its = answer(skiff, *CAME, *TRIED, *MENDED, LEFT)
    assert its.netted.readings["FL"].amps == pytest.approx(1.2)
    assert its.netted.readings["FH"].amps == 0.0 and "FW" not in its.netted.readings
    assert its.parts[0].part in ("LS", "LMP")
    assert "FROM BEFORE" not in " ".join(suspects_text(skiff, its).split())  # nothing of WS ever flowed in FL
    assert suspects_json(skiff, its, 1)["from_before"] == []


def test_what_is_read_since_outweighs_it(skiff: Platform) -> None:
    its = answer(skiff, *CAME, *TRIED, *MENDED, LEFT, 'at: "16:45", read: {HB: 1.21A, FL: 0.00A, FH: 1.20A}')
    assert its.netted.readings["FL"].amps == 0.0 and its.netted.readings["FH"].amps == pytest.approx(1.2)
    assert chances(its).get("LS", 0.0) < 0.05


def test_where_its_share_is_not_gone_nothing_is_taken_over(skiff: Platform) -> None:
    its = answer(skiff, *CAME, *TRIED, *MENDED, LEFT.replace("1.21", "3.21"))
    assert not its.from_before and "FL" not in its.netted.readings


def test_a_place_that_showed_more_than_is_left_is_not_taken_over(skiff: Platform) -> None:
    its = answer(skiff, *CAME, *TRIED, *MENDED, LEFT.replace("1.21", "0.60"))
    assert its.netted.readings.keys() & {"FL", "FW", "FH", "FC"} == {"FH", "FC"}


def test_the_first_fault_stays_in_battery_line_and_report(skiff: Platform) -> None:
    second = (
        'at: "16:45", out: [LS]', 'at: "17:00", read: {HB: 0.01A}', 'at: "17:01", back: [LS]',
        'at: "17:15", read: {HB: 1.21A}',
        'at: "17:20", cause: "LS, its contact does not open", mended: "new switch LS"', 'at: "17:25", state: locked',
        'at: "18:00", read: {SB: 0.01A, HB: 0.01A}, steady: yes',
    )  # fmt: skip
    its = job(skiff, *CAME, *TRIED, *MENDED, LEFT, *second)
    lines = list(battery_lines(its))
    assert any("at 3." in line and "no longer starts" in line for line in lines), lines
    assert not any("too little" in line for line in lines)
    report = report_of(its)
    assert [(one.battery, one.before, one.after) for one in report.figures] == [
        ("HB", "3.21 A", "0.01 A"), ("SB", "0.01 A", "0.01 A"),
    ]  # fmt: skip
    pages = {section.heading: section.sentences for section in report.customer}
    assert pages["Why"] == ("WS, its contact does not open", "LS, its contact does not open")
    assert "new switch WS: 3.21 A before it was mended, 1.21 A since." in pages["We found"]
    assert "new switch LS: 1.21 A before it was mended, 0.01 A since." in pages["We found"]


def test_while_the_rest_draws_its_own_time_is_told_too(skiff: Platform) -> None:
    lines = list(battery_lines(job(skiff, *CAME, *TRIED, *MENDED, LEFT)))
    assert [line for line in lines if line.startswith("As mended so far: at 1.")], lines
    one = list(battery_lines(job(skiff, *CAME, *TRIED)))
    assert not [line for line in one if line.startswith(("As mended so far", "As it came in"))]


def test_the_two_times_are_told_one_after_the_other_each_with_its_state(skiff: Platform) -> None:
    its = job(skiff, *CAME, *TRIED, *MENDED, LEFT)
    lines = list(battery_lines(its))
    first = next(n for n, line in enumerate(lines) if line.startswith("HB, as it came in: at 3."))
    assert lines[first + 1].startswith("As mended so far: at 1.")
    assert lines[first + 1].endswith("That is still enough to go flat in 1.5 to 2.5 days.")
    told = job_json(its)["battery"]
    assert told["enough_as_mended_so_far"] == "enough"
    assert told["hours_to_no_start"][1] < told["hours_as_mended_so_far"][0]
    assert job_json(job(skiff, *CAME, *TRIED))["battery"]["hours_as_mended_so_far"] is None


GALLEY = """\
platform "Hulk" supply 12V sleep 1min..2min limit 20mA
battery BAT 90Ah
fuse F0 40A mega "galley", F9 20A mini "bow"
fuse F1 10A mini "stove", F2 10A mini "tap"
module STOVE "stove" supply 1 ground 2 asleep 1mA
module TAP "tap" supply 1 ground 2 asleep 1mA
module BOW "bow" supply 1 ground 2 asleep 1mA
ground G
BAT.+ -> F0 -> F1 -> STOVE.1
F0 -> F2 -> TAP.1
BAT.+ -> F9 -> BOW.1
STOVE.2, TAP.2, BOW.2, BAT.- -> G
"""


def test_only_where_what_was_mended_flowed_it_is_read_again_and_that_first() -> None:
    """By hand: of F0's 0.40 A the stove, mended since, took 0.25 A; F9 and F2 never carried any of that."""
    hulk = platform_of([read_text(SourceFile("hulk.circuit", GALLEY))[0]])
    its = answer(
        hulk, 'at: "14:01", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
        'at: "14:10", total: 1.00A, read: {F0: 0.40A, F2: 0.15A, F9: 0.60A}',
        'at: "14:15", out: [STOVE]', 'at: "14:20", total: 0.75A', 'at: "14:21", back: [STOVE]',
        'at: "14:25", total: 1.00A', 'at: "14:30", cause: "STOVE leaks", mended: "new STOVE"',
        'at: "14:31", state: locked', 'at: "14:40", total: 0.75A, steady: yes',
    )  # fmt: skip
    assert its.netted.readings.keys() >= {"F0", "F2", "F9"}
    assert [one["place"] for one in suspects_json(hulk, its, 1)["from_before"]] == ["F0"]
    said = " ".join(suspects_text(hulk, its).split())
    assert "FROM BEFORE F0 0.40 A, read before the mending, which took its own share away: read it again first." in said
    first = its.tests.choices[0].action
    assert (first.doing, first.parts) == ("read-again", ("F0",))

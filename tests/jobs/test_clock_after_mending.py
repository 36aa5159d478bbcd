"""A peak as high as the draw was, in the night after mending, is no draw where it comes as often as a part wakes by its
own clock and takes no more than what wakes with it. Worked out by hand: 300 + 150 + 630 + 120 mA awake are 1.20 A, for a
minute each 4 h, and another until all sleep: 10 mA in the mean."""

import pytest

from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_events_without_it import CAME, REEFER
from tests.jobs.test_out_over_a_use import job

CLOCKED = REEFER.replace("awake 120mA", "awake 120mA wakes every 4h for 60s").replace(
    "(7, 8)\nground", "(7, 8) run-on 60s\nground"
)

MENDED = (
    'at: "2026-02-02 09:00", cause: "HANDLE, water in it"', 'at: "2026-02-02 14:00", mended: "HANDLE renewed"',
    'at: "2026-02-02 14:05", state: locked',
)  # fmt: skip


def night(peak: str = "1.20A", period: str = "4h", mean: str = "0.025A") -> str:
    return f'at: "2026-02-03 07:00", log: {{floor: 0.015A, mean: {mean}, peak: {peak}, period: {period}, for: 13h}}'


@pytest.fixture(scope="module")
def clocked() -> Platform:
    return circuit_from(CLOCKED).platform


def after(found: Job) -> tuple[str, str]:
    return found.standing.after.outcome, found.standing.after.why


def test_what_comes_as_often_as_the_sheet_says_is_that_clock(clocked: Platform) -> None:
    found = job(clocked, *CAME, *MENDED, night())
    assert after(found) == ("repaired", "")
    said = " ".join(" ".join(standing_text(clocked, found.standing, Clock())).split())
    assert "The peak of 1.20 A came every 4 h: as often as TOWC, towing control wakes by its own clock" in said
    told = job_json(found)["after_mending"]["by_its_clock"]
    assert told == {"name": "TOWC", "peak": 1.2, "period": 240.0, "most": pytest.approx(1.2), "networks": ["NET"]}


def test_a_night_with_no_such_peak_needs_no_clock(clocked: Platform) -> None:
    found = job(clocked, *CAME, *MENDED, night(peak="0.02A", mean="0.016A"))
    assert after(found) == ("repaired", "") and job_json(found)["after_mending"]["by_its_clock"] is None


@pytest.mark.parametrize(
    "log",
    [
        night(period="3h"),  # more often than the sheet says
        night(period="9min"),  # as often as the draw came
        night(peak="1.60A"),  # more than all that wakes
        night(mean="0.049A"),  # up for much longer than a minute
    ],
)
def test_else_it_is_the_draw_again(clocked: Platform, log: str) -> None:
    assert after(job(clocked, *CAME, *MENDED, log)) == ("cannot-tell", "peak")


def test_nor_where_the_draw_came_as_often_before(clocked: Platform) -> None:
    came = tuple(entry.replace("period: 9min", "period: 4h") for entry in CAME)
    assert after(job(clocked, *came, *MENDED, night())) == ("cannot-tell", "peak")


def test_nor_where_no_clock_is_typed_in() -> None:
    assert after(job(circuit_from(REEFER).platform, *CAME, *MENDED, night())) == ("cannot-tell", "peak")


@pytest.mark.parametrize(("line", "outcome"), [("absent: [TOWC]", "cannot-tell"), ("looked: yes", "repaired")])
def test_nor_of_a_part_that_this_car_has_not(clocked: Platform, line: str, outcome: str) -> None:
    found = job(clocked, CAME[0], f'at: "2026-02-01 18:05", {line}', *CAME[1:], *MENDED, night(peak="1.08A"))
    assert found.standing.after.outcome == outcome

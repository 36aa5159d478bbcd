"""A lamp with which the draw went is not proven while what turns it on is what leads; a part that may be at fault itself
is."""

import pytest

from circuitmap.flows.job import job_from, next_steps
from circuitmap.flows.questions import platform_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_a_lamp_was_seen import BARN
from tests.reports.test_report_agrees_with_itself import TRAM, TRIED


def job(text: str, *entries: str) -> Job:
    platform = platform_from((SourceFile("p.circuit", text),))
    return job_from(platform, "job: X\nentries:\n" + "".join(f"- {{{entry}}}\n" for entry in entries), "card.yaml")


def told(its: Job) -> str:
    steps = next_steps(its)
    return " ".join(" ".join(job_text(its, steps.lines, steps.maker)).split())


LAMP = (
    "at: 08:00, state: locked, meter: low-current-clamp",
    "at: 09:00, read: {BAT: 1.52A, F1: 0A, F2: 1.50A, F3: 0A}",
    "at: 09:10, out: [GROOM]",
    "at: 09:40, read: {BAT: 0.005A}",
)


def test_what_only_takes_what_something_else_makes_it_take_is_not_proven() -> None:
    its = job(BARN, *LAMP)
    assert its.standing.leading is not None and its.standing.leading.out == ("GROOM",)
    said = told(its)
    assert "Nothing more at GROOM: as the readings stand it only takes what" in said
    assert "Test its inputs apart" not in said and "Measure the volts lost" not in said


@pytest.mark.parametrize("number", [4, 6])
def test_what_may_be_at_fault_itself_is(number: int) -> None:
    said = told(job(TRAM, *TRIED[:number]))
    assert "Nothing more at HEATER" not in said
    assert "Take HEATER out once more" in said and "Measure the volts lost on its feed" in said


def test_without_an_answer_it_is_proven_as_before() -> None:
    said = " ".join(" ".join(job_text(job(BARN, *LAMP))).split())
    assert "Test its inputs apart: the switch, relay or module that turns it on." in said

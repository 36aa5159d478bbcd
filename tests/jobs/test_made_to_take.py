"""A lamp with which the draw went is not proven while what turns it on is what leads; a part that may be at fault itself
is."""

import pytest

from circuitmap.flows.job import job_from, next_steps
from circuitmap.flows.questions import platform_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_a_lamp_was_seen import BARN
from tests.diagnosis.test_asks_for_an_output import CELLAR, DRAWS
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


RELAY_OUT = (
    "at: 10:10, out: [K1]", "at: 10:20, total: 0.01A, change: gone, steady: yes", "at: 10:22, back: [K1]",
    "at: 10:30, total: 8.49A, change: again, steady: yes",
)  # fmt: skip


@pytest.mark.parametrize("volts", ["held", "stuck"])
def test_a_relay_that_is_held_is_not_asked_about_again(volts: str) -> None:
    """Its coil was measured: what drives it is wrong. One that is stuck is what is wrong itself."""
    drawn = DRAWS if volts == "held" else (*DRAWS[:2], "at: 09:10, read: {F1: 8.33A, F2: 0A, F3: 0A, F4: 0A}")
    its = job(CELLAR, *drawn, f"at: 10:00, relays: {{K1: {volts}}}", *RELAY_OUT)
    said = told(its)
    is_held = volts == "held"
    assert its.standing.in_hand is not None
    assert [one.what for one in its.standing.in_hand.failed] == (["inputs"] if is_held else [])
    assert its.standing.in_hand.needs == ()
    assert its.standing.in_hand.verdict == ("involved" if is_held else "proven")  # by itself wrong, it went and came
    assert "say whether anything drives it" not in said and "Test what it feeds apart" not in said
    assert ("relay K1, chiller relay: something holds it in, its contact is not stuck." in said) is is_held
    assert ("PROVEN: K1, chiller relay" in said) is not is_held


def test_a_relay_that_nobody_measured_is() -> None:
    said = " ".join(" ".join(job_text(job(CELLAR, *DRAWS, *RELAY_OUT))).split())
    assert "volts across its coil say whether anything drives it" in said

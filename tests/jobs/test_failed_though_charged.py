"""A battery that failed its test, and had been charged, is renewed: it is not charged and tested for ever. And of several
batteries each that gives too much has its time to flat."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.reports.test_report_agrees_with_itself import TRAM

QUIET = ("at: '2026-03-02 08:00', state: locked, meter: low-current-clamp, resolution: 1mA",
         "at: '2026-03-02 09:00', read: {BAT: 2mA}")  # fmt: skip
BAD = "at: '2026-03-02 09:20', battery: {rest: 12.1V, test: bad}"
TWO = TRAM.replace('battery BAT 45Ah\n', 'battery BAT 45Ah\nbattery AUX 90Ah\nfuse CAB.F4 10A mini\n') + (
    'module FRIDGE "fridge" supply 1 ground 2 asleep 1mA awake 300mA\nAUX.+ -> CAB.F4 -> FRIDGE.1\n'
    "AUX.-, FRIDGE.2 -> case\n"
)  # fmt: skip


def job(*entries: str, text: str = TRAM) -> Job:
    platform = platform_from((SourceFile("p.circuit", text),))
    return job_from(platform, "job: X\nentries:\n" + "".join(f"- {{{entry}}}\n" for entry in entries), "card.yaml")


def told(its: Job) -> str:
    words = [*job_text(its), suspects_text(its.platform, diagnose(its.circuit, its.evidence))]
    return " ".join(" ".join(words).split())


@pytest.mark.parametrize(("before", "after", "renew"), [
    ((), (), False),
    (("at: '2026-02-28 20:00', state: charger on", "at: '2026-03-01 06:00', state: charger off"), (), True),
    (("at: '2026-03-02 07:00', state: charger on", "at: '2026-03-02 07:30', state: charger off"), (), False),
    (("at: '2026-02-20 20:00', state: charger on", "at: '2026-02-21 06:00', state: charger off"), (), False),
    ((), ("at: '2026-03-03 09:20', battery: {test: bad}",), True),
])  # fmt: skip
def test_what_failed_charged_is_renewed(before: tuple[str, ...], after: tuple[str, ...], renew: bool) -> None:
    said = told(job(*before, *QUIET, BAD, *after))
    assert ("charging it did not help: renew it" in said) == renew
    assert ("charge it full and test it again" in said) == (not renew)


def test_a_test_that_is_passed_later_ends_it() -> None:
    said = told(job(*QUIET, BAD, "at: '2026-03-03 09:20', battery: {test: fine}"))
    assert "renew it" not in said and "charge it full and test it again" not in said


def test_what_was_out_for_nothing_makes_no_draw() -> None:
    its = job(*QUIET, "at: '2026-03-02 09:10', out: [HEATER]", "at: '2026-03-02 09:40', read: {BAT: 2mA}")
    assert its.standing.tries[0].verdict in ("cleared", "cannot-tell")
    assert headline(its.platform, its.standing).startswith("WITHIN THE LIMIT")


def test_each_battery_that_gives_too_much_has_its_time() -> None:
    read = "at: 09:00, read: {{BAT: 0.40A, AUX: {aux}}}"
    both = told(job("at: 08:00, state: locked", read.format(aux="0.30A"), text=TWO))
    one = told(job("at: 08:00, state: locked", read.format(aux="0.002A"), text=TWO))
    assert "AUX: at 0.2" in both and "BAT: at 0.3" in both
    assert "Its capacity is that of the sheet" in both
    assert "AUX: at" not in one

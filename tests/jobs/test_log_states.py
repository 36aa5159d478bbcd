"""The floor and the event of a log are two states of the draw: neither is the total of the night, neither ends the hunt
for what comes and goes, and the time to flat stays that of the mean."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.netting import netted
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.job import Job
from circuitmap.reports.job.battery_text import mean_draw
from circuitmap.reports.pages.report import report_of
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.reports.words.limit_words import draws_words
from circuitmap.wiring.platform import Platform
from tests.jobs.test_repaired import van  # noqa: F401

LOCKED = "{at: '2026-03-01 18:00', state: locked, meter: low-current clamp}"
LOG = "{at: '2026-03-02 06:00', log: {floor: 0.03A, mean: 1.03A, peak: 3.03A, period: 60min, for: 11h}}"
FLOOR, LATER_FLOOR = (
    "{at: '2026-03-02 06:10', during: floor, total: 0.03A}",
    "{at: '2026-03-02 06:30', during: floor, total: 0.03A}",
)
EVENT = "{at: '2026-03-02 06:20', during: event, total: 2.90A}"
AFTERWARDS = "{at: '2026-03-02 09:00', log: {floor: 0.03A, mean: 0.03A, peak: 0.04A, for: 2h}}"


def job(van: Platform, *entries: str) -> Job:  # noqa: F811
    text = "job: 1\nplatform: van\nentries:\n" + "".join(f"  - {entry}\n" for entry in entries)
    found = job_from(van, text, "job.yaml")
    assert not found.problems, found.problems
    return found


@pytest.mark.parametrize("entries", [(FLOOR,), (EVENT,), (FLOOR, EVENT), (EVENT, LATER_FLOOR), (EVENT, EVENT)])
def test_the_log_stays_the_total(van: Platform, entries: tuple[str, ...]) -> None:  # noqa: F811
    standing = job(van, LOCKED, LOG, *entries).standing
    total = standing.total
    assert standing.stage == "draws" and total is not None and total.log is not None
    assert draws_words(total, standing.limit).startswith("3.03 A at times, 0.030 A in between, 1.03 A on average")
    assert mean_draw(total) == mean_draw(job(van, LOCKED, LOG).standing.total)
    assert standing.totals["BAT"] is total


@pytest.mark.parametrize(
    ("entries", "amps"),
    [((), 3.03), ((FLOOR,), 3.03), ((EVENT,), 2.90), ((FLOOR, EVENT), 2.90), ((EVENT, LATER_FLOOR), 2.90)],
)
def test_the_event_is_what_is_hunted(van: Platform, entries: tuple[str, ...], amps: float) -> None:  # noqa: F811
    found = job(van, LOCKED, LOG, *entries)
    ready = prepared_for(circuit_of(van), {}, found.evidence)
    (total,) = netted(found.evidence.readings, ready.tree, ready.routes).totals
    assert total.amps == pytest.approx(amps)
    assert total.log is not None and total.log.comes_and_goes


def test_what_nobody_tied_to_a_state_counts_as_it_did(van: Platform) -> None:  # noqa: F811
    alone = job(van, LOCKED, FLOOR).standing
    assert alone.total is not None and alone.total.amps == pytest.approx(0.03)
    later = job(van, LOCKED, LOG, AFTERWARDS, FLOOR.replace("06:10", "09:10")).standing
    assert later.totals["BAT"].log is None  # the later log shows nothing that comes and goes


def test_a_draw_that_was_at_its_floor_is_not_what_it_is_with_everything_in(van: Platform) -> None:  # noqa: F811
    out = ("{at: '2026-03-02 06:50', out: [LIFT]}", AFTERWARDS.replace("09:00", "12:00").replace("2h", "4h"))
    (one,) = job(van, LOCKED, LOG, FLOOR, *out).standing.tries
    assert one.verdict == "involved" and one.figures[0] == pytest.approx(3.03)


QUIET = "{at: '2026-03-02 06:12', during: floor, read: {CAB.F22: 0.0mV, CAB.F23: 0.0mV}}"
QUIET_AGAIN = "{at: '2026-03-02 06:14', during: floor, read: {CAB.F23: 0.0mV}}"
UP = "{at: '2026-03-02 06:22', during: event, read: {CAB.F22: 11.0mV}}"


def told(*entries: str) -> str:
    its = open_platform(Path(__file__).parents[2] / "sample_vehicles" / "van")
    found = job(its, LOCKED, LOG, *entries)
    return " ".join(not_known_sentences(its, diagnose(circuit_of(its), found.evidence)))


def test_what_was_quiet_at_the_floor_is_named_once_until_it_was_read_while_it_was_up() -> None:
    assert "CAB.F22 and CAB.F23 are from the quiet phase" in told(QUIET, QUIET_AGAIN)
    assert "CAB.F23 is from the quiet phase" in told(QUIET, QUIET_AGAIN, EVENT, UP)


UNSAID_EVENT, UNSAID_FLOOR = EVENT.replace("during: event, ", ""), FLOOR.replace("during: floor, ", "")
OTHERWISE = "{at: '2026-03-02 06:20', total: 0.60A}"


@pytest.mark.parametrize("entry", [UNSAID_EVENT, UNSAID_FLOOR])
def test_a_look_at_the_height_of_one_of_its_states_replaces_no_log(van: Platform, entry: str) -> None:  # noqa: F811
    its, alone = job(van, LOCKED, LOG, entry), job(van, LOCKED, LOG)
    assert its.standing.total is not None and its.standing.total.log is not None
    assert mean_draw(its.standing.total) == mean_draw(alone.standing.total)


def test_a_look_at_another_height_does(van: Platform) -> None:  # noqa: F811
    total = job(van, LOCKED, LOG, OTHERWISE).standing.total
    assert total is not None and total.log is None and total.amps == pytest.approx(0.60)


def test_the_customer_s_report_says_that_it_comes_and_goes(van: Platform) -> None:  # noqa: F811
    its = job(van, LOCKED, LOG, UNSAID_EVENT)
    said = " ".join(sentence for part in report_of(its).customer for sentence in part.sentences)
    assert "it drew 3.03 A at times, 0.030 A in between, 1.03 A on average" in said

"""A floor above the limit with events over it: two states of one vehicle. An event is no new total, a try at the floor
is held to the floor, hours to flat go by the mean. Source: arithmetic, 0.44 A + 4.5 A x 25 s / 600 s = 0.63 A."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.evidence.log_states import state_at
from circuitmap.evidence.logs import Log
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.battery_text import mean_draw
from circuitmap.reports.pages.report import report_of
from tests.diagnosis.test_answers import circuit_from

GATE = """\
platform "Rowan Finch 60 tipper" supply 12V return body sleep 5min..8min limit 30mA
battery BAT 100Ah
box CAB "cab panel" at "behind the seat" reach 2min
fuse CAB.F1 80A, CAB.F2 20A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
alternator ALT "alternator" supply B+ ground 31
module TAILC "tailgate controller" supply 1 ground 2 wake 6 by opening asleep 1mA awake 150mA
motor TAILM "tailgate lock motor" running 4.5A
switch LATCH "latch contact" positions locked, open closes 1 to 2 in locked
module DASH "display" supply 1 ground 2 asleep 5mA awake 200mA
ground G1
output TAILC.4 feeds from 1 "lock motor"
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> ALT.B+
CAB.F2 -> TAILC.1
CAB.F3 -> DASH.1
TAILC.4 -> TAILM -> G1
TAILC.6 -> LATCH.1
LATCH.2, TAILC.2, DASH.2, ALT.31 -> G1
BAT.- -> G1
"""
LOCKED = "at: '2026-04-13 18:00', state: locked, meter: clamp, resolution: 10mA, zeroed: yes"
STEADY = "at: '2026-04-13 18:34', total: 0.44A, read: {F1: 0.28A, F2: 0.15A, F3: 0.01A}, steady: yes"
LOG = "at: '2026-04-14 07:50', log: {floor: 0.44A, peak: 4.94A, mean: 0.63A, for: 13h}"
EVENT = "at: '2026-04-14 08:10', total: 4.94A, read: {F1: 0.28A, F2: 4.65A}, during: event"
ALT_OUT = "at: '2026-04-14 08:24', out: [ALT]"
LEFT = "at: '2026-04-14 08:45', total: 0.16A, during: floor, steady: yes"
ALT_BACK = "at: '2026-04-14 08:52', back: [ALT]"
AGAIN = "at: '2026-04-14 09:15', total: 0.44A, during: floor, steady: yes"
TAILC_OUT = "at: '2026-04-14 09:48', out: [TAILC]"
QUIET = "at: '2026-04-14 10:15', total: 0.29A, steady: yes"
TAILC_BACK = "at: '2026-04-14 10:17', back: [TAILC]"
AS_BEFORE = "at: '2026-04-14 10:35', total: 0.44A, during: floor"
START = (LOCKED, STEADY, LOG)


@pytest.fixture(scope="module")
def gate() -> Circuit:
    return circuit_from(GATE)


def job(gate: Circuit, *entries: str) -> Job:
    text = "job: 1\nplatform: gate\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(gate.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def unsaid(entry: str) -> str:
    return entry.replace(", during: event", "").replace(", during: floor", "")


@pytest.mark.parametrize("event", [EVENT, unsaid(EVENT)])
def test_an_event_is_no_new_total(gate: Circuit, event: str) -> None:
    before, its = job(gate, *START), job(gate, *START, event)
    assert its.standing.total is not None and its.standing.total.log is not None
    assert mean_draw(its.standing.total) == mean_draw(before.standing.total)
    found = diagnose(gate, its.evidence)
    (total,) = found.netted.totals
    assert total.amps == pytest.approx(0.44)
    places = {segment.place: segment.amps for segment in found.netted.segments}
    assert places["CAB.F2"] == pytest.approx(0.15), "what flows in between is looked for"


def test_a_place_read_in_an_event_alone_is_to_be_read_in_between(gate: Circuit) -> None:
    found = diagnose(gate, job(gate, LOCKED, LOG, EVENT).evidence)
    why = {aside.reading.place: aside.why for aside in found.netted.set_aside}
    assert why["CAB.F2"] == "event-phase"


def test_what_shows_nothing_in_an_event_shows_nothing_in_between(gate: Circuit) -> None:
    quiet = EVENT.replace("F1: 0.28A", "F3: 0.00A")
    found = diagnose(gate, job(gate, LOCKED, LOG, quiet).evidence)
    assert "CAB.F3" in {segment.place for segment in found.netted.segments}
    assert "CAB.F3" not in {aside.reading.place for aside in found.netted.set_aside}


def test_a_try_at_the_floor_is_held_to_the_floor(gate: Circuit) -> None:
    its = job(gate, *START, EVENT, ALT_OUT, LEFT, ALT_BACK, AGAIN)
    (one,) = its.standing.tries
    assert (one.verdict, one.figures) == ("proven", (0.44, 0.16, 0.44))  # an alternator is taken off once
    assert not its.evidence.gone


def test_a_try_that_says_no_state_is_held_to_the_floor_too(gate: Circuit) -> None:
    its = job(gate, *START, EVENT, TAILC_OUT, QUIET, TAILC_BACK, AS_BEFORE)
    (one,) = its.standing.tries
    assert one.figures == (0.44, 0.29, 0.44) and one.verdict != "gone-by-itself"
    assert not its.evidence.gone


def test_an_event_does_not_show_that_the_floor_is_back(gate: Circuit) -> None:
    up = "at: '2026-04-14 09:00', total: 4.94A"
    for event in (up, up + ", during: event"):
        (one,) = job(gate, *START, ALT_OUT, LEFT, ALT_BACK, event).standing.tries
        assert one.back is None
        (one,) = job(gate, *START, ALT_OUT, LEFT, ALT_BACK, event, AGAIN).standing.tries
        assert one.figures == (0.44, 0.16, 0.44)


def test_a_try_in_an_event_is_held_to_the_event(gate: Circuit) -> None:
    its = job(gate, *START, EVENT, ALT_OUT, "at: '2026-04-14 08:45', total: 4.66A, during: event")
    (one,) = its.standing.tries
    assert one.figures == (4.94, 4.66)


def test_of_an_event_that_is_the_draw_a_try_at_the_floor_is_held_to_the_floor(gate: Circuit) -> None:
    log = LOG.replace("0.44A", "0.02A").replace("0.63A", "0.25A")
    out = (TAILC_OUT, "at: '2026-04-14 10:15', total: 0.02A, during: floor")
    (one,) = job(gate, LOCKED, log, *out).standing.tries
    assert one.figures == (0.02, 0.02) and (one.verdict, one.reason) == ("cannot-tell", "between")


def test_less_than_the_floor_is_no_floor(gate: Circuit) -> None:
    """A floor that is too much is a draw: once it is gone, what is left is a new total."""
    log = Log(0.44, 4.94, 0.63, limit=0.03, state="floor", drew=0.44)
    assert state_at(0.45, 0.02, log) == state_at(0.42, 0.02, log) == "floor"
    assert state_at(0.16, 0.02, log) == state_at(0.01, 0.02, log) == ""
    assert state_at(4.6, 0.02, log) == "event"


def test_the_report_tells_no_event_as_what_it_drew(gate: Circuit) -> None:
    its = job(gate, *START, EVENT, ALT_OUT, LEFT, ALT_BACK, AGAIN)
    said = " ".join(sentence for part in report_of(its).customer for sentence in part.sentences)
    assert "it drew 0.44 A" in said and "it drew 4.94 A" not in said

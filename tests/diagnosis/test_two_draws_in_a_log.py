"""A log whose floor is above the limit, and over which more comes than the limit by itself: both are told, and how to
find the second. Source: arithmetic on the log, 0.63 - 0.44 = 0.19 A of 4.94 - 0.44 = 4.50 A."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.reports.pages.report import report_of
from circuitmap.reports.suspects.comes_and_goes import logged_total_json, rose_with_it
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.limit_words import draws_words
from tests.diagnosis.test_answers import section_of
from tests.jobs.test_events_over_a_floor import EVENT, LOCKED, LOG, STEADY, gate, job  # noqa: F401

PRINTED = "at: '2026-04-14 08:00', total: 0.44A, read: {F1: 0.28A, F2: 0.15A}, during: floor"


def told(its: Circuit, *entries: str) -> str:
    found = diagnose(its, job(its, *entries).evidence)
    return " ".join(suspects_text(its.platform, found).split())


def test_both_are_told_and_the_second_is_looked_for_while_it_is_up(gate: Circuit) -> None:  # noqa: F811
    text = told(gate, LOCKED, STEADY, LOG)
    assert "0.44 A all the time, looked for here, and 4.50 A more that comes and goes, 0.19 A of it on average" in text
    assert "WHOSE 4.50 A: by height alone, which is weak: TAILC, tailgate controller" in text
    assert "WHILE UP Leave the recorder on the total and read while it is up." in text
    assert "While it is up: " not in text, "the steps are for the floor, which is there at any time"


@pytest.mark.parametrize(
    ("log", "why"),
    [
        (LOG.replace("0.63A", "0.45A"), "what comes takes less than the limit in the mean"),
        (LOG.replace("4.94A", "0.50A").replace("0.63A", "0.48A"), "it hardly moved"),
    ],
)
def test_what_comes_is_no_second_draw(gate: Circuit, log: str, why: str) -> None:  # noqa: F811
    assert "IN THE LOG" not in told(gate, LOCKED, STEADY, log), why


def test_where_the_events_are_the_draw_a_floor_above_the_limit_is_told(gate: Circuit) -> None:  # noqa: F811
    second = "The floor is above the limit, too: 0.44 A is a second thing"
    assert second in told(gate, LOCKED, LOG.replace("0.63A", "1.2A"))
    assert second not in told(gate, LOCKED, LOG.replace("0.44A", "0.02A"))


def test_where_it_was_seen_to_come_is_told_and_narrows_whose_it_is(gate: Circuit) -> None:  # noqa: F811
    its = job(gate, LOCKED, LOG, PRINTED, EVENT)
    found = diagnose(gate, its.evidence)
    assert [(one.place, round(one.amps, 2)) for one in rose_with_it(found)] == [("CAB.F2", 4.5), ("CAB.F1", 0.0)]
    text = " ".join(suspects_text(gate.platform, found).split())
    assert "What comes over the floor is seen at CAB.F2 (4.50 A). It is not seen at CAB.F1." in text
    assert "WHILE UP" not in text
    told = logged_total_json(gate.platform, found)
    assert told is not None and told["state"] == "floor" and told["comes_over"] == pytest.approx(4.5)
    assert [fit["about"] for fit in told["whose"][0]["by_height"]] == ["TAILC"], "its output drives the motor"


def test_what_rose_elsewhere_is_not_whose_it_is(gate: Circuit) -> None:  # noqa: F811
    up = EVENT.replace("F1: 0.28A, F2: 4.65A", "F1: 4.78A, F2: 0.15A")
    found = diagnose(gate, job(gate, LOCKED, LOG, PRINTED, up).evidence)
    told = logged_total_json(gate.platform, found)
    assert told is not None and told["whose"][0]["by_height"] == []


def test_the_headline_and_the_report_have_both(gate: Circuit) -> None:  # noqa: F811
    its = job(gate, LOCKED, STEADY, LOG)
    assert its.standing.total is not None
    words = "0.44 A all the time, 4.94 A at times, 0.63 A on average"
    assert draws_words(its.standing.total, its.standing.limit) == words
    assert words in " ".join(sentence for part in report_of(its).customer for sentence in part.sentences)
    assert "IN THE LOG" in section_of(suspects_text(gate.platform, diagnose(gate, its.evidence)), "IN THE LOG")

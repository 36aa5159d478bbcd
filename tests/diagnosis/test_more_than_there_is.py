"""A fuse that shows more than the total is misread, whatever else was read: it is read again first, and the rest of the
readings still counts. The currents are made up; Kirchhoff's current law says what they must add up to."""

from circuitmap.diagnosis.seen.netting import impossible_in
from tests.diagnosis.test_relays_by_feed import CHART, found

MORE = CHART.replace("B.F3 feeds LOCK", "B.F3 feeds LOCK\nB.F4 feeds TOW").replace(
    "relay B.K1", 'module TOW "tow controller" supply A\nrelay B.K1'
)


def test_it_is_named_and_read_again_before_anything_is_pulled() -> None:
    answer, said = found(MORE, "0.60A", "B.F4=2.7mV", "B.F3=18.0mV", "B.F1=0.0mV", "B.F2=0.0mV")
    (clash,) = answer.contradictions
    assert [reading.place for reading in impossible_in(clash)] == ["B.F3"]
    assert "READ AGAIN: B.F3 (2.43 A): that is more than there is to flow. What follows takes it for misread." in said
    assert answer.tests.choices[0].action.parts == ("B.F3",)
    assert answer.tests.choices[0].action.doing == "read-again"
    assert answer.subjects[0].about in ("TOW", "B.F4")
    assert "LOOK AT" in said


def test_one_reading_against_the_total_blames_neither() -> None:
    _, said = found(MORE, "0.60A", "B.F3=18.0mV")
    assert "That, or the total, is not right." in said
    assert "LOOK AT" not in said


def test_what_was_read_twice_is_not_read_a_third_time() -> None:
    answer, said = found(MORE, "0.60A", "B.F3=18.0mV", "B.F3=18.0mV", "B.F4=2.7mV", "B.F1=0.0mV", "B.F2=0.0mV")
    (clash,) = answer.contradictions
    assert impossible_in(clash, answer.netted.read_twice) == ()
    assert "the total and the readings behind it cannot both be right" in said


def test_where_several_together_are_too_much_nobody_is_blamed() -> None:
    """0.5 and 0.5 A behind 0.6 A: either may be the wrong one, or the total."""
    answer, _ = found(MORE, "0.60A", "B.F3=3.7mV", "B.F4=2.3mV", "B.F2=1.7mV")
    assert answer.contradictions
    for clash in answer.contradictions:
        assert impossible_in(clash) == ()


def test_two_against_a_total_that_nothing_speaks_for_blame_neither() -> None:
    """2.4 A and 2.0 A of 0.2 A: rather the total is wrong than both of them."""
    answer, said = found(MORE, "0.20A", "B.F3=18.0mV", "B.F4=9.2mV", "B.F1=0.0mV", "B.F2=0.0mV")
    (clash,) = answer.contradictions
    assert impossible_in(clash) == ()
    assert "takes them for misread" not in said


def test_two_are_named_where_the_rest_adds_up_to_the_total() -> None:
    answer, _ = found(MORE, "0.50A", "B.F1=3.7mV", "B.F3=18.0mV", "B.F4=9.2mV", "B.F2=0.0mV")
    (clash,) = answer.contradictions
    assert {reading.place for reading in impossible_in(clash)} == {"B.F3", "B.F4"}

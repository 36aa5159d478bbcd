"""What comes as far apart each time follows a clock: a module's output can, a wire that rubs or a contact that sticks hardly.

The chances are judgement; what is tested is which way they point, and that nothing else is moved by them."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.logged_course import course_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_measured_at_the_floor import COOLER, LOCKED, LOG, UP, cooler, evidence  # noqa: F401

NO_PERIOD = LOG.replace(", period: 60min", "")
SAID = NO_PERIOD + ", remark: 'twelve times, 20 min each, every 60 min'"
DRIVEN = "at: '2026-04-14 07:44', relays: {K1: held}"
WIRE = "control wire of CAB.K1"


def answer(its: Circuit, *entries: str) -> Diagnosis:
    return diagnose(its, evidence(its, *entries))


def share(found: Diagnosis, part: str) -> float:
    return sum(one.probability for one in found.parts if one.part == part)


@pytest.mark.parametrize(
    ("log", "course"),
    [
        (LOG, "by the clock"),
        (SAID, "by the clock"),
        (NO_PERIOD, "comes and goes"),
        (LOG.replace("12h", "3h"), "comes and goes"),
        (LOG.replace("60min", "4h"), "comes and goes"),
    ],
)
def test_even_and_often_enough_is_the_clock(cooler: Circuit, log: str, course: str) -> None:  # noqa: F811
    """By hand: twelve times in 12 h; three in 3 h are too few to say, as are three in 12 h at 4 h."""
    (reading,) = (its for its in evidence(cooler, LOCKED, log).readings if its.log is not None)
    assert course_of(reading) == course


def test_of_a_wire_that_rubs_and_an_output_it_is_the_output_that_keeps_time(cooler: Circuit) -> None:  # noqa: F811
    without, by_clock = (answer(cooler, LOCKED, log, UP, DRIVEN) for log in (NO_PERIOD, LOG))
    before = share(without, "TIMER") / share(without, WIRE)
    now = share(by_clock, "TIMER") / share(by_clock, WIRE)
    assert now > 5 * before
    assert share(by_clock, "TIMER") > share(by_clock, WIRE)
    assert "comes and goes by the clock" in " ".join(suspects_text(cooler.platform, by_clock).split())


def test_a_load_that_switches_itself_keeps_time_behind_a_contact_that_sticks() -> None:
    """A cooler with a thermostat inside goes on and off behind a contact that never opens."""
    stuck = "at: '2026-04-14 07:44', relays: {K1: stuck}"
    plain = circuit_from(COOLER)
    itself = circuit_from(COOLER.replace('"cooler compressor"', '"cooler compressor with thermostat"'))
    of_plain, of_itself = (
        share(answer(its, LOCKED, LOG, UP), "CAB.K1") / share(answer(its, LOCKED, LOG, UP), "TIMER")
        for its in (plain, itself)
    )
    assert of_itself > 2 * of_plain
    assert share(answer(plain, LOCKED, LOG, UP, stuck), "CAB.K1") > 0.5, "measured, it counts more than the clock"

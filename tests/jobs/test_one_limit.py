"""One limit in one answer: what is known to flow with what was switched on is told as that, and a switch that was turned
off is held to what is left without it."""

import pytest

from circuitmap.flows.job import diagnosis_of
from circuitmap.jobs.job import Job
from circuitmap.reports.job.expected import expected_sentences
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import job
from tests.jobs.test_known_draw import camper

ON = ('at: "07:50", stands: {MAIN: "on"}', 'at: "08:00", state: locked, meter: low-current clamp, resolution: 1mA')
READ = 'at: "08:30", read: {LEIS: 0.12A}, steady: yes'


@pytest.fixture(scope="module")
def home() -> Platform:
    return camper()


def test_what_is_known_is_not_called_the_limit(home: Platform) -> None:
    said = headline(home, job(home, *ON, READ).standing)
    assert "WITHIN THE LIMIT" not in said
    assert said.startswith("NO MORE THAN IS KNOWN so far: LEIS 0.12 A; the limit is 0.04 A (this platform's), but with")
    assert "GASDET 0.08 A" in said and "Leave a log running" in said
    quiet = job(home, ON[1], 'at: "08:30", read: {LEIS: 0.02A}, steady: yes').standing
    assert headline(home, quiet).startswith("WITHIN THE LIMIT so far")


def suspected(found: Job) -> str:
    return " ".join(suspects_text(found.platform, diagnosis_of(found)).split())


def test_the_diagnosis_holds_it_to_the_same(home: Platform) -> None:
    said = suspected(job(home, *ON, READ))
    assert "NO DRAW FOUND: 0.12 A. That is over the limit of 0.04 A (this platform's), but no more" in said
    assert "but over the limit" not in said and "0.04 A or less no draw" not in said
    assert "Read the total again" not in said  # read to a milliampere: a finer meter tells no more


def expected(home: Platform, amps: str, *before: str) -> str:
    found = job(
        home, *before, f'at: "08:30", read: {{LEIS: {amps}}}, steady: yes', 'at: "08:40", turned: {MAIN: "off"}'
    )
    return " ".join(expected_sentences(found))


def test_turned_off_it_is_held_to_what_is_left(home: Platform) -> None:
    said = expected(home, "0.12A", *ON)
    assert "0.04 A or less, and it was MAIN; 0.10 A or more, and it was not" in said


def test_no_figure_is_both(home: Platform) -> None:
    """A draw hardly above the limit: whatever is read is one or the other."""
    said = expected(home, "0.045A", *ON)
    assert "or less" not in said and "0.04 A or more, and it was not MAIN" in said and "less, and it was MAIN" in said

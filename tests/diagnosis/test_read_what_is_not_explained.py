"""A place that nothing which is left explains was misread, or something else draws there: what leads rests on that, so a
second look at it is a step, and the first one where no other parts what is left."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_post_and_its_cables import DRESSER
from tests.diagnosis.test_steps_worth_doing import steps
from tests.diagnosis.test_wires_that_are_left import told

SPARE = circuit_from(DRESSER.replace("CAB.F4 10A mini", "CAB.F4 10A mini, CAB.F5 10A mini empty"))
"""F5 is an empty slot beside F2: nothing is drawn at it."""
LOCKED = "at: 08:00, state: locked, meter: clamp, resolution: 10mA"
READ = "at: 09:00, total: 0.45A, read: {{M1: 0.45A, M2: 0A, F1: 0.2mV, F2: 3.4mV, F3: 0.0mV, F4: 0.0mV{}}}, looked: yes"
LAMP_SWITCH_OUT = (
    "at: 09:10, out: [LSW]",
    "at: 09:30, total: 0.45A, steady: yes",
    "at: 09:31, back: [LSW]",
    "at: 09:50, total: 0.45A, steady: yes",
)
AGAIN = ("read-again", ("CAB.F5",))


def asked(*entries: str) -> Diagnosis:
    return told(SPARE, LOCKED, *entries)[0]


def test_a_second_look_at_what_is_not_explained_is_a_step() -> None:
    found = asked(READ.format(", F5: 3.4mV"))
    assert [misfit.segment.place for misfit in found.misfits] == ["CAB.F5"]
    assert AGAIN in steps(found) and steps(found)[0] != AGAIN
    text = " ".join(suspects_text(SPARE.platform, found).split())
    number = steps(found).index(AGAIN) + 1
    assert f"that leaves CAB.F5 (0.46 A) unexplained: misread, or a second fault? NEXT {number} tells" in text
    assert "Read it again" not in text[text.index("BUT") : text.index("WHY")]


def test_it_is_the_first_where_no_other_parts_what_is_left() -> None:
    found = asked(READ.format(", F5: 3.4mV"), *LAMP_SWITCH_OUT, "at: 10:00, found: {F2: sound}")
    assert steps(found)[0] == AGAIN


def test_it_is_none_where_all_is_explained_or_it_was_read_twice() -> None:
    assert not any(doing == "read-again" for doing, _ in steps(asked(READ.format(""))))
    twice = asked(READ.format(", F5: 3.4mV"), "at: 09:05, read: {F5: 0.0mV}")
    assert AGAIN not in steps(twice)

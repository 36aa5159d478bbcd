"""A contact tested by itself: in a word, or as a meter showed it, held against how the sheets say it should stand."""

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.failures import WrongUse
from circuitmap.jobs import part_tests
from circuitmap.jobs.card_writing import Fields
from circuitmap.jobs.short_line import entry_of
from circuitmap.jobs.standing import standing_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

BUS = """\
platform "Orvane Plover" sleep 20min..40min
battery BAT 90Ah
switch S12 "door contact" positions shut, open closes 1 to 2 in shut
switch S18 "push" positions released, pressed closes 1 to 2 in pressed
relay K4 "screens relay" make
module LIFT supply 1 ground 2
"""


@pytest.fixture(scope="module")
def bus() -> Platform:
    return platform_of([read_text(SourceFile("b.circuit", BUS))[0]])


def card_tests(bus: Platform, written: str) -> tuple[list[tuple[str, str, bool]], list[str]]:
    card, problems = read_card(SourceFile("job.yaml", f"entries:\n  - tested: {written}\n"))
    found, more = part_tests.tests_on(bus, card)
    return [(one.part, one.what, one.passed) for one in found], [p.headline for p in (*problems, *more)]


@pytest.mark.parametrize(
    ("written", "part", "passed"),
    [
        ("{S12: bad}", "S12", False), ("{S12: fine}", "S12", True), ("S12 bad", "S12", False),
        ('"S12, 1 to 2 open, with the door shut"', "S12", False), ("{S12: 1 to 2 open}", "S12", False),
        ("{S12: 1 to 2 closed with the door shut}", "S12", True), ("{S12: 1 to 2 open with the door open}", "S12", True),
        ("{S12: 1 to 2 closed while it is open}", "S12", False), ("{S12: 2 to 1 open with the door closed}", "S12", False),
        ("{S18: 1-2 closed}", "S18", False), ("{S18: 1 to 2 closed when pressed}", "S18", True),
        ("{K4: 30 to 87 closed}", "K4", False), ("{K4: 30 to 87 open}", "K4", True),
        ("{K4: 30 to 87 closed while pulled in}", "K4", True), ("{S12: '1 to 2 open, door shut: bad'}", "S12", False),
    ],
)  # fmt: skip
def test_how_it_is_said_and_what_it_says(bus: Platform, written: str, part: str, passed: bool) -> None:
    assert card_tests(bus, written) == ([(part, "itself", passed)], [])


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("S12", "S12 was tested: was it fine or bad?"), ("{S12: odd}", "was it fine or bad?"),
        ("{S12: 1 to 3 open}", "not on the sheet"), ("{S12: 1 to 2 open at the lid}", "not on the sheet"),
        ("{S12: 1 to 2 open with the door shut at Ada Quill}", "ada says nothing of how it should stand"),
        ("{LIFT mood: fine}", "mood is not something to test here"), ("{S99: bad}", "S99"),
    ],
)  # fmt: skip
def test_what_does_not_say_whether_it_is_right_is_asked(bus: Platform, written: str, says: str) -> None:
    found, told = card_tests(bus, written)
    assert not found and len(told) == 1 and says in told[0]


@pytest.mark.parametrize(
    "line", ["tested S12 bad", "tested S12, 1 to 2 open, with the door shut", "tested S12 1 to 2 open"]
)
def test_a_short_line_says_the_same(bus: Platform, line: str) -> None:
    fields: Fields = entry_of(bus, line).fields
    [(key, pairs)] = fields
    assert key == "tested"
    name, value = pairs[0]
    assert name == "S12" and card_tests(bus, f"{{S12: '{value}'}}")[0] == [("S12", "itself", False)]
    with pytest.raises(WrongUse):
        entry_of(bus, "tested S12 odd")


def test_the_other_tests_stand_beside_it(bus: Platform) -> None:
    assert card_tests(bus, "{LIFT feed: 0.08V, S12: bad, LIFT inputs: bad}")[0] == [
        ("LIFT", "feed", True), ("S12", "itself", False), ("LIFT", "inputs", False),
    ]  # fmt: skip


def test_a_contact_that_is_bad_is_a_wrong_input_and_needs_no_further_proof(bus: Platform) -> None:
    text = """\
entries:
  - {at: "10:00", state: locked, meter: low-current clamp}
  - {at: "10:50", total: 0.47A}
  - {at: "11:00", out: [S12]}
  - {at: "11:30", total: 0.04A}
  - {at: "11:31", back: [S12]}
  - {at: "12:00", total: 0.47A}
  - {at: "12:01", out: [S12]}
  - {at: "12:40", total: 0.04A, tested: {S12: bad}}
"""
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(bus, card)
    assert not problems and not more
    assert [(seen.part, seen.fine) for seen in evidence.switches] == [("S12", False)]
    [one] = standing_of(bus, card, evidence).tries
    assert (one.verdict, one.needs, one.failed) == ("proven", (), ())

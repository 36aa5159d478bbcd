"""Two causes before one mending are both told, by their names or by what the sheets call them; each with its own tries."""

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import BUS, SINCE, graded, job, mended

CALLED = BUS.replace("lamp STEP supply", 'connector X7 "step well lamp" cavities 2\nlamp STEP "step well lamp" supply')
TWO = (
    'at: "10:00", state: locked, meter: low-current clamp', 'at: "11:20", total: 0.93A', 'at: "11:30", out: [S12]',
    'at: "12:20", total: 0.30A', 'at: "12:30", out: [STEP]', 'at: "13:20", total: 0.01A', 'at: "13:30", back: [S12]',
    'at: "14:20", total: 0.64A',
)  # fmt: skip
CAUSES = ('at: "15:00", cause: "S12 sticks; kind stuck"', 'at: "15:05", cause: "STEP shorted; kind takes"')
DONE = ('at: "20:55", back: [STEP]', 'at: "21:00", mended: "both renewed"')


@pytest.fixture(scope="module")
def bus() -> Platform:
    read, problems = read_text(SourceFile("b.circuit", CALLED))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def test_both_causes_are_told(bus: Platform) -> None:
    found = job(bus, *TWO, *CAUSES, *DONE, *SINCE)
    assert graded(found)[0] == ("S12", "STEP")
    assert "S12, door contact and STEP, step well lamp." in mended_headline(bus, found.standing)
    said = " ".join(" ".join(standing_text(bus, found.standing, Clock())).split())
    assert "The cause by the card: S12 sticks; STEP shorted. " in said


def test_a_cause_that_is_put_in_other_words_is_told_once(bus: Platform) -> None:
    again = ('at: "15:00", cause: "S12 sticks"', 'at: "15:05", cause: "S12 sticks, its lever is bent; kind stuck"')
    found = job(bus, *TWO, *again, *DONE, *SINCE).standing.found
    assert found is not None and found.words == "S12 sticks, its lever is bent"


def test_a_second_mending_keeps_its_own_cause(bus: Platform) -> None:
    entries = (*TWO, CAUSES[0], *DONE, 'at: "21:05", cause: "STEP shorted"', 'at: "21:10", mended: "STEP renewed"')
    mendings = job(bus, *entries, *SINCE).standing.mendings
    assert [one.found.parts for one in mendings if one.found is not None] == [("S12",), ("STEP",)]


@pytest.mark.parametrize(
    ("cause", "parts"),
    [
        ("door contact sticks", ("S12",)),
        ("the Step well lamp is shorted, and door contact sticks", ("STEP", "S12")),
        ("the wire of the door contact is rubbed", ()),
        ("trap door contact sticks", ()),  # not what the sheets call it
        ("amplifier hums", ()),  # one word is no name
    ],
)
def test_what_the_sheets_call_it_is_a_name(bus: Platform, cause: str, parts: tuple[str, ...]) -> None:
    assert graded(job(bus, *TWO, mended(cause, "done")))[0] == parts


def test_each_of_two_has_its_own_tries(bus: Platform) -> None:
    found = job(bus, *TWO, *CAUSES, *DONE, *SINCE)
    tries = {one.out: one for one in found.standing.tries}
    assert set(tries) == {("S12",), ("STEP",)}
    assert tries["S12",].figures == (0.93, 0.30, 0.64) and tries["S12",].beside == ("STEP",)
    said = " ".join(" ".join(standing_text(bus, found.standing, Clock())).split())
    assert "S12: BAT 0.93 A with it, 0.30 A without, 0.64 A with it again (STEP still out)" in said
    page = report_of(found)
    words = " ".join(text for part in (*page.customer, *page.record) for text in part.sentences)
    assert "With out" not in words and ": :" not in words and "0.93 A" in words


def test_both_back_together_are_told_together(bus: Platform) -> None:
    together = (*TWO[:-2], 'at: "13:30", back: [S12, STEP]', 'at: "14:20", total: 0.93A')
    assert [one.out for one in job(bus, *together).standing.tries] == [("S12",), ("STEP",)]


def test_the_report_tells_what_is_drawn_since(bus: Platform) -> None:
    page = report_of(job(bus, *TWO, *CAUSES, *DONE, *SINCE))
    assert [(one.before, one.after) for one in page.figures] == [("0.93 A", "0.010 A")]


@pytest.mark.parametrize(
    ("cause", "both"),
    [
        ("S12 sticks; and the wire from X7 to STEP chafed through", True),
        ("S12 sticks, the plug X7 wet", True),
        ("S12 sticks, its wire to X7 torn off by that", False),  # what S12 does to it
        ("S12 sticks, so the lamp STEP is on", False),
        ("S12 sticks; wires tidied", False),  # names nothing
    ],
)
def test_a_wire_that_is_a_cause_of_its_own_is_told_too(bus: Platform, cause: str, both: bool) -> None:
    found = job(bus, *TWO, f'at: "15:00", cause: "{cause}"', *DONE, *SINCE)
    head = mended_headline(bus, found.standing)
    assert graded(found)[0] == ("S12",)
    assert (cause in head) == both
    assert ("S12, door contact" in head) != both
    assert not (both and head.startswith("PROVEN"))  # nobody showed the wire

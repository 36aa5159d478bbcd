"""A draw that comes in frost, in the wet, in the heat: a night that was not so shows neither that nothing draws nor that it is
repaired."""

import pytest

from circuitmap.jobs.as_it_happens import degrees_in
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.job.standing_text import headline
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import VAN

QUIET = "log: {floor: 0.02A, mean: 0.02A, peak: 0.03A, for: 10h}"
LOCKED = "at: 20:00, state: locked, meter: low-current-clamp"
DREW = (
    LOCKED, "at: 21:00, total: 0.470A", "at: 21:10, out: [HEATER]", "at: 21:40, total: 0.020A",
    "at: 21:41, back: [HEATER]", "at: 22:10, total: 0.470A",
    "at: 22:20, cause: 'HEATER, its thermostat', mended: 'new HEATER'", "at: 22:30, state: locked",
)  # fmt: skip


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


def job(van: Platform, when: str, *entries: str) -> Job:
    said = f"happens-when: {when}\n" if when else ""
    text = f"job: 1\n{said}entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    its = job_of(van, SourceFile("job.yaml", text))
    assert not its.problems, its.problems
    return its


def night(remark: str, at: str = "06:30") -> str:
    return f"at: {at}, {QUIET}" + (f", remark: '{remark}'" if remark else "")


@pytest.mark.parametrize(
    ("when", "remark", "says"),
    [
        ("in frost", "yard, 15 degrees", "it was not so then"),
        ("only in winter", "hall, 12 °C", "it was not so then"),
        ("in frost", "", "whether it was so then is not on the card"),
        ("in frost", "yard, 6 degrees", "whether it was so then is not on the card"),
        ("when it rains", "a dry night", "it was not so then"),
        ("in the heat", "outside, 8 °C", "it was not so then"),
        ("after towing", "stood in the hall", "whether it was so then is not on the card"),
    ],
)
def test_a_quiet_night_that_was_not_so_is_no_answer(van: Platform, when: str, remark: str, says: str) -> None:
    its = job(van, when, LOCKED, "at: 21:00, total: 0.020A", night(remark))
    assert its.standing.stage == "no-draw"
    assert says in headline(van, its.standing) and "is it the battery" not in headline(van, its.standing)
    steps = " ".join(" ".join(job_text(its)).split())
    assert "log it once more when it is so" in steps
    assert steps.index("log it once more") < steps.index("take both leads off")


@pytest.mark.parametrize(
    ("when", "remark"),
    [
        ("in frost", "outside, minus 6"), ("in frost", "yard, -2 °C"), ("in frost", "frosty night"),
        ("when it rains", "rained all night"), ("in the heat", "in the sun, 31 degrees"),
        ("after towing", "after towing to the coast and back"), ("", ""),
    ],
)  # fmt: skip
def test_one_that_was_so_is(van: Platform, when: str, remark: str) -> None:
    remark = remark.replace("rained", "rain")
    its = job(van, when, LOCKED, "at: 21:00, total: 0.020A", night(remark))
    assert headline(van, its.standing).endswith("Next: is it the battery?")


def test_it_is_said_before_the_log_is_begun(van: Platform) -> None:
    its = job(van, "in frost", LOCKED, "at: 21:00, total: 0.020A")
    assert its.standing.stage == "watch"
    assert "It happens, the driver says: in frost. Log it then" in headline(van, its.standing)


def test_a_warm_night_shows_no_repair(van: Platform) -> None:
    warm = job(van, "in frost", *DREW, night("hall, 15 degrees", "10:30"))
    assert warm.standing.stage == "mended" and warm.standing.after.why == "not-as-it-happens"
    assert "that shows nothing" in headline(van, warm.standing)
    assert "when it is as the driver says that it happens" in " ".join(" ".join(job_text(warm)).split())
    cold = job(van, "in frost", *DREW, night("yard, minus 4", "10:30"))
    assert cold.standing.stage == "repaired"
    first_cold = (night("yard, minus 4", "10:30"), "at: 10:40, state: opened", "at: 20:00, state: locked")
    both = job(van, "in frost", *DREW, *first_cold, night("hall, 15 degrees", "07:10"))
    assert both.standing.stage == "repaired"


def test_where_nobody_wrote_how_it_was_that_is_said(van: Platform) -> None:
    its = job(van, "in frost", *DREW, night("", "10:30"))
    assert its.standing.stage == "repaired"
    assert "Whether it was so in that night is not on the card: ask." in " ".join(" ".join(job_text(its)).split())
    assert "Whether it was so" not in " ".join(job_text(job(van, "", *DREW, night("", "10:30"))))


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("hall, 15 degrees", (15.0,)), ("minus 6", (-6.0,)), ("-6,5 °C by day", (-6.5,)), ("8 deg. outside", (8.0,)),
        ("fuse 15", ()), ("10 min each time", ()), ("drop of -3 mV", ()), ("3 degrees, later -2", (3.0, -2.0)),
    ],
)  # fmt: skip
def test_temperatures_in_words(text: str, degrees: tuple[float, ...]) -> None:
    assert degrees_in(text) == degrees


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("driver sees no pattern", False), ("at random", False), ("cannot say when", False), ("any time", False),
        ("no pattern, mostly after rain", True), ("after towing", True), ("unknown", False),
    ],
)  # fmt: skip
def test_who_sees_no_pattern_is_not_asked_to_make_it_so(van: Platform, said: str, asked: bool) -> None:
    text = " ".join(" ".join(job_text(job(van, said, *DREW, "at: 23:10, total: 0.020A"))).split())
    assert ("It happens, the driver says" in text) == asked

"""Two batteries: each is shown by its own log, held against its own draw before, and to its own limit."""

import itertools

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.jobs.intake import intake_of
from circuitmap.jobs.job import Job, job_of
from circuitmap.jobs.standing import JobStanding
from circuitmap.notation.reading import read_text
from circuitmap.quantities import Band
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import standing

COACH = """\
platform "Ostrey Plover" sleep 5min..20min limit 50mA
battery G1 90Ah
battery G2 140Ah
box CAB
fuse CAB.F1 15A mini
lamp DOME supply 1 ground 2
ground GND
G2.+ -> CAB.F1 -> DOME.1
DOME.2 -> GND
G1.- -> GND
G2.- -> GND
"""
READ = ("at: 17:00, state: locked, meter: low-current clamp", "at: 18:20, read: {G1: 0.93A, G2: 0.43A}")
MENDED = (*READ, "at: 20:00, mended: contact renewed", "at: 20:05, state: locked")


@pytest.fixture(scope="module")
def coach() -> Platform:
    return platform_of([read_text(SourceFile("c.circuit", COACH))[0]])


def night(place: str, amps: float, at: str = "09:00") -> str:
    return f"at: 2026-11-11 {at}, log: {{place: {place}, floor: {amps}A, mean: {amps}A, peak: {amps + 0.01:.2f}A, for: 9h}}"


def seen(coach: Platform, *entries: str) -> tuple[str, JobStanding]:
    found = standing(coach, *entries)
    return mended_headline(coach, found), found


@pytest.mark.parametrize("order", list(itertools.permutations(("G1", "G2"))))
@pytest.mark.parametrize("bad", ["", "G1", "G2"])
def test_the_order_of_the_logs_decides_nothing(coach: Platform, order: tuple[str, str], bad: str) -> None:
    logs = [night(place, 0.43 if place == bad else 0.01, f"09:0{n}") for n, place in enumerate(order)]
    said, found = seen(coach, *MENDED, *logs)
    assert found.stage == ("not-repaired" if bad else "repaired")
    assert all(f"at {place} has a mean of" in said for place in ((bad,) if bad else order))


def test_one_log_leaves_the_other_battery_open(coach: Platform) -> None:
    said, found = seen(coach, *MENDED, night("G1", 0.01))
    assert (found.stage, found.after.open) == ("mended", ("G2",))
    assert "a night's log at G2 stays within" in said and "Shown so far: a night's log (9 h) at G1" in said
    assert any("log G2 floor" in step and "log G1" not in step for step in next_sentences(coach, found))


def test_a_battery_that_never_drew_has_nothing_to_show(coach: Platform) -> None:
    entries = [entry.replace("G1: 0.93A", "G1: 0.01A") for entry in MENDED]
    assert seen(coach, *entries, night("G2", 0.01))[1].stage == "repaired"
    assert seen(coach, *entries, night("G2", 0.01), night("G1", 0.3, "09:05"))[1].stage == "not-repaired"
    said, found = seen(coach, *entries, night("G1", 0.01))
    assert found.stage == "mended" and "The night's log is of G1: it drew at another place." in said


def test_each_reading_is_held_against_its_own_battery_before(coach: Platform) -> None:
    said, found = seen(coach, *MENDED, "at: 23:30, read: {G1: 0.01A, G2: 0.40A}")
    assert found.stage == "not-repaired"
    assert "G2 still draws 0.40 A (0.43 A before)" in said


@pytest.mark.parametrize(("peak", "stage"), [("0.20A", "repaired"), ("0.24A", "mended")])
def test_a_peak_is_the_draw_again_by_its_own_battery(coach: Platform, peak: str, stage: str) -> None:
    """Half of what went is the draw again: 0.22 A of 0.43 at G2, which is little beside the 0.93 A of G1."""
    log = f"at: 2026-11-11 09:05, log: {{place: G2, floor: 0.01A, mean: 0.01A, peak: {peak}, for: 9h}}"
    found = seen(coach, *MENDED, night("G1", 0.01), log)[1]
    assert found.stage == stage
    assert found.after.drew == (0.43 if stage == "mended" else 0.93)


def test_what_was_read_at_a_fuse_alone_is_shown_at_the_battery_that_feeds_it(coach: Platform) -> None:
    entries = ("at: 17:00, state: locked, meter: low-current clamp", "at: 18:20, read: {F1: 0.40A}", *MENDED[2:])
    assert seen(coach, *entries, night("G1", 0.01))[1].stage == "mended"
    assert seen(coach, *entries, night("G2", 0.01))[1].stage == "repaired"


# ---- what is known of each battery ----


def job(coach: Platform, text: str) -> Job:
    return job_of(coach, SourceFile("job.yaml", text))


def test_the_sheet_gives_each_battery_its_own_size(coach: Platform) -> None:
    for place, size in (("G1", 90), ("G2", 140)):
        found = job(coach, f"entries:\n  - {{at: '18:20', read: {{{place}: 0.40A}}}}\n")
        assert found.drained[0].battery.rated == Band(size, size)
        assert "The capacity is that of the sheet, not read off this car's battery." in list(battery_lines(found))


@pytest.mark.parametrize("said", ["G2, 120Ah", "G2 120Ah"])
def test_what_was_taken_in_of_one_battery_says_nothing_of_the_other(coach: Platform, said: str) -> None:
    card = f"battery: {said}\nbattery-age: G2, 9 years\nentries:\n  - {{at: '18:20', read: {{G1: 0.40A}}}}\n"
    found = job(coach, card)
    assert not found.problems
    its = found.drained[0]
    assert its.battery.rated == Band(90, 90) and not its.battery.worn and its.rating_from_sheet
    both = job(coach, card.replace("G1: 0.40A", "G1: 0.40A, G2: 0.04A"))
    intake, total = both.drained
    assert intake.battery.rated == Band(120, 120) and intake.battery.worn and not intake.rating_from_sheet
    assert total is not None and total.place == "G2"


def test_two_batteries_in_one_intake_are_told(coach: Platform) -> None:
    card, _ = read_card(SourceFile("job.yaml", "battery: G1, 90Ah\nbattery-age: G2, 9 years\n"))
    [problem] = intake_of(coach, card).problems
    assert "G1 and G2 are two" in problem.headline


@pytest.mark.parametrize(
    ("complaint", "of"),
    [
        ("does not start after two days", "G1"),
        ("G2 flat after two days, starts well", "G2"),
        ("The Cabin Battery is flat after two days", "G2"),
        ("G1 and G2 flat after two days", "G1"),
        ("DOME goes dark after two days", "G1"),
    ],
)
@pytest.mark.parametrize("other", ["0.02A", "0.93A"])
def test_the_time_to_flat_is_that_of_the_battery_of_which_the_complaint_is(complaint: str, of: str, other: str) -> None:
    """G1 gives more, G2 is the one that somebody complains of; what G1 gives beyond its limit is told besides."""
    text = COACH.replace("battery G2 140Ah", 'battery G2 140Ah "cabin battery"')
    its = platform_of([read_text(SourceFile("c.circuit", text))[0]])
    card = f"job: 7\nplatform: c\ncomplaint: {complaint}\nflat-after: 2 days\nentries:\n  - {{{READ[0]}}}\n"
    card += f'  - {{at: "18:20", read: {{G1: {other}, G2: 0.01A}}}}\n'
    lines = list(battery_lines(job_of(its, SourceFile("job.yaml", card.replace("at: 17:00", 'at: "17:00"')))))
    assert lines[0].startswith(f"{of}: at ")
    assert any(line.startswith("G1: ") for line in lines) == (of == "G1" or other == "0.93A")

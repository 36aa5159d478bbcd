"""A new battery begins its own evidence: neither the old one's volts, test and age nor a log of a draw that never was
have anything to say of it."""

import pytest

from circuitmap.jobs.battery_renewed import renewed_on
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_each_battery import COACH

ONE = 'platform "Marlow Linnet" sleep 20min..40min limit 50mA\nbattery BAT 72Ah\nrelay K1 "charging relay" make\n'


@pytest.fixture(scope="module")
def coach() -> Platform:
    return platform_of([read_text(SourceFile("c.circuit", COACH))[0]])


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("v.circuit", ONE))[0]])


OLD = """\
battery: 140Ah
battery-age: 9 years
battery-volts: 12.0V
entries:
  - {at: "19:00", state: locked, meter: low-current clamp}
  - {at: "20:10", read: {G1: 0.01A, G2: 0.04A}}
  - {at: "20:40", battery: {place: G2, rest: 12.1V, test: bad}}
  - {at: "21:00", cause: "battery G2, has lost its capacity", mended: new battery G2}
"""


def job(platform: Platform, text: str) -> Job:
    found = job_of(platform, SourceFile("job.yaml", text))
    assert not found.problems
    return found


def test_the_old_ones_evidence_ends(coach: Platform) -> None:
    found = job(coach, OLD)
    assert found.intake.battery.charge is None and not found.intake.battery.worn and found.intake.volts is None
    told = list(battery_lines(found))
    assert "The old G2, renewed since: 12.1 V at rest." in told and "The old G2, renewed since: test failed." in told
    assert not any("renew it" in line or "lost to age" in line for line in told)


def test_no_log_is_asked_for_a_draw_that_never_was(coach: Platform) -> None:
    found = job(coach, OLD)
    assert found.standing.stage == "mended"
    said, steps = mended_headline(coach, found.standing), " ".join(next_sentences(coach, found.standing))
    assert said.startswith("BATTERY RENEWED, NOT YET SHOWN: G2. No draw was found: G2 0.040 A")
    assert "battery G2 rest ..V" in steps and "log " not in steps and "old part" not in steps


@pytest.mark.parametrize(
    ("check", "stage", "says"),
    [
        ("rest: 12.7V", "renewed", "BATTERY RENEWED AND FINE: G2."),
        ("test: fine", "renewed", "BATTERY RENEWED AND FINE: G2."),
        ("rest: 12.3V", "mended", "NOT YET SHOWN"),
        ("test: bad", "mended", "The new one failed its test."),
    ],
)
def test_the_new_ones_own_checks_show_it(coach: Platform, check: str, stage: str, says: str) -> None:
    found = job(coach, OLD + f'  - {{at: "22:00", battery: {{place: G2, {check}}}}}\n')
    assert found.standing.stage == stage and says in mended_headline(coach, found.standing)


def test_whatever_drew_is_hunted_all_the_same(coach: Platform) -> None:
    """With a draw above the limit, before or since, a new battery is no repair."""
    good = '  - {at: "22:00", battery: {place: G2, test: fine}}\n'
    drew = job(coach, OLD.replace("G2: 0.04A", "G2: 0.40A") + good)
    assert drew.standing.battery_job is None and "night's log" in mended_headline(coach, drew.standing)
    since = job(coach, OLD + good + '  - {at: "23:30", read: {G2: 0.40A}}\n')
    assert since.standing.stage == "not-repaired"


def test_a_battery_that_nobody_read_is_read_first(coach: Platform) -> None:
    found = job(coach, 'entries:\n  - {at: "21:00", mended: new battery G2}\n  - {battery: {place: G2, test: fine}}\n')
    assert found.standing.stage == "mended"
    assert "What G2 gives asleep was never read." in mended_headline(coach, found.standing)
    assert any("G2=..A" in step for step in next_sentences(coach, found.standing))


def test_a_failed_test_says_that_the_draw_is_there_only_where_one_is(coach: Platform) -> None:
    card = OLD.rpartition("  - ")[0]
    assert not any("all the same" in line for line in battery_lines(job(coach, card)))
    drawing = job(coach, card.replace("G2: 0.04A", "G2: 0.40A"))
    assert "The draw at G2 is there all the same: it is hunted by itself." in list(battery_lines(drawing))


@pytest.mark.parametrize(
    ("mended", "batteries"),
    [
        ("new battery G2", ["G2"]), ("G2 renewed", ["G2"]), ("battery G2 was replaced by one of 140Ah", ["G2"]),
        ("both batteries G1 and G2 renewed", ["G1", "G2"]), ("new contact, and new service battery G2 fitted", ["G2"]),
        ("new battery lead at G2", []), ("fuse on G2 renewed", []), ("G2 charged", []), ("battery switch renewed", []),
        ("renewed the lead from G2", []), ("new relay; battery G2 charged", []), ("new battery", []),
    ],
)  # fmt: skip
def test_which_words_mean_a_new_battery(coach: Platform, mended: str, batteries: list[str]) -> None:
    its = job(coach, f"entries:\n  - {{mended: '{mended}'}}\n").card.entries
    assert [one.battery for one in renewed_on(coach, its)] == batteries


def test_a_vehicle_with_one_battery_need_not_name_it(van: Platform) -> None:
    its = job(van, "entries:\n  - {mended: new battery}\n").card.entries
    assert [one.battery for one in renewed_on(van, its)] == ["BAT"]


def test_a_card_that_could_not_be_read_in_parts_shows_nothing(coach: Platform) -> None:
    text = OLD + '  - {at: "22:00", battery: {place: G2, test: fine}, totall: 3A}\n'
    found = job_of(coach, SourceFile("job.yaml", text))
    assert found.problems and found.standing.stage == "mended"
    assert "Parts of the card could not be read." in mended_headline(coach, found.standing)

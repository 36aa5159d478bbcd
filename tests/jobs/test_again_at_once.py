"""`again` said in the moment that something was put in: it counts where nothing wakes with it, and else is told as too
early, with the time from which on it counts. Of two batteries the words are of the one that gives."""

import pytest

from circuitmap.jobs.job import Job, job_of, times_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

BARGE = """\
platform "Tern Lugger" sleep 10min..25min limit 40mA
battery MAIN "engine battery" 80Ah
battery HOUSE "saloon battery" 110Ah
box PAN
fuse PAN.F1 10A mini, PAN.F2 15A mini, PAN.F3 5A mini, PAN.F4 10A mini
charger CHG "shore charger" supply H+ ground 31
output CHG.E+ feeds from H+
module PUMP "pump controller" supply 1 ground 2
module TANK "tank panel" supply 1 ground 2
heater PADS supply 1 ground 2
module ECU "engine controller" supply 1 ground 2
module DASH "dash" supply 1 ground 2
network LOUNGE lin members CHG, TANK
network DRIVE can members ECU, DASH
ground G0
HOUSE.+ -> PAN.F1 -> CHG.H+
HOUSE.+ -> PAN.F4 -> TANK.1
CHG.E+ -> PAN.F2 -> MAIN.+
MAIN.+ -> PAN.F3 -> ECU.1
MAIN.+ -> DASH.1
MAIN.+ -> PADS.1
CHG.31 -> G0
TANK.2 -> G0
ECU.2 -> G0
DASH.2 -> G0
PADS.2 -> G0
PUMP.2 -> G0
MAIN.- -> G0
HOUSE.- -> G0
"""


def job(*entries: str, intake: tuple[str, ...] = ()) -> Job:
    notation, found = read_text(SourceFile("barge.circuit", BARGE))
    assert not found
    lines = ["job: 3", "platform: barge", *intake, "entries:", '  - {at: "09:00", state: locked}', *entries]
    return job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))


def text_of(its: Job) -> str:
    return " ".join("\n".join(standing_text(its.platform, its.standing, Clock(times_of(its.card)))).split())


LOOK = '  - {at: "09:40", read: {MAIN: 0.44A, HOUSE: -0.21A}, steady: yes}'
REST = '  - {at: "10:05", read: {MAIN: 0.02A, HOUSE: 0.14A}, steady: yes}'


def gone_with(name: str, again: str = '"10:10"') -> Job:
    its = job(LOOK, f'  - {{at: "10:00", out: [{name}]}}', REST, f"  - {{at: {again}, back: [{name}], change: again}}")
    assert not its.problems
    return its


@pytest.mark.parametrize("name", ["CHG", "PAN.F2", "PADS"])
def test_it_counts_where_nothing_on_that_battery_can_wake(name: str) -> None:
    """The charger wakes the panel beside it: that takes from the saloon battery, and the draw is at the engine's."""
    one = next(its for its in gone_with(name).standing.tries if its.place == "MAIN")
    assert one.verdict == "involved" and one.back is not None and one.back.change == "again"
    assert one.needs[0] == "out-again" and one.again is None


@pytest.mark.parametrize("name", ["PAN.F3", "ECU", "DASH"])
def test_where_something_may_wake_it_is_told_why_not_and_when_to_read_again(name: str) -> None:
    its = gone_with(name)
    one = next(one for one in its.standing.tries if one.place == "MAIN")
    assert one.back is None and one.again is not None and one.needs[0] == "in-again"
    said = text_of(its)
    assert "was said too early to count" in said and "Wait until 10:20, touch nothing, and read again." in said
    assert f"Put {name} in again" not in said


def test_once_it_sleeps_the_same_word_counts_and_nothing_is_too_early_any_more() -> None:
    its = job(LOOK, '  - {at: "10:00", out: [ECU]}', REST, '  - {at: "10:10", back: [ECU], change: again}',
              '  - {at: "10:20", change: again}')  # fmt: skip
    one = its.standing.tries[0]
    assert one.back is not None and one.again is None and "too early" not in text_of(its)


def test_taken_out_once_more_the_word_at_once_is_forgotten_or_counts() -> None:
    def twice(name: str) -> Job:
        return job(LOOK, f'  - {{at: "10:00", out: [{name}]}}', REST,
                   f'  - {{at: "10:10", back: [{name}], change: again}}',
                   f'  - {{at: "10:30", out: [{name}], change: gone}}')  # fmt: skip

    figures = {name: twice(name).standing.tries[0].figures for name in ("CHG", "ECU")}
    assert figures == {"CHG": (0.44, 0.02, "again", "gone"), "ECU": (0.44, "gone")}


ORDERS = ("MAIN: 0.44A, HOUSE: -0.21A", "HOUSE: -0.21A, MAIN: 0.44A")


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("intake", [(), ('complaint: "saloon battery never low"',)])
def test_the_words_are_never_of_a_battery_that_takes_in(order: str, intake: tuple[str, ...]) -> None:
    its = job(f'  - {{at: "09:40", read: {{{order}}}}}', '  - {at: "10:00", out: [PADS], change: less}', intake=intake)
    assert [one.after.place for one in its.evidence.tries] == ["MAIN"]


@pytest.mark.parametrize(
    ("intake", "place"),
    [
        (('battery: "HOUSE, 110Ah"',), "HOUSE"),
        (('complaint: "saloon battery flat"',), "HOUSE"),
        (('battery: "MAIN, 80Ah"',), "MAIN"),
        ((), "MAIN"),
    ],
)
def test_of_two_that_give_they_are_of_the_one_that_is_spoken_of_or_else_gives_most(
    intake: tuple[str, ...], place: str
) -> None:
    its = job('  - {at: "09:40", read: {MAIN: 0.44A, HOUSE: 0.21A}}', '  - {at: "10:00", out: [PADS], change: less}',
              intake=intake)  # fmt: skip
    assert [one.after.place for one in its.evidence.tries] == [place]


def test_what_gives_less_is_not_it_although_it_was_read_last() -> None:
    its = job('  - {at: "09:40", read: {MAIN: 0.44A}}', '  - {at: "09:50", read: {HOUSE: 0.02A}}',
              '  - {at: "10:00", out: [PADS], change: less}')  # fmt: skip
    assert [one.after.place for one in its.evidence.tries] == ["MAIN"]

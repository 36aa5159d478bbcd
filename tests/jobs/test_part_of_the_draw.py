"""Two things draw, and the smaller one is found first: what went with it is settled, and the rest is hunted.

Somebody finds a lamp left on behind the seat, turns it off, and the clamp falls by just what that lamp takes. Nobody at
the car would say that the lamp had nothing to do with it because most of the draw goes on.
"""

import pytest

from circuitmap.jobs.standing import JobStanding
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import standing

SWEEPER = """\
platform "Small sweeper" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB "Cab fuse box"
fuse CAB.F5 10A mini, CAB.F8 15A mini, CAB.F9 5A mini
lamp CABLAMP "cab lamp" supply 1 ground 2 running 5W
switch LAMPSW positions off, on closes 1 to 2 in on
heater HEAT "cab heater" supply 1 ground 2 running 30W
switch HEATSW positions off, on closes 1 to 2 in on
module CTRL "controller" supply 1 ground 2
ground G1
BAT.+ -> CAB.F5 -> LAMPSW.1
LAMPSW.2 -> CABLAMP.1
CABLAMP.2 -> G1
BAT.- -> G1
"""
LOCKED = "at: 08:00, state: locked"
READ = "at: 09:00, read: {BAT: 2.93A}"
TURNED = "at: 09:05, turned: {LAMPSW: off}, read: {BAT: 2.51A}"


@pytest.fixture(scope="module")
def sweeper() -> Platform:
    return platform_of([read_text(SourceFile("sweeper.circuit", SWEEPER))[0]])


def verdicts(found: JobStanding) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.verdict, one.out) for one in found.tries]


def test_what_took_a_seventh_of_the_draw_is_not_cleared(sweeper: Platform) -> None:
    found = standing(sweeper, LOCKED, READ, TURNED)
    assert verdicts(found) == [("part", ("LAMPSW",))]
    assert found.tries[0].took == pytest.approx(0.42)
    assert found.stage == "draws"
    assert headline(sweeper, found).startswith("IT STILL DRAWS 2.51 A")
    assert "took 0.42 A of 2.93 A" in try_sentence(sweeper, found.tries[0], Clock())


def test_the_rest_is_judged_from_what_was_left(sweeper: Platform) -> None:
    """With the lamp off and the heater's switch out the draw is gone: the switch took all of the rest by itself."""
    found = standing(sweeper, LOCKED, READ, TURNED, "at: 09:30, out: [HEATSW]", "at: 09:40, read: {BAT: 0.01A}")
    assert verdicts(found) == [("part", ("LAMPSW",)), ("involved", ("HEATSW",))]
    assert found.leading is not None and found.leading.figures == (2.51, 0.01)
    assert headline(sweeper, found).endswith("HEATSW. Beside it LAMPSW, turned to off took 0.42 A: settled.")


def test_the_rest_can_be_proven_while_the_first_stays_off(sweeper: Platform) -> None:
    """Out, in, out: what was settled before need not be switched on again for it."""
    again = ("at: 09:41, back: [HEATSW]", "at: 09:50, read: {BAT: 2.50A}")
    and_out = ("at: 09:51, out: [HEATSW]", "at: 10:00, read: {BAT: 0.01A}")
    out = ("at: 09:30, out: [HEATSW]", "at: 09:40, read: {BAT: 0.01A}")
    found = standing(sweeper, LOCKED, READ, TURNED, *out, *again, *and_out)
    assert found.leading is not None and found.leading.out == ("HEATSW",)
    assert found.leading.figures == (2.50, 0.01, 2.50, 0.01)
    assert "out-again" not in found.leading.needs


@pytest.mark.parametrize("after", ["2.93A", "2.87A", "2.90A"])
def test_what_the_current_wanders_by_is_no_part_of_it(sweeper: Platform, after: str) -> None:
    found = standing(sweeper, LOCKED, READ, "at: 09:05, out: [CABLAMP]", f"at: 09:30, read: {{BAT: {after}}}")
    assert verdicts(found) == [("cleared", ("CABLAMP",))]


def test_a_vehicle_that_is_falling_asleep_draws_less_by_itself(sweeper: Platform) -> None:
    found = standing(
        sweeper, LOCKED, "at: 08:03, read: {BAT: 2.93A}", "at: 08:04, out: [CABLAMP]", "at: 08:20, read: {BAT: 2.51A}"
    )
    assert ("part", ("CABLAMP",)) not in verdicts(found)


def test_a_module_that_is_kept_awake_takes_its_own_share_with_it(sweeper: Platform) -> None:
    """Its share goes when it is unplugged, whoever keeps the network awake: that settles nothing."""
    found = standing(sweeper, LOCKED, READ, "at: 09:05, out: [CTRL]", "at: 09:30, read: {BAT: 2.70A}")
    assert verdicts(found) == [("own-share", ("CTRL",))]

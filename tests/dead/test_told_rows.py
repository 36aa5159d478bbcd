"""What speaks against a row stands in it, and nobody is sent first to what was said to work. Expected by hand: without
the resistor only the low speed is lost; the fuse, the ground and the fan itself would lose both."""

import pytest

from circuitmap.dead.dead_loads import Complaint, DeadLoads, dead_loads
from circuitmap.dead.weighing import SEEN_TO_WORK_BUT_DEAD, Group, ToldLoads
from circuitmap.dead.written_told import written_told
from circuitmap.power.state import VehicleState
from circuitmap.reports.dead.break_words import probe_words
from circuitmap.reports.dead.dead_json import dead_json
from circuitmap.reports.dead.dead_text import cleared, dead_text, group_words
from tests.power.vehicle import terminal, vehicle

SPRAYER = """
platform "Orchard sprayer" supply 12V
naming E* ground, F* fuse, J* splice
battery B 12V
B.- -> E1 in BK 35
B.+ -> F1, F2, F3, F4, F5
motor FAN running 9A
resistor RV 0.9ohm
switch FSW positions off, low, high closes 1 to L in low closes 1 to H in high
F1 -> J1 -> FSW.1
FSW.L -> RV -> FSW.H
FSW.H -> FAN -> E2
lamp NOZ "nozzle lamp" running 21W
lamp TANK "tank lamp" running 21W
lamp STEP "step lamp" running 5W
switch LS positions off, on closes 1 to 2 in on
F2 -> LS.1
LS.2 -> J2 -> NOZ -> J3
J2 -> TANK -> J3
J3 -> E3 in BN 2.5
J2 -> STEP -> E2
switch GL "gate, left" positions shut, open closes 1 to case in open
switch GR "gate, right" positions shut, open closes 1 to case in open
lamp GATE "gate open" running 2W
lamp CAB "cab lamp" running 5W
diode DL, DR
F3 -> GATE -> J4
J4 -> DL -> J5
J4 -> DR -> J6
J5 -> GL.1
J6 -> GR.1
module CTL supply 1 ground 31 wake L by ground
output CTL.O feeds from 1 while L
F4 -> CTL.1
CTL.31 -> E2
J5 -> CTL.L
CTL.O -> CAB -> E2
"""


CIRCUIT = vehicle(SPRAYER)


def answer(dead: str, works: str = "") -> DeadLoads:
    told = [written_told(CIRCUIT, one, False) for one in dead.split()]
    told += [written_told(CIRCUIT, one, True) for one in works.split()]
    return dead_loads(CIRCUIT, VehicleState(), Complaint(tuple(told), {}))


def names(group: Group) -> set[str]:
    return {one.name for one in group.breaks}


def low_only() -> DeadLoads:
    return answer("FAN@FSW=low", "FAN@FSW=high")


def test_what_only_one_speed_needs_leads_and_is_probed_first() -> None:
    its = low_only()
    assert names(its.weighed.groups[0]) == {"RV", "FSW.L", "FSW.L RV.1", "RV.2 FSW.H"}
    assert its.weighed.groups[0].chance > 0.9
    assert {one.name for one, _ in its.suspects} == names(its.weighed.groups[0])
    point = its.steps[0].step.point
    assert point is not None and point.part in ("RV", "FSW")


def test_a_row_that_needs_somebody_to_be_wrong_says_so() -> None:
    its = low_only()
    wrong = next(group for group in its.weighed.groups if "F1" in names(group))
    assert [its.watched.named(n) for n in wrong.against] == ["FAN with FSW at high"]
    assert group_words(its, wrong).startswith("only if FAN with FSW at high does not really work: ")
    assert not its.weighed.groups[0].against and "only if" not in group_words(its, its.weighed.groups[0])
    told = next(one for one in dead_json(CIRCUIT.platform, its)["groups"] if one["chance"] == wrong.chance)
    assert told["against"] == ["FAN with FSW at high"] and told["leaves"] == []


def test_both_speeds_of_one_fan_were_tried() -> None:
    """Who tells of one fan that it runs in one position and not in another is hardly ever wrong, as beside who tells of
    another load (judgement): so the fuse is as good as cleared."""
    assert low_only().watched.items[1].function == low_only().watched.items[0].function
    assert "F1" in {one.name for one in cleared(low_only())}
    told = ToldLoads((1,), (2, 3), frozenset((2,)))
    assert told.wrong_of(2) == SEEN_TO_WORK_BUT_DEAD < told.wrong_of(3)


def test_a_row_that_leaves_one_of_the_dead_working_says_so() -> None:
    """Both lamps and nothing else hang on the splice at their ground: what one of them has alone leaves the other."""
    its = answer("NOZ@LS=on TANK@LS=on", "STEP@LS=on")
    assert {"J3", "E3"} <= names(its.weighed.groups[0]) and not its.weighed.groups[0].leaves
    for group in its.weighed.groups:
        if names(group) & {"NOZ", "TANK"}:
            other = ({"NOZ", "TANK"} - names(group)).pop()
            assert group_words(its, group).startswith(
                f"leaves {other} with LS at on working, so something else besides: "
            )


def test_who_was_told_wrong_still_finds_it_by_probing() -> None:
    """The fuse is blown, and the high speed was said to run all the same: with 0 V at both ends of the switch's contact
    it is asked for, too."""
    told = [written_told(CIRCUIT, "FAN@FSW=low", False), written_told(CIRCUIT, "FAN@FSW=high", True)]
    probed = {terminal("FSW.L"): 0.0, terminal("FSW.1"): 0.0}
    its = dead_loads(CIRCUIT, VehicleState(), Complaint(tuple(told), probed))
    assert "F1" in {one.name for one, _ in its.suspects}


def test_the_two_ends_of_a_resistor_are_told_apart() -> None:
    assert probe_words(CIRCUIT, terminal("RV.1")) == "RV, on the wire to FSW.L"
    assert probe_words(CIRCUIT, terminal("RV.2")) == "RV, on the wire to FSW.H"
    assert probe_words(CIRCUIT, terminal("FAN.1")) == "FAN.1"


@pytest.mark.parametrize("both", (False, True))
def test_what_works_by_the_other_switch_does_so_with_the_first_one_at_rest(both: bool) -> None:
    """The cab lamp waits for the left gate alone: that it works by the right one nobody can have seen, by what is typed
    in. The gate lamp has a diode to each."""
    its = answer("GATE@GL=open" + (" CAB@GL=open" if both else ""), "GATE@GR=open CAB@GR=open")
    assert its.lacking == ("CAB with GR at open",)
    assert its.weighed.one_fits
    assert names(its.weighed.groups[0]) >= {"GL.1", "J5"}
    states = [state.powered.state.switches for state in its.watched.states]
    assert {"GL": "shut", "GR": "open"} in states
    assert "CAB with GR at open: by what is typed in, in no state" in " ".join(dead_text(CIRCUIT.platform, its).split())


def test_what_is_switched_on_by_the_command_stays_so() -> None:
    told = [written_told(CIRCUIT, "GATE@GL=open", False), written_told(CIRCUIT, "GATE@GR=open", True)]
    said = VehicleState(switches={"GL": "open"})
    its = dead_loads(CIRCUIT, said, Complaint(tuple(told), {}))
    assert all(state.powered.state.switches["GL"] == "open" for state in its.watched.states)

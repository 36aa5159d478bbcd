"""Complaints by strangers, with pencil and paper, about vehicles that nobody here drew and about the samples: what must
lead, what must not be named first. Each was written before the tool was asked.
"""

from typing import NamedTuple

import pytest

from circuitmap.dead.blown import BlownFuse
from circuitmap.flows.dead import dead_or_blown
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of
from circuitmap.reports.dead.handing_over import hand_over_told
from circuitmap.reports.dead.resting import dead_rests_on
from tests.dead.complaints import ROOT, asked, bench, first_row


class Case(NamedTuple):
    """`leads`: all of these stand in the first row; `never`: none of these does."""

    folder: str
    dead: str
    works: str
    key: str
    switches: str
    leads: str
    never: str


MINIBUS, WORKSHOP = "tests/papers/minibus/text", "tests/papers/workshop/text"
LOADER, BOAT = "tests/papers/loader/text", "tests/papers/boat/text"
SWEEPER, TRUCK = "sample_vehicles/sweeper", "sample_vehicles/truck"
CASES = {
    "no dipped beam, both sides": Case(
        MINIBUS, "E1.56b E2.56b", "E1.56a@S3.DIP=pushed E3", "run", "S2=2", "K6 K6.87 S3.DIP.56b", "FB.FB17 FB.FB18 W3"
    ),
    "left dipped beam only": Case(
        MINIBUS, "E1.56b", "E2.56b E1.56a@S3.DIP=pushed E3", "run", "S2=2", "E1.56b FB.FB17 X18.1", "W1 SP60 K6"
    ),
    "left front lamps odd": Case(MINIBUS, "E1.56b E3", "E2.56b H1", "run", "S2=2", "SP60", "FB.FB17 FB.FB19 W1"),
    "wiper, beam, blower, window at once": Case(
        MINIBUS, "M2.53 M3 E20 M12 Y3 M13", "E5.L@S4=on E3@S2=1 H1 A3.3", "run", "", "FB.FB10 SP2", "K3 FA.FA3"
    ),
    "rail R15X only": Case(MINIBUS, "M2.53 E20 E21 E22", "M12 Y3", "run", "", "K3 K3.87 FA.FA3 FB.R15X", "SP2 W2"),
    "dash blower, no click": Case(MINIBUS, "M12 K11", "Y3 M13 K3", "run", "S14=1", "K11", "FB.FB10 SP2 W3"),
    "blower in 4 only": Case(
        MINIBUS, "M12@S14=1 M12@S14=2 M12@S14=3", "M12@S14=4", "run", "", "R1.TL", "K11 FA.FA12 M12"
    ),
    "both horns": Case(MINIBUS, "H1 H2 K8", "E9@S4=on", "", "", "X19.1 S6.2 K8", "FB.FB4 SP68 W1 W9"),
    "left turn by stalk only": Case(
        MINIBUS, "E9@S3.TURN=left E11@S3.TURN=left E5.L@S3.TURN=left",
        "E10@S3.TURN=right E12@S3.TURN=right E9@S4=on E11@S4=on", "run", "", "S3.TURN.L", "K5 SP51",
    ),
    "left rear odd": Case(
        WORKSHOP, "E3.1 E3.2@S6=down E3.3@S8=on", "E4.1 E4.2@S6=down", "", "S2=SIDE", "E3", "B.FB4 A.FA8 SP22 SP24 GP5"
    ),
    "blower in 3 only": Case(WORKSHOP, "M3@S5=1 M3@S5=2", "M3@S5=3", "I", "", "R1B", "M3 SP29 B.FB6"),
    "latching relay not set": Case(WORKSHOP, "C.K5", "M7", "", "S14.SW=ON", "S14.SW.2 C.K5.3", "C.C1 C.FC1 SP2"),
    "low beam both": Case(
        WORKSHOP, "E1.1 E2.1", "E3.1 E1.2@S3=on E2.2@S3=on", "I", "S2=HEAD", "B.K4.87a SP17", "A.FA9 S2.3 SP19"
    ),
    "work lamps": Case(WORKSHOP, "E20 E21 C.K6", "E22 E23", "", "S15=on", "C.FC4 SP35 C.K6 S15.2", "GP7 C.FC5"),
    "cab doors do not lock": Case(WORKSHOP, "M4 M5", "M6", "", "S9=lock", "SP30 SP31 N4.X4.8", "B.FB3 GP4 X52 X53"),
    "rear door": Case(MINIBUS, "E7 E20", "E6.58 E21 E22", "run", "S2=1", "X12", "FB.FB20 FB.FB13 W5"),
    "position and tail left": Case(MINIBUS, "E3 E5.58", "E4 E6.58 E7", "", "S2=1", "FB.FB19 SP62", "X11.12 X18.5 W1 W10"),
    "hazard, telematics": Case(
        LOADER, "E11@S7=pressed E12@S7=pressed E13@S7=pressed E14@S7=pressed A6", "E11@key=1@S8T=left H2", "", "S1=ON",
        "FM4 FBA.30U", "FBA.F1 FBA.F2",
    ),
    "bow, stern, compass lamp": Case(
        BOAT, "E1 E2 E6", "E3@S21=STEAMING LS21", "", "S2=on S21=UNDER_WAY", "SP22 S21.N", "P1.Q1 X4 BN1 BN2 BN5"
    ),
    "left indicators by both switches": Case(
        LOADER, "E11@S8T=left E13@S8T=left E11@S7=pressed E13@S7=pressed",
        "E12@S8T=right E14@S8T=right E12@S7=pressed E14@S7=pressed", "1", "", "X1.12 SP40 SP41", "S7.L S8T.L FBA.F2",
    ),
    "all at the bow": Case(
        BOAT, "E1 H2 M11 U3", "E2 LS26 LS43", "", "S21=UNDER_WAY S26=on S43=on", "X4 BN5", "P1.Q1 P1.Q4 P1.Q5 S26.2"
    ),
    "position lamps, both sides": Case(
        LOADER, "E5 E6 E7 E8", "E23@S15=on E1@S10=2@key=1", "", "S10=1", "S10.58 FBB.58", "FBB.F21 FBB.F29 FBB.F30"
    ),
    "cab blower and panel": Case(
        TRUCK, "BLOWER@BLOWSW=low BLOWER@BLOWSW=high HVAC", "CAB.K8 CLUSTER", "run", "", "CAB.F27 CAB.K8.87 SP27", "G13"
    ),
    "beams and flash": Case(
        MINIBUS, "E1.56b E2.56b E1.56a@S3.FLASH=pulled E2.56a@S3.FLASH=pulled K6 K12", "M11@S7=open M12 E3", "run", "S2=2",
        "SP57", "FB.FB14 W3 S3.DIP.56b",
    ),
    "what sits on the cab": Case(
        SWEEPER, "SCREEN M2 E12 E20 E22", "E1", "run", "SCRSW=pressed S3.WIPE=on E12.S=on", "CABBODY", "F1 CAB.F3 CAB.B1"
    ),
    "left stop lamp": Case(
        TRUCK, "TAILL.54", "TAILR.54 TAILL.58", "", "STOPSW=pressed LSW=side", "TAILL.54 LAMPS.C3", "CAB.F33 G33"
    ),
    "locks and interval, the gateway silent": Case(
        TRUCK, "BODYLOCK LOCKD LOCKP CAB.K9@WIPSW=interval GATE@scan", "WIPER@WIPSW=slow CLUSTER", "run", "",
        "CAB.F19 GATE", "CAB.F32 CAB.F20 G22",
    ),
    "display shows dashes": Case(
        SWEEPER, "DISP@scan CTRL@scan BRUSH@scan", "M5@SEAT=taken DISP", "run", "DOOR=open HATCH=shut", "BODY",
        "CAB.F5 CAB.F9 X1.1 CABBODY",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_the_right_row_leads(name: str) -> None:
    case = CASES[name]
    its = asked(bench(case.folder), case.dead, case.works, case.key, case.switches)
    row = first_row(its)
    assert set(case.leads.split()) <= row
    assert not set(case.never.split()) & row


def with_option(folder: str, *options: str) -> Bench:
    return open_bench(ROOT / folder, options, ())


def test_one_member_of_a_network_that_does_not_hear() -> None:
    """It drives three sockets' pins from wired inputs; the fourth waits for the key by message."""
    its = asked(
        with_option(MINIBUS, "TR"), "X40.10 A10@scan", "X40.1 X40.7 X40.6 A2@scan A4@scan A6@scan", "run"
    )  # fmt: skip
    row = first_row(its)
    assert {"A10@CANB", "A10.11 SP34", "A10.12 SP35"} <= row
    assert not row & {"FC.FC9", "W10", "SP34", "SP35", "X11.5"}


def test_four_controllers_behind_one_plug_of_the_line() -> None:
    its = asked(
        with_option(WORKSHOP, "T1", "H1"), "X40.1 X40.4 X40.5 X40.7 N5@scan N6@scan N7@scan N8@scan",
        "X40.6 M6 E20@S15=on N2@scan N4@scan", "I", "K5=set",
    )  # fmt: skip
    row = first_row(its)
    assert {"X51.3", "X51.4", "SP11", "SP12"} <= row
    assert not row & {"X51", "B.FB11", "N6", "N6@CANB"}
    assert its.steps[0].step.network == "CANB" and its.steps[0].step.point is not None
    assert its.steps[0].step.point.part == "X51"


def test_off_by_the_sheet_is_no_fault() -> None:
    its = asked(
        open_bench(ROOT / "sample_vehicles/motorhome", (), ()), "CEIL1 WPUMP TV", "FRIDGE PANEL", "",
        "LIVSW=on PANSW=off CEILSW=a CEILSW2=b PUMPSW=on TAP1=open",
    )  # fmt: skip
    assert [(one.what, one.to) for one in its.watched.otherwise] == [("PANSW", "on")]
    assert {"PANSW.2", "LIV.B2"} <= first_row(its) and not first_row(its) & {"CBL", "LIV.B1", "LIVSW.2"}


def test_dead_parked_and_alive_while_the_engine_runs() -> None:
    its = asked(
        open_bench(ROOT / "sample_vehicles/motorhome", (), ("BOOST",)), "PANEL FRIDGE CEIL1",
        "PANEL@feeding=ALT@key=run FRIDGE@feeding=ALT@key=run CEIL1@feeding=ALT@key=run", "",
        "LIVSW=on PANSW=on CEILSW=a CEILSW2=b",
    )  # fmt: skip
    assert {"CBL", "LIVSW.2", "TB1"} <= first_row(its) and not first_row(its) & {"LIV.B1", "PANSW.2", "LIV.F9"}


def test_a_silent_relay_is_probed_at_its_coil() -> None:
    its = asked(
        bench("sample_vehicles/van", ("TOW",)), "SCRL SCRR MIRL MIRR REAR.K2", "CAB.K8", "run", "SCRSW=pressed"
    )  # fmt: skip
    assert {"REAR.K2", "X20.7", "X20.8", "BCM.C14"} <= first_row(its)
    assert str(its.steps[0].step.point) in ("REAR.K2.86", "REAR.K2.85")
    assert any("BCM.C14" in sentence and "engine running" in sentence for sentence in dead_rests_on(its))


def test_nobody_is_sent_to_the_steering_wheel() -> None:
    its = asked(bench(MINIBUS), "H1 H2 K8", "E9@S4=on", "", "S6=pressed")
    assert all(step.step.point is None or step.step.point.part not in ("X19", "S6") for step in its.steps)
    assert any(
        "X19" in sentence and "not probed" in sentence for sentence in (*dead_rests_on(its), *hand_over_told(its))
    )


def test_a_lamp_s_fuse_that_blows_only_when_it_is_switched_on() -> None:
    its = dead_or_blown(
        bench(TRUCK), state_of(bench(TRUCK)), ["FRM.F50@WORKSW=on"], ["FRM.F50@WORKSW=off"], ()
    )  # fmt: skip
    assert isinstance(its, BlownFuse)
    places = {str(end.part) for one in its.places if one.link >= 0 for end in (its.circuit.links[one.link].a,)}
    assert "X4" in places and "WORKSW" in places and "FRM.F50" not in places
    assert {str(its.circuit.links[i].b.part) for i in its.cleared} >= {"X2", "WORKSW"}
    assert its.partings[0].part == "X4"


def test_two_faults_that_share_nothing() -> None:
    its = asked(
        bench(MINIBUS), "E5.58 E6.R@S3.TURN=right",
        "E5.54@S8=pressed E5.L@S4=on E3 E6.58 E6.54@S8=pressed E10@S3.TURN=right E12@S3.TURN=right", "run", "S2=1",
    )  # fmt: skip
    assert not its.weighed.one_fits
    first, second = ({one.name for one in group.breaks} for group in its.weighed.groups[:2])
    assert {"E5.58", "E6.R"} <= first | second
    assert not ({"E5.58", "E6.R"} <= first or {"E5.58", "E6.R"} <= second)
    assert "W10" not in first | second


def test_a_lost_ground_shows_several_volts_at_the_lamps() -> None:
    """Six to seven and a half volts at E1/31, by the paper; the lamps that are off let the current through."""
    its = asked(bench(MINIBUS), "E1.56b E3", "E2.56b H1", "run", "S2=2")
    between = [
        outcome.volts for step in its.steps for outcome in step.outcomes
        if outcome.shown == "between" and step.step.point is not None and step.step.point.part in ("E1", "E3")
    ]  # fmt: skip
    assert any(volts is not None and 6.0 <= volts[0] <= 8.0 for volts in between)

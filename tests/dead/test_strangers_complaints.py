"""Complaints by a stranger, with pencil and paper, about two vehicles that nobody here drew: what must lead, what must
not be named first. Each was written before the tool was asked.
"""

from typing import NamedTuple

import pytest

from tests.dead.complaints import asked, bench, first_row


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
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_the_right_row_leads(name: str) -> None:
    case = CASES[name]
    its = asked(bench(case.folder), case.dead, case.works, case.key, case.switches)
    row = first_row(its)
    assert set(case.leads.split()) <= row
    assert not set(case.never.split()) & row


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

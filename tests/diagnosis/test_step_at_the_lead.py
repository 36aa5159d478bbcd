"""Steps that are worth being told: one at the part that leads, none that the meter's error swallows or that tells no
parts apart."""

import pytest

from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.leading_part import goes_to, settles, with_one_more
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, point_the_same_way, tells_parts_apart
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.netting import found_behind, more_than_found
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_of
from circuitmap.reports.words.chance_words import chances
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import CAMPER, VAN, VAN_LACKS, asked, circuit_from, section_of

TRUCK = ("BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F24=0.5mV", "F33=0.7mV", "F12=0.0mV", "F31=0.0mV")


def planned(*branches: OutcomeBranch, doing: str = "unplug", parts: tuple[str, ...] = ("BCM",)) -> PlannedTest:
    return PlannedTest(Action(doing, parts, 5.0, 5.0, 0.0, about=parts[0]), 1.0, branches)  # type: ignore[arg-type]


def test_where_a_part_leads_one_step_goes_to_it() -> None:
    its = circuit("truck")
    found = asked(its, *TRUCK, networks=("CHASSIS=2.5V",), unsteady=("LIFT",))
    assert found.subjects[0].parts[0].part == "LIFT"
    assert ("FRM.F40", "FRM.F41") in [test.action.parts for test in found.tests.choices if test.action.about == "LIFT"]


def test_a_door_switch_that_leads_is_unplugged() -> None:
    its = circuit("van")
    words = ("BAT=1.0A", "F24=6.2mV", "F71=0.5mV", "F21=0mV", "F22=0mV", "F26=0mV", "F27=0mV")
    found = asked(its, *words, options={"TOW": True})
    step = next(test for test in found.tests.choices if test.action.doing == "unplug")
    assert step.action.parts == ("DOORD",)
    assert {branch.part for branch in step.branches if branch.outcome in ("normal", "down")} == {"DOORD"}


def test_a_feeder_whose_reading_is_known_from_above_and_beside_is_no_test() -> None:
    """The total is 0.47 A, F6 beside the cab's feeder 0.12 A: the feeder shows 0.35 A whatever the fault is."""
    its = circuit("truck")
    found = asked(its, *TRUCK, networks=("CHASSIS=2.5V",), unsteady=("LIFT",))
    assert ("clamp", ("CAB",)) not in [(test.action.doing, test.action.parts) for test in found.tests.choices]


def test_how_much_more_a_feeder_can_show_than_was_found_behind_it() -> None:
    """BAT 0.85 A, nothing read beside MAIN: at most 0.30 A more than the 0.55 A behind it, and half the meters' error."""
    its = circuit_from(CAMPER)
    tree = prepared_for(its, {}, Evidence()).tree
    nets = asked(its, "BAT=0.85A", "AUX=0A", "F9=0.45A", "F4=0.1A").netted
    more = more_than_found(nets, tree, found_behind(nets, tree))
    assert more["MAIN"] == pytest.approx(0.30 + nets.measured["AUX"].error / 2.0, abs=0.02)


def test_a_step_that_names_the_same_part_whatever_it_shows_tells_none_apart() -> None:
    same = planned(OutcomeBranch("normal", 0.9, "K2", 0.60), OutcomeBranch("down", 0.1, "K2", 0.62))
    surer = planned(OutcomeBranch("normal", 0.6, "K2", 0.50), OutcomeBranch("stays", 0.4, "K2", 0.90))
    other = planned(OutcomeBranch("normal", 0.4, "BCM", 0.95), OutcomeBranch("stays", 0.6, "K2", 0.95))
    assert [tells_parts_apart(test) for test in (same, surer, other)] == [False, True, True]


def test_a_step_that_leaves_all_open_must_at_least_divide_and_one_with_one_outcome_tells_nothing() -> None:
    divides = planned(OutcomeBranch("quiet", 0.6, "K2", 0.20), OutcomeBranch("some", 0.4, "BCM", 0.20))
    hardly = planned(OutcomeBranch("quiet", 0.9, "K2", 0.20), OutcomeBranch("some", 0.1, "BCM", 0.20))
    one = planned(OutcomeBranch("quiet", 0.97, "K2", 0.20), OutcomeBranch("some", 0.03, "BCM", 0.90))
    network = planned(
        OutcomeBranch("normal", 0.5, "A", 0.2, "BUS", 0.9), OutcomeBranch("stays", 0.5, "B", 0.2, "BUS", 0.95)
    )
    another = planned(
        OutcomeBranch("normal", 0.5, "A", 0.2, "BUS", 0.9), OutcomeBranch("stays", 0.5, "A", 0.2, "BUS", 0.95)
    )
    tell = [tells_parts_apart(test) for test in (divides, hardly, one, network, another)]
    assert tell == [True, False, False, True, False]


def test_a_step_settles_the_lead_that_is_done_at_it_or_leaves_only_it() -> None:
    wire = Fault(kind="coil", part="control wire of K2", about="K2", odds=1.0, brings=(), contact="K2")
    leaves_only = planned(OutcomeBranch("stays", 0.6, "control wire of K2", 0.95))
    assert settles(leaves_only, wire) and not goes_to(leaves_only.action, wire)
    assert goes_to(planned(doing="relay-volts", parts=("K2",)).action, wire)
    assert not settles(planned(OutcomeBranch("stays", 0.6, "control wire of K2", 0.5)), wire)


def test_one_more_takes_the_place_of_the_last_but_never_of_the_only_gentle_one() -> None:
    pull, pull_more = planned(parts=("A",)), planned(parts=("B",))
    look, new = planned(doing="look", parts=("C",)), planned(parts=("D",))
    assert with_one_more([look, pull], new, 3) == [look, pull, new]
    assert with_one_more([look, pull, pull_more], new, 3) == [look, pull, new]
    assert with_one_more([pull, pull_more, look], new, 3) == [pull, look, new]


def test_what_to_look_for_is_named_and_what_it_proves() -> None:
    its = circuit("van")
    found = asked(its, *VAN, options=VAN_LACKS)
    steps = section_of(suspects_text(its.platform, found), "NEXT")
    assert "Look for: the control wire of REAR.K2 rubbed or pinched, along its run." in steps
    assert "prove it: out, in, out" in steps and "where the current goes, not yet why" in steps
    assert "take REAR.K2 out, ohms from 85 GY/VT to X20.8 to ground" in steps and "No ohms on 86" in steps


def test_a_second_step_that_points_the_same_way_is_not_offered_beside_the_first() -> None:
    """A fuse with a module that draws while its network is awake, and the network's line, say the same."""
    fuse = planned(
        OutcomeBranch("quiet", 0.7, "LIFT", 0.5), OutcomeBranch("most", 0.3, "F", 0.1, "BUS", 0.4), doing="read-fuse"
    )
    line = planned(
        OutcomeBranch("awake", 0.3, "F", 0.1, "BUS", 0.42),
        OutcomeBranch("asleep", 0.7, "LIFT", 0.52),
        doing="network-line",
    )
    other = planned(OutcomeBranch("awake", 0.3, "F", 0.1, "BUS2", 0.42), OutcomeBranch("asleep", 0.7, "LIFT", 0.52))
    assert point_the_same_way(fuse, line) and point_the_same_way(line, fuse)
    assert not point_the_same_way(fuse, other)
    assert not point_the_same_way(
        planned(OutcomeBranch("quiet", 1.0, "A", 0.2)), planned(OutcomeBranch("some", 1.0, "A", 0.2))
    )


def test_a_fuse_that_tells_of_a_network_is_told_with_who_hangs_there_and_what_is_missing_with_its_figures() -> None:
    its = circuit("truck")
    text = suspects_text(its.platform, asked(its, *TRUCK, networks=("CHASSIS=2.5V",), unsteady=("LIFT",)))
    assert "what is missing is within the meters' error (0.17 A)" in section_of(text, "WHY")


def test_the_clamp_on_a_cable_that_no_fuse_protects_has_its_caution() -> None:
    hand, platform = prepared_for(circuit("truck"), {}, Evidence()).handling, circuit("truck").platform
    codes = {
        place: [t.code for t in cautions_of(platform, switching_of(circuit("truck")), hand.action("clamp", (place,)))]
        for place in ("ALT", "CAB")
    }
    assert "unfused-clamp" in codes["ALT"]
    assert "unfused-clamp" not in codes["CAB"]


@pytest.mark.parametrize(
    ("probabilities", "told"),
    [
        ((0.34, 0.56, 0.10), ["3 in 10", "6 in 10", "1 in 10"]),
        ((0.45, 0.45), ["5 in 10", "4 in 10"]),
        ((0.5, 0.5), ["5 in 10", "5 in 10"]),
        ((0.97, 0.03), ["19 in 20", "1 in 20"]),
    ],
)
def test_chances_of_outcomes_add_up(probabilities: tuple[float, ...], told: list[str]) -> None:
    assert chances(probabilities) == told

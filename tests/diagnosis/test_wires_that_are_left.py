"""What is left once a part was out for nothing: its wire; and what a single cavity, a socket or a fuse can tell.

All of it as somebody at the car would think: the contact was unplugged and the input is still wrong, so the wire is
rubbed through; a plug that carries feed and return parts both, a single cavity does not.
"""

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.inputs import inputs_of
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import circuit_from

FLAP = """\
platform "Small truck" sleep 10min..25min limit 50mA
battery BAT 100Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 15A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3, CAB.F4
key IGN positions off, run closes 30 to 15 in run
module LIFT "tail lift" supply 1 ground 2 sense 5 wake 6 by plus asleep 1mA awake 200mA..300mA
module LAMPS "rear lamps" supply 1 ground 2 asleep 1mA awake 200mA..300mA
switch FLAP "platform contact" positions shut, open closes 1 to 2 in open
switch WASH "washer switch" positions released, pressed closes 1 to 2 in pressed
motor PUMP "washer pump" running 2A
connector X6 "lift plug", X7 "frame plug"
ground G1
network NET can members LIFT (8, 9), LAMPS (8, 9)
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> LIFT.1 in RD 1
CAB.F2 -> LAMPS.1 in RD 1
CAB.B1 -> IGN.30 in RD 4
IGN.15 -> SP15 in BK 1
SP15 -> LIFT.6, WASH.1 in BK 1
WASH.2 -> PUMP -> G1 in GN 1
LIFT.2, LAMPS.2 -> G1 in BN 1
FLAP.1 -> X6.4 -> X7.9 -> LIFT.5 in GY/GN 0.5
FLAP.2 -> G1 in BN 0.5
LIFT.8 -> LAMPS.8 in YE 0.35
LIFT.9 -> LAMPS.9 in GN 0.35
splice SP15
"""
DRAWS = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.52A, F1: 0.26A, F2: 0.26A, F3: 0A, F4: 0A}")
WRONG = "at: 09:10, inputs: {FLAP: wrong}"


def told(its: Circuit, *entries: str, **fitted: bool) -> tuple[Diagnosis, Evidence]:
    card, problems = read_card(
        SourceFile("job.yaml", "job: 1\nentries:\n" + "".join(f"  - {{{e}}}\n" for e in entries))
    )
    assert not problems, problems
    evidence, more = evidence_on(its.platform, card)
    assert not more, more
    return diagnose(its, evidence, fitted), evidence


def chances(found: Diagnosis) -> dict[str, float]:
    return {part.part: part.probability for part in found.parts}


def test_the_wire_is_left_when_the_switch_was_out_for_nothing() -> None:
    its = circuit_from(FLAP)
    out = ("at: 09:20, out: [FLAP]", "at: 10:00, read: {BAT: 0.52A}")
    chance = chances(told(its, *DRAWS, WRONG, *out)[0])
    wires = [chance[f"wire {its_name}"] for its_name in ("FLAP.1 to X6.4", "X6.4 to X7.9", "X7.9 to LIFT.5")]
    assert all(wire > 5.0 * chance["FLAP"] for wire in wires)


def test_a_single_cavity_parts_the_wire() -> None:
    """With the terminal of X7.9 out the lift sleeps: the wire is rubbed on the far side, and the lift is sound."""
    its = circuit_from(FLAP)
    out = ("at: 09:20, out: [FLAP]", "at: 10:00, read: {BAT: 0.52A}")
    cavity = ("at: 10:01, out: [X7.9]", "at: 10:40, read: {BAT: 0.003A}")
    found = told(its, *DRAWS, WRONG, *out, *cavity)[0]
    chance = chances(found)
    assert chance["wire X7.9 to LIFT.5"] < 0.02
    assert min(chance["wire FLAP.1 to X6.4"], chance["wire X6.4 to X7.9"]) > 0.3


def test_unplugging_a_wrong_input_is_forecast_with_its_wire() -> None:
    """Before the contact is out nobody knows whether it is the contact: the forecast must leave room for the wire."""
    found = told(circuit_from(FLAP), *DRAWS, WRONG)[0]
    step = next(t for t in found.tests.choices if t.action.doing == "unplug" and t.action.parts == ("FLAP",))
    stays = next(branch.probability for branch in step.branches if branch.outcome == "stays")
    assert 0.1 < stays < 0.6


def test_no_contact_between_two_dead_wires_wakes_anything() -> None:
    """The washer switch joins a wire that is live with the key only to a motor: it can wake nothing while parked."""
    ready = prepared_for(circuit_from(FLAP), {}, Evidence())
    lift = next(load for load in ready.parked.platform.loads if load.name == "LIFT")
    names = {its.switch.name for its in inputs_of(ready.parked, lift)}
    assert "FLAP" in names and "WASH" not in names


def test_one_ground_side_wire_has_one_name() -> None:
    """Both load-space lamps go to ground over one wire: it is rubbed through once."""
    faults = prepared_for(circuit("van"), {}, Evidence()).faults
    wires = [fault.part for fault in faults if fault.part.startswith("ground-side wire") and "LOADL" in fault.part]
    assert wires == ["ground-side wire of LOADL and LOADR"]


def test_a_plug_that_carries_feed_and_return_does_not_tell_the_side() -> None:
    its = circuit("van")
    first = ("at: 08:00, state: locked", "at: 08:40, read: {BAT: 3.24A, F24: 3.2A, F21: 0A, F22: 0A}")
    bcm = ("at: 08:45, out: [BCM]", "at: 09:25, read: {BAT: 3.24A}", "at: 09:26, back: [BCM]")
    plug = ("at: 09:30, out: [X20]", "at: 10:10, read: {BAT: 0.04A}", "at: 10:11, back: [X20]")
    both = ("ground-side wire of LOADL and LOADR to X20.16", "wire X20.16 to BCM.C9")
    chance = chances(told(its, *first, *bcm, *plug)[0])
    assert 0.3 < chance[both[0]] < 0.7 and 0.3 < chance[both[1]] < 0.7
    stays = ("at: 10:15, out: [X20.16]", "at: 10:55, read: {BAT: 3.24A}")
    chance = chances(told(its, *first, *bcm, *plug, *stays)[0])
    assert chance[both[0]] > 0.9 and chance[both[1]] < 0.05


def test_what_is_not_known_hangs_on_its_feed_all_the_same() -> None:
    """Whatever it is that draws behind a fuse: with the plug out that feeds this fuse it cannot draw."""
    its = circuit("van")
    found = told(its, "at: 08:00, state: locked", "at: 09:00, read: {BAT: 2.44A, F93: 2.4A, F74: 2.4A}")[0]
    unknown = next(fault for fault in found.faults if fault.part == "unknown at REAR.F74")
    assert all({"X20", "PRE.F93"} <= flow.way.through for flow in unknown.brings)


def test_a_pull_outweighs_an_unknown_current_of_just_that_amount() -> None:
    """F50 was read at 0.8 A and pulled for nothing: no unknown current of 0.8 A hangs there."""
    its = circuit("truck")
    first = ("at: 08:00, state: locked, meter: low-current clamp", "at: 09:00, read: {BAT: 0.86A, F50: 0.8A, F51: 0A}")
    one = ("at: 09:05, out: [FRM.F50]", "at: 09:30, read: {BAT: 0.86A}", "at: 09:31, back: [FRM.F50]")
    other = ("at: 09:35, out: [FRM.F51]", "at: 10:00, read: {BAT: 0.06A}")
    found = told(its, *first, *one, *other)[0]
    assert chances(found).get("unknown at FRM.F50", 0.0) < 0.1
    assert found.subjects[0].about != "FRM.F50"


def test_a_load_behind_two_relays_is_no_fault_of_two_outputs() -> None:
    """The pump runs over the main relay and its own: with no current for the main relay's coil it is the contact."""
    faults = prepared_for(circuit("van"), {}, Evidence()).faults
    assert {fault.part for fault in faults if "FUELPUMP" in fault.owners and fault.kind == "contact"} == {"ENG.K7"}


def test_in_a_socket_it_is_what_is_plugged_in() -> None:
    its = circuit("van")
    entries = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 2.44A, F74: 2.4A}")
    out = ("at: 09:05, out: [TSOCK]", "at: 09:30, read: {BAT: 0.04A}")
    answer = suspects_text(its.platform, told(its, *entries, *out, TOW=True)[0])
    assert "what is plugged in there" in " ".join(answer.split())
    assert "TSOCK, trailer socket, 13 pin takes current by itself" not in " ".join(answer.split())


def test_a_trailer_that_is_on_no_sheet_is_chocked_before_it_is_proven() -> None:
    its = circuit("van")
    entries = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 2.44A, F74: 2.4A}")
    out = ("at: 09:05, added: {CARAVAN: TSOCK.9}, out: [CARAVAN]", "at: 09:30, read: {BAT: 0.04A}")
    answer = " ".join(suspects_text(its.platform, told(its, *entries, *out)[0]).split())
    assert "Prove CARAVAN" in answer
    assert "Chock the trailer first" in answer.partition("Prove CARAVAN")[2]


def test_two_things_are_said_where_what_is_printed_tells_the_second() -> None:
    """With what is printed of the lamp the other one is named, too."""
    its = circuit("sweeper")
    text = "at: 09:00, read: {BAT: 2.93A, F3: 0A, F4: 0A, F5: 0.42A, F8: 2.5A}"
    found = told(its, "at: 08:00, state: locked", text, FUELH=True, WATERH=False)[0]
    assert "LOOK AT    two things at once" in suspects_text(its.platform, found)


def test_what_is_settled_is_no_longer_hunted() -> None:
    """The cab lamp was turned off and took its share: the next step is at the heater, and goes from what is left."""
    its = circuit("sweeper")
    text = "at: 09:00, read: {BAT: 2.93A, F3: 0A, F4: 0A, F5: 0.42A, F8: 2.5A}"
    turned = "at: 09:05, turned: {E12.S: off}, read: {BAT: 2.51A, F5: 2mA}"
    found = told(its, "at: 08:00, state: locked", text, turned, FUELH=True, WATERH=False)[0]
    assert found.tests.was == 2.51
    assert all(branch.part != "E12.S" for test in found.tests.choices for branch in test.branches)
    assert found.tests.mend in ("HEATSW", "")
    said = " ".join(suspects_text(its.platform, found).split())
    assert "SETTLED E12.S" in said and ". With E12.S at off 0.42 A of 2.93 A went." in said


def test_a_sensor_that_is_always_on_takes_what_is_typed_in() -> None:
    """With the main switch on a gas detector takes its current: that is no fault, and is not hunted."""
    its = circuit("motorhome")
    ready = prepared_for(its, {"AWN": True}, Evidence(positions={"LIVSW": "on"}))
    asleep = {flow.owner: flow.mean for flow in ready.parked.asleep.values()}
    assert 0.06 < asleep["GASDET"] < 0.09


def test_no_step_is_told_from_an_unknown_current_that_would_stay_without_its_feed() -> None:
    """The plug carries the whole feed of the box: to part it tells nothing about what hangs on one fuse there."""
    its = circuit("van")
    entries = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 2.44A, F93: 2.4A, F70: 0A, F71: 0A, F74: 2.4A}")
    found = told(its, *entries, TOW=True)[0]
    assert ("X20",) not in [test.action.parts for test in found.tests.choices]


def test_a_piece_of_wire_is_named_with_its_colour_and_the_module_s_own_input_stands_beside_it() -> None:
    its = circuit_from(FLAP)
    out = ("at: 09:20, out: [FLAP]", "at: 10:00, read: {BAT: 0.52A}")
    found, _ = told(its, *DRAWS, WRONG, *out)
    assert "(GY/GN" in suspects_text(its.platform, found)
    own = [fault for fault in found.faults if fault.kind == "wrong-input" and fault.part == "LIFT" and fault.pin]
    assert [fault.pin for fault in own] == ["5"]
    before, _ = told(its, *DRAWS, WRONG)
    assert chances(found)["LIFT"] > 2.0 * chances(found)["FLAP"] and chances(before)["FLAP"] > chances(before)["LIFT"]


def test_a_lifted_cavity_tells_the_wire_from_the_module_s_own_input() -> None:
    its = circuit_from(FLAP)
    out = ("at: 09:20, out: [FLAP]", "at: 10:00, read: {BAT: 0.52A}", "at: 10:10, out: [X7.9]")
    sleeps = chances(told(its, *DRAWS, WRONG, *out, "at: 11:00, read: {BAT: 0.02A}")[0])
    stays = chances(told(its, *DRAWS, WRONG, *out, "at: 11:00, read: {BAT: 0.52A}")[0])
    wire, last = "wire FLAP.1 to X6.4", "wire X7.9 to LIFT.5"
    assert sleeps[wire] > 10.0 * sleeps["LIFT"] and sleeps[wire] > 10.0 * sleeps[last]
    assert stays["LIFT"] > 10.0 * stays[wire] and stays[last] > 10.0 * stays[wire]

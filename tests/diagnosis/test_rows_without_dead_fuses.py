"""A row of fuses to be read goes over no fuse that is dead while parked, unless something wrong is likely to feed it;
two boxes that both draw are two steps."""

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.case import case_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.owed_box import owed_boxes
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from
from tests.diagnosis.test_steps_worth_doing import steps

HAULER = """\
platform "Plover Hauler 5" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 90Ah
key IGN positions off, run closes 30 to 15 in run
box CAB "cab panel" reach 2min
box AFT "aft panel" reach 3min
fuse M1 60A bolted, M2 60A bolted, M3 20A bolted
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini, CAB.F5 10A mini, CAB.F6 10A mini
fuse AFT.F1 10A mini, AFT.F2 10A mini, AFT.F3 10A mini
bar CAB.B1 feeds CAB.F1..F4
bar CAB.B2 feeds CAB.F5..F6
bar AFT.B1 feeds AFT.F1..F3
module VCM "vehicle control" supply 1 ground 2 asleep 2mA awake 180mA reach 12min
module DISP "display" supply 1 ground 2 asleep 2mA awake 250mA reach 12min
module LIFTC "lift control" supply 1 ground 2 asleep 1mA awake 140mA reach 12min
lamp E1 "bunk lamp" running 450mA
lamp E2 "hold lamp" running 450mA
switch BSW "bunk lamp switch" positions off, on closes 1 to 2 in on reach 3min
switch HSW "hold lamp switch" positions off, on closes 1 to 2 in on reach 3min
lamp RUN "run lamp" running 5A
sheet "1"
BAT.+ -> M1 -> CAB.B1
BAT.+ -> M2 -> AFT.B1
BAT.+ -> M3 -> IGN.30
IGN.15 -> CAB.B2
CAB.F1 -> VCM.1
CAB.F2 -> DISP.1
CAB.F3 -> BSW.1
BSW.2 -> E1 -> case
CAB.F5 -> RUN -> case
AFT.F1 -> LIFTC.1
AFT.F2 -> HSW.1
HSW.2 -> E2 -> case
VCM.2, DISP.2, LIFTC.2 -> case
BAT.- -> case
"""
LIVE = ("CAB.F1", "CAB.F2", "CAB.F3", "CAB.F4")


def read(*words: str, its: Circuit | None = None) -> Diagnosis:
    return asked(its or circuit_from(HAULER), *words)


def rows(found: Diagnosis) -> list[tuple[str, ...]]:
    return [parts for doing, parts in steps(found) if doing == "read-box"]


def test_what_is_dead_while_parked_is_no_part_of_the_row_and_that_is_said() -> None:
    its = circuit_from(HAULER)
    found = read("BAT=0.48A", "M1=0.48A", "M2=0A", "M3=0A", its=its)
    assert rows(found)[0] == LIVE
    said = " ".join(suspects_text(its.platform, found).split())
    assert "4 fuses, F1..F4, nothing pulled" in said
    assert "Left out, dead by the sheets while it is parked: F5, F6." in said
    assert suspects_json(its.platform, found, 3)["tests"][0]["dead_left_out"] == ["CAB.F5", "CAB.F6"]


def test_a_dead_fuse_that_was_read_all_the_same_is_not_told() -> None:
    its = circuit_from(HAULER)
    found = read("BAT=0.48A", "M1=0.48A", "M2=0A", "M3=0A", "CAB.F5=0A", its=its)
    assert "Left out, dead by the sheets while it is parked: F6." in " ".join(
        suspects_text(its.platform, found).split()
    )


def test_what_the_key_feeds_is_read_where_the_key_may_be_what_feeds_it() -> None:
    """All of it flows over the key: five amperes are the run lamp's, behind a fuse that is dead on a sound car."""
    found = read("BAT=5.0A", "M1=0A", "M2=0A", "M3=5.0A")
    assert any("CAB.F5" in parts for _, parts in steps(found))


def test_two_boxes_that_draw_are_two_steps() -> None:
    both = read("BAT=0.58A", "M1=0.34A", "M2=0.24A", "M3=0A")
    assert rows(both) == [LIVE, ("AFT.F1", "AFT.F2", "AFT.F3")]
    assert steps(both)[0][0] == steps(both)[1][0] == "read-box"
    assert owed("BAT=0.58A", "M1=0.34A", "M2=0.24A", "M3=0A") == [LIVE, ("AFT.F1", "AFT.F2", "AFT.F3")]
    assert owed("BAT=0.58A", "M1=0.46A", "M2=0.12A", "M3=0A") == [LIVE]


def owed(*words: str) -> list[tuple[str, ...]]:
    its = circuit_from(HAULER)
    case = case_of(its, evidence_typed(its.platform, TypedEvidence(readings=words)), {}, None)
    return [one.step.parts for one in owed_boxes(case.nets, case.ready.tree, case.ready.handling, 0.04)]

"""What is chafed, or on no sheet, behind a fuse: cut at connectors, foretold and judged by the same rule, and told by
place once one of them was out."""

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.flows.questions import platform_from
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_wires_that_are_left import told

TIPPER = """\
platform "Tipper" supply 24V sleep 1min..2min limit 30mA
battery B 170Ah
box P "panel"
connector XA "headboard" cavities 4 at "headboard" reach 4min
connector XL "left" cavities 2 reach 4min
connector XR "right" cavities 2 reach 4min
splice SPL
fuse P.F1 15A mini "tail sockets"
fuse P.F2 10A mini "clock"
socket LSO "left socket" supply 1 ground 2
socket RSO "right socket" supply 1 ground 2
load CLK "clock" supply 1 ground 2 asleep 5mA
ground G
bar P.B1 feeds P.F1, P.F2
B.+ -> P.B1
P.F1 -> XA.1 -> SPL
SPL -> XL.1 -> LSO.1
SPL -> XR.1 -> RSO.1
P.F2 -> CLK.1
LSO.2 -> XL.2 -> G
RSO.2 -> XR.2 -> G
CLK.2, B.- -> G
"""
FRONT, MIDDLE, BEYOND = " as far as XA", " from XA to XL and XR", " beyond XL"
READ = (
    "at: 09:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:20, total: 0.61A, read: {P.F1: 0.60A, P.F2: 0.00A}, steady: yes, looked: yes",
)


def tipper(text: str = TIPPER) -> Circuit:
    return circuit_of(platform_from((SourceFile("t.circuit", text),)))


@pytest.fixture(scope="module")
def car() -> Circuit:
    return tipper()


def out(name: str, at: int, left: str) -> tuple[str, ...]:
    return (
        f"at: 09:{at}, out: [{name}]", f"at: 09:{at + 4}, total: {left}, steady: yes", f"at: 09:{at + 5}, back: [{name}]",
        f"at: 09:{at + 9}, total: 0.61A, steady: yes",
    )  # fmt: skip


def of(found: Diagnosis, kind: str) -> list[Fault]:
    return [fault for fault in found.faults if fault.kind == kind and fault.place == "P.F1"]


def chance(found: Diagnosis, part: str) -> float:
    return next((its.probability for its in found.parts if its.part == part), 0.0)


@pytest.mark.parametrize(
    ("kind", "shares"), [("chafed", [1 / 6, 3 / 6, 1 / 6, 1 / 6]), ("added", [0.75, 0.15, 0.05, 0.05])]
)
def test_the_stretches_share_the_odds_that_the_whole_had(kind: str, shares: list[float]) -> None:
    """By hand: one wire before XA, three between the plugs, one beyond each of the others; of what was added seven in
    ten at the fuse, the rest by wires."""
    cut, whole = told(tipper(), *READ)[0], told(tipper(TIPPER.replace("P.F1 -> XA.1 -> SPL", "P.F1 -> SPL")
                                                       .replace("-> XL.1 ", "").replace("-> XR.1 ", "")), *READ)[0]  # fmt: skip
    [one] = of(whole, kind)
    its = of(cut, kind)
    assert sum(fault.odds for fault in its) == pytest.approx(one.odds)
    assert sorted(fault.odds / one.odds for fault in its) == pytest.approx(sorted(shares))
    assert {fault.part for fault in its} == {one.part}  # nobody parted anything yet
    assert len({id(fault.brings) for fault in its}) == 1 and not one.ends


def test_a_connector_tells_before_it_is_parted_what_it_will_have_told(car: Circuit) -> None:
    """What is foretold of XA: gone for all beyond it. Once it is out, just that share is left."""
    before, _ = told(car, *READ, *out("LSO", 25, "0.61A"), *out("RSO", 40, "0.61A"))
    [test] = [test for test in before.tests.choices if test.action.parts == ("XA",)]
    gone = next(branch for branch in test.branches if branch.outcome == "normal")
    beyond = sum(its.probability for its in before.parts if its.part.startswith("wiring behind P.F1"))
    assert 0.5 * beyond < gone.probability < beyond + 0.2
    after, _ = told(car, *READ, *out("LSO", 25, "0.61A"), *out("RSO", 40, "0.61A"), *out("XA", 50, "0.01A"))
    assert chance(after, f"wiring behind P.F1{FRONT}") < 0.01
    assert chance(after, "wiring behind P.F1 beyond XA") > 0.4


def test_each_try_narrows_the_place(car: Circuit) -> None:
    tries = (*out("XL", 25, "0.61A"), *out("XR", 35, "0.61A"))
    cleared, _ = told(car, *READ, *tries)
    assert chance(cleared, "wiring behind P.F1 as far as XL and XR") > 0.15
    assert chance(cleared, "wiring behind P.F1 beyond XL") < 0.01
    found, _ = told(car, *READ, *tries, *out("XA", 45, "0.01A"))
    assert found.subjects[0].about == "P.F1"
    assert chance(found, f"wiring behind P.F1{MIDDLE}") > 0.5
    assert chance(found, f"something on P.F1{FRONT}") < 0.02
    said = " ".join(suspects_text(car.platform, found).split())
    assert f"wiring behind P.F1{MIDDLE}" in said
    assert f"Follow the wire behind P.F1, panel,{MIDDLE}, no tool." in said
    spot, _ = told(car, *READ, *tries, *out("XA", 45, "0.01A"), "at: 10:00, found: {SPL: chafed}")
    assert chance(spot, f"wiring behind P.F1{MIDDLE}") > 0.95


def test_a_cavity_parts_its_own_wire_alone_as_well(car: Circuit) -> None:
    found, _ = told(car, *READ, *out("XA.1", 25, "0.61A"))
    assert chance(found, "wiring behind P.F1 beyond XA") < 0.1 * chance(found, f"wiring behind P.F1{FRONT}")


def test_behind_a_plug_of_which_nothing_more_is_typed_in_there_is_a_wire() -> None:
    text = TIPPER.replace("P.F1 -> XA.1 -> SPL\n", "P.F1 -> XA.1\n").replace("SPL -> XL.1", "P.F1 -> XL.1")
    found, _ = told(tipper(text.replace("SPL -> XR.1", "P.F1 -> XR.1")), *READ, *out("XA", 25, "0.01A"))
    assert chance(found, "wiring behind P.F1 beyond XA") > 0.2
    assert chance(found, f"wiring behind P.F1{FRONT}") < 0.01

"""The wire from a coil to what grounds it is parted where its plugs are: held with its switch out, it is on ground in one
of its pieces, and each plug tells which. Worked out by hand: with the plug parted the piece beyond it grounds nothing any
more, the one before it goes on."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

DUMPER = """\
platform "Heddon dumper" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 110Ah
box CAB
fuse MAIN 80A bolted
fuse CAB.F1 10A mini "seat heating relay", CAB.F2 20A mini "seat heating", CAB.F3 10A mini "radio"
bar CAB.B1 feeds CAB.F1..F3
relay K7 "seat heating relay" make running 160mA
heater PAD "seat heating" supply 1 ground 2 running 3.4A
module RADIO "radio" supply 1 ground 2 asleep 2mA
connector X8 "console" at "under the console"
connector X9 "seat" at "under the seat"
switch SEATSW "seat heating switch" positions off, on closes 1 to 2 in on
ground G1
BAT.- -> G1
BAT.+ -> MAIN -> CAB.B1 in RD 16
CAB.F1 -> K7.86 in RD 1
CAB.F2 -> K7.30 in RD 2.5
CAB.F3 -> RADIO.1
K7.87 -> PAD.1 in BK 2.5
K7.85 -> X8.4 in GN
X8.4 -> X9.1 in GN/WH
X9.1 -> SEATSW.1 in GN
SEATSW.2, PAD.2, RADIO.2 -> G1 in BN
"""
SWAPPED = DUMPER.replace("CAB.F1 -> K7.86", "CAB.F1 -> K7.85").replace("K7.85 -> X8.4", "K7.86 -> X8.4")
"""The same with the coil's ends the other way round: its feed at the pin that is typed as its minus."""
DREW = (
    "at: 08:00, state: locked, meter: low current clamp, zeroed: yes",
    "at: 09:00, total: 3.56A, read: {MAIN: 3.56A, F1: 0.16A, F2: 3.40A, F3: 0.00A}, relays: {K7: held}",
)
SWITCH_OUT = ("at: 09:10, out: [SEATSW]", "at: 09:20, total: 3.56A", "at: 09:21, back: [SEATSW]")
FIRST, MIDDLE, LAST = "control wire of K7 to X8.4", "wire X8.4 to X9.1", "wire X9.1 to SEATSW.1"


def plug(name: str, total: str) -> tuple[str, ...]:
    return (f"at: 09:30, out: [{name}]", f"at: 09:40, total: {total}", f"at: 09:41, back: [{name}]")


@pytest.fixture(scope="module", params=(DUMPER, SWAPPED), ids=("minus", "plus"))
def dumper(request: pytest.FixtureRequest) -> Circuit:
    return circuit_from(request.param)


def answered(its: Circuit, *entries: str) -> Diagnosis:
    return told(its, *DREW, *entries)[0]


def chance_of(answer: Diagnosis, part: str) -> float:
    return sum(one.probability for one in answer.parts if one.part == part)


def wires(answer: Diagnosis) -> list[Fault]:
    return [fault for fault in answer.faults if fault.kind == "coil" and not fault.dead]


def test_until_something_on_its_way_was_out_it_is_one_wire(dumper: Circuit) -> None:
    assert [fault.part for fault in wires(answered(dumper))] == ["control wire of K7"]
    radio = answered(dumper, *(line.replace("SEATSW", "RADIO") for line in SWITCH_OUT))
    assert [fault.part for fault in wires(radio)] == ["control wire of K7"], "that is on another wire"


def test_its_pieces_share_what_the_wire_had(dumper: Circuit) -> None:
    whole, pieces = (wires(answered(dumper, *its)) for its in ((), SWITCH_OUT))
    assert [fault.part for fault in pieces] == [FIRST, MIDDLE, LAST]
    assert sum(fault.odds for fault in pieces) == pytest.approx(sum(fault.odds for fault in whole))
    assert [fault.odds for fault in pieces] == pytest.approx([pieces[0].odds] * 3)
    everything = [sum(fault.odds for fault in answered(dumper, *its).faults) for its in ((), SWITCH_OUT)]
    assert everything[0] == pytest.approx(everything[1])


@pytest.mark.parametrize(
    ("out", "total", "left"),
    [
        ("X8", "0.00A", (MIDDLE, LAST)), ("X8", "3.56A", (FIRST,)),
        ("X9.1", "0.00A", (LAST,)), ("X9.1", "3.56A", (FIRST, MIDDLE)),
    ],
)  # fmt: skip
def test_each_plug_tells_on_which_side_of_it_the_wire_is_rubbed(
    dumper: Circuit, out: str, total: str, left: tuple[str, ...]
) -> None:
    came_back = ("at: 09:50, total: 3.56A",)
    answer = answered(dumper, *SWITCH_OUT, *plug(out, total), *came_back)
    assert sum(chance_of(answer, part) for part in left) > 0.9
    assert all(chance_of(answer, part) > 0.3 for part in left)


def test_a_plug_on_the_way_tells_the_pieces_apart_by_itself(dumper: Circuit) -> None:
    assert [fault.part for fault in wires(answered(dumper, *plug("X8.4", "3.56A")))] == [FIRST, MIDDLE, LAST]


def test_after_its_switch_the_next_step_parts_the_wire(dumper: Circuit) -> None:
    answer = answered(dumper, *SWITCH_OUT)
    first = answer.tests.choices[0]
    assert first.action.parts[0].partition(".")[0] in ("X8", "X9")
    text = " ".join(suspects_text(dumper.platform, answer).split())
    assert f"{MIDDLE} (GN/WH)" in text and f"{FIRST} (GN)" in text


def test_a_wire_of_two_relays_stays_one() -> None:
    """Which of its branches a piece belongs to is another matter."""
    two = DUMPER.replace("heater PAD", 'relay K8 "back rest relay" make running 160mA\nheater PAD')
    two += "CAB.F1 -> K8.86\nK8.85 -> X8.4\nCAB.F2 -> K8.30\nK8.87 -> PAD.1\n"
    ready = prepared_for(circuit_from(two), {}, Evidence())
    parts = {fault.part for fault in ready.faults if fault.kind == "coil" and not fault.dead}
    answer = told(circuit_from(two), *DREW, *SWITCH_OUT)[0]
    assert {fault.part for fault in wires(answer)} == parts == {"control wire of K7", "control wire of K8"}

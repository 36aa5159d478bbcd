"""Which fuse feeds what."""

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.feeding import feeding_of, hanging_on
from circuitmap.circuit.trace import trace_in

from .told import circuit, fuses_of

TWO_BOXES = """
battery BAT 72Ah
box ENG
box CAB
fuse ENG.F1 60A, ENG.F2 30A, CAB.F10 20A, CAB.F11 5A, CAB.F12 5A
bar ENG.B1 feeds ENG.F1, ENG.F2
bar CAB.B1 feeds CAB.F10, CAB.F11
relay CAB.K4 make
BAT.+ -> ENG.B1 in RD 25mm2
ENG.F1 -> CAB.B1 in RD 16mm2
CAB.F10 -> CAB.K4.30
CAB.K4.87 -> FAN.1
CAB.F11 -> CAB.K4.86
CAB.K4.85 -> case
ENG.F2 -> FAN2.1
CAB.F11 -> BCM.1
motor FAN supply 1 ground 2
motor FAN2 supply 1 ground 2
module BCM supply 1, 2 ground 3
starter START
BAT.+ -> START.30
"""


def test_fuses_of_a_load_and_loads_on_a_fuse_are_two_sides_of_one_thing() -> None:
    feeding = feeding_of(circuit(TWO_BOXES))
    fuses = fuses_of(feeding)
    assert fuses == {"BCM": ("ENG.F1", "CAB.F11"), "FAN": ("ENG.F1", "CAB.F10"), "FAN2": ("ENG.F2",), "START": ()}
    for fuse in ("ENG.F1", "ENG.F2", "CAB.F10", "CAB.F11", "CAB.F12"):
        assert set(hanging_on(feeding, fuse)) == {load for load, on in fuses.items() if fuse in on}
    assert feeding.of_part["BCM"][0].last_fuses == ("CAB.F11",)
    assert feeding.of_part["START"][0].unfused and not feeding.of_part["FAN"][0].unfused


def test_a_fuse_that_shares_a_load_feeds_no_other_fuse() -> None:
    its = circuit("""
battery BAT 72Ah
fuse F1 10A, F2 10A
switch S positions off, on closes 1 to 2 in on
horn HORN
BAT.+ -> F1 -> HORN
BAT.+ -> F2 -> S.1
S.2 -> HORN
""")
    feeding = feeding_of(its)
    assert [path.fuses for path in feeding.feeds_of("F1")] == [()]
    assert fuses_of(feeding) == {"HORN": ("F1", "F2")}


INPUTS_ONLY = """
naming SP* splice, G* ground
battery BAT
relay K1 make
fuse F1 10A, F2 5A, F3 5A
bar B1 feeds F2, F3
module ECU supply 1 ground 2 wake 3 sense 4
module PUMP supply 1 ground 2 control 5
BAT.- -> G1
BAT.+ -> F1 -> K1.30
K1.87 -> B1
F2 -> SP1 -> ECU.3, ECU.4
F3 -> PUMP.5
F1 -> ECU.1, PUMP.1
ECU.2, PUMP.2 -> G1
"""


def test_what_ends_on_inputs_hangs_on_its_fuse_and_takes_no_supply_there() -> None:
    feeding = feeding_of(circuit(INPUTS_ONLY))
    on = {fuse: {(str(t.terminal), t.kind) for t in feeding.on_fuse[fuse]} for fuse in ("F2", "F3")}
    assert on == {"F2": {("ECU.3", "wake"), ("ECU.4", "sense")}, "F3": {("PUMP.5", "control")}}
    assert hanging_on(feeding, "F2") == () == hanging_on(feeding, "F3")
    assert fuses_of(feeding) == {"ECU": ("F1",), "PUMP": ("F1",)}
    behind = trace_in(feeding, "K1").downstream
    assert {(str(there.taking.terminal), there.taking.kind, there.fuses) for there in behind} == {
        ("ECU.3", "wake", ("F2",)), ("ECU.4", "sense", ("F2",)), ("PUMP.5", "control", ("F3",)),
    }  # fmt: skip


def test_fuses_whose_wires_end_on_inputs_are_not_called_empty() -> None:
    feeding = feeding_of(circuit(INPUTS_ONLY))
    shared = in_common_in(feeding, ["F2", "F3"])
    assert {fuse: {str(its.terminal) for its in takings} for fuse, takings in shared.inputs.items()} == {
        "F2": {"ECU.3", "ECU.4"}, "F3": {"PUMP.5"},
    }  # fmt: skip
    assert not [entry for entry in shared.incomplete if entry.kind == "no load typed"]
    both = {entry.name: entry.how for entry in in_common_in(feeding, ["F1", "F2"]).of_kind("module")}
    assert both["ECU"]["F2"] == ("wake", "sense") and "load" in both["ECU"]["F1"]

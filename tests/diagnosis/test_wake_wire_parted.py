"""A wake wire that may have rubbed onto plus hears of a plug that was parted in it: what lies beyond is heard no more."""

import pytest

from circuitmap.circuit.links import Circuit
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

DIGGER = """\
platform "Digger" sleep 5min..10min limit 30mA
battery BAT 100Ah
box F
fuse F.F1 10A mini, F.F2 10A mini
module PUMP "fuel pump controller" supply 1 ground 2 wake 3 by plus asleep 2mA awake 300mA
module LOG "hour counter" supply 1 ground 2 asleep 1mA
switch KEY positions off, on closes 1 to 2 in on
connector X4
ground G1
BAT.+ -> SPB
splice SPB
SPB -> F.F1 -> PUMP.1
SPB -> F.F2 -> LOG.1
SPB -> KEY.1
KEY.2 -> X4.1
X4.1 -> PUMP.3
PUMP.2 -> G1
LOG.2 -> G1
BAT.- -> G1
"""
DRAWS = (
    "at: 09:00, state: locked, meter: low-current clamp, resolution: 1mA, zeroed: yes",
    "at: 09:40, read: {BAT: 0.302A, F.F1: 0.301A, F.F2: 0.001A}",
    "at: 09:45, out: [KEY]",
    "at: 10:05, read: {BAT: 0.302A}",
    "at: 10:06, back: [KEY]",
)
WIRE = "wake wire of PUMP.3"


@pytest.fixture(scope="module")
def digger() -> Circuit:
    return circuit_from(DIGGER)


def after(its: Circuit, *out_and_then: tuple[str, str]) -> dict[str, float]:
    entries = []
    for n, (out, then) in enumerate(out_and_then, start=11):
        entries += [f"at: {n}:00, out: [{out}]", f"at: {n}:40, read: {{BAT: {then}}}", f"at: {n}:41, back: [{out}]"]
    return chances(told(its, *DRAWS, *entries)[0])


def pieces(chance: dict[str, float]) -> dict[str, float]:
    return {name: its for name, its in chance.items() if name.startswith(WIRE)}


def test_before_it_was_parted_it_is_one_wire(digger: Circuit) -> None:
    assert set(pieces(after(digger))) == {WIRE}


@pytest.mark.parametrize("out", ["X4", "X4.1"])
def test_the_draw_that_goes_with_the_plug_lies_beyond_it(digger: Circuit, out: str) -> None:
    its = pieces(after(digger, (out, "0.003A")))
    assert max(its, key=lambda name: its[name]).startswith(f"{WIRE}, KEY.2")
    assert sum(its.values()) > 0.5


@pytest.mark.parametrize("out", ["X4", "X4.1"])
def test_the_draw_that_stays_with_the_plug_out_lies_on_the_module_s_side(digger: Circuit, out: str) -> None:
    its = pieces(after(digger, (out, "0.302A")))
    far = sum(chance for name, chance in its.items() if name.startswith(f"{WIRE}, KEY.2"))
    assert far < 0.05 and sum(its.values()) - far > far

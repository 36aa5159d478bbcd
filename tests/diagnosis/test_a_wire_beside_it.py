"""A dead wire found on plus takes its current from the fuse of the wire beside it. Worked out by hand: two heaters of
24 W and 12 W on a relay that is open, fed by the neighbour's fuse: 2 A and 1 A, of which a plug parts one."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.lying_beside import LyingBeside
from circuitmap.wiring.parts import Terminal
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

BODY = """\
platform "Small box body" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 95Ah
box REF
fuse REF.F1 15A mini "heater relay", REF.F2 10A mini "lamps", REF.F3 10A mini "blower"
bar REF.B1 feeds REF.F1..F3
relay REF.K1 "heaters" make running 150mA
heater TRAY running 24W
heater EDGE running 12W
lamp ROOF running 300mA
motor BLOW running 3A
switch ROOFSW positions off, on closes 1 to 2 in on
switch EDGESW positions shut, open closes 1 to 2 in open
switch BLOWSW positions off, on closes 1 to 2 in on
switch HEATSW positions off, on closes 1 to 2 in on
lamp STEP running 300mA
connector X5 "rear doors"
splice SPH, SPL
ground G1
BAT.- -> G1
BAT.+ -> REF.B1 in RD 16
REF.F1 -> REF.K1.30 in RD 2.5
REF.K1.87 -> SPH in YE 2.5
SPH -> TRAY -> G1 in YE 1.5
SPH -> X5.4 -> EDGE -> G1 in YE 1.5
REF.B1 -> HEATSW.1 in RD 0.5
HEATSW.2 -> REF.K1.86 in BU 0.5
REF.K1.85 -> G1 in BN 0.5
REF.F2 -> SPL in OG 1
SPL -> ROOFSW.1 in OG 1
ROOFSW.2 -> ROOF -> G1 in GY 1
{lamp_wire}
EDGESW.2 -> STEP -> G1 in GY 1
REF.F3 -> BLOWSW.1 in RD 1.5
BLOWSW.2 -> BLOW -> G1 in GN 1.5
"""
AS_IT_FEEDS, TURNED_ROUND = "SPL -> X5.5 -> EDGESW.1 in OG 1", "EDGESW.1 -> X5.5 -> SPL in OG 1"
READ = (
    "at: 08:00, state: locked, meter: low current clamp, zeroed: yes",
    "at: 08:30, total: 3.00A, read: {REF.F1: 0.0mV, REF.F2: 22.5mV, REF.F3: 0.0mV}, steady: yes, looked: yes",
)
PLUS = "at: 08:40, volts: {REF.K1.87: 12.2V}"
WIRE = "wire at REF.K1.87"


@pytest.fixture(scope="module", params=[AS_IT_FEEDS, TURNED_ROUND], ids=["drawn alike", "drawn the other way"])
def body(request: pytest.FixtureRequest) -> Circuit:
    return circuit_from(BODY.format(lamp_wire=request.param))


def chance(its: Circuit, *entries: str) -> dict[str, float]:
    return chances(told(its, *READ, *entries)[0])


def test_plus_and_the_neighbours_current_name_both_wires_before_any_fuse_was_out(body: Circuit) -> None:
    assert not any(name.startswith(WIRE) for name in chance(body))
    its = chance(body, PLUS)
    assert max(its, key=lambda name: its[name]) == f"{WIRE}, against the wire of REF.F2"
    assert its[f"{WIRE}, against the wire of REF.F2"] > 0.9


def test_without_that_current_no_neighbour_is_named(body: Circuit) -> None:
    """Nothing at the lamps' fuse: of the wires beside it none takes the current."""
    none = ("at: 08:30, total: 3.00A, read: {REF.F1: 0.0mV, REF.F2: 0.0mV, REF.F3: 22.5mV}, steady: yes", PLUS)
    its = chances(told(body, READ[0], *none)[0])
    assert its.get(f"{WIRE}, against the wire of REF.F2", 0.0) < 0.01


@pytest.mark.parametrize(("left", "side"), [("2.00A", "REF.K1.87"), ("0.00A", "X5.4 to EDGE")])
def test_what_a_plug_leaves_says_on_which_side_the_wires_touch(body: Circuit, left: str, side: str) -> None:
    """On the body's side the tray's heater goes on without the doors; on the doors' side both wires are dead then."""
    out = ("at: 08:50, out: [X5]", f"at: 09:10, total: {left}, steady: yes", "at: 09:11, back: [X5]")
    its = chance(body, PLUS, *out, "at: 09:25, total: 3.00A, steady: yes")
    leads = max(its, key=lambda name: its[name])
    assert leads.startswith(f"{WIRE}, {side}") and leads.endswith("against the wire of REF.F2"), leads
    assert its[leads] > 0.9


def test_a_piece_touches_what_lies_behind_the_same_side_of_the_plug(body: Circuit) -> None:
    parked = Parked(body, {}, told_apart=frozenset({"X5"}), on_plus={Terminal("REF.K1", "87"): (frozenset(),)})
    heater = list(body.platform.nets.of(Terminal("REF.K1", "87")))
    doors = Terminal("EDGE", "1")
    beside = LyingBeside(parked, heater, "REF.F2", (frozenset({"X5"}),))
    near, far = (
        [node for node in heater if (node in (Terminal("X5", "4", "l"), doors)) == is_far] for is_far in (0, 1)
    )
    assert beside.point_beside(near) == Terminal("REF.F2", "2")
    assert beside.point_beside(far) in (Terminal("EDGESW", "1"), *(Terminal("X5", "5", half) for half in "al"))


def test_a_fuse_that_shares_nothing_with_it_is_no_neighbour(body: Circuit) -> None:
    assert not any(name.startswith(WIRE) and "REF.F3" in name for name in chance(body, PLUS))

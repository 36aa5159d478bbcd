"""Why a load only possibly draws, and loads in a row."""

from circuitmap.circuit.trace import trace
from circuitmap.power.checks import problems_of
from circuitmap.power.doubts import Doubt, doubt_of
from circuitmap.power.series_ways import SeriesWays, series_ways
from tests.power.vehicle import MAY_BE, live, vehicle

HEAD = """
platform "Row" supply 12V return body
battery BAT 72Ah
key IGN positions off, run closes 30 to 15 in run
switch SW positions off, on closes 1 to 2 in on
fuse F1 10A, F2 10A
ground G1
BAT.- -> G1
BAT.+ -> F1 -> IGN.30
BAT.+ -> F2
"""

ROW = (
    HEAD
    + """
heater ONE
heater TWO
heater THREE
IGN.15 -> ONE -> SW.1
SW.2 -> TWO -> THREE -> G1
"""
)


def test_three_heaters_in_a_row_may_draw_once_the_row_is_closed() -> None:
    row = vehicle(ROW)
    for state in ({}, {"key": "run"}, {"switches": {"SW": "on"}}):
        assert live(row, **state).in_series == ()
    on = live(row, key="run", switches={"SW": "on"})
    assert {name: on.loads[name].draws for name in ("ONE", "TWO", "THREE")} == dict.fromkeys(
        ("ONE", "TWO", "THREE"), MAY_BE
    )
    assert doubt_of(on, "TWO") == Doubt("in series", ("ONE", "THREE", "TWO"))


def test_nothing_is_wrong_with_a_row_unless_its_end_hangs_loose() -> None:
    assert problems_of(vehicle(ROW)) == ()
    codes = {
        problem.code for problem in problems_of(vehicle(ROW.replace("THREE -> G1", "THREE -> G2\nground G2 wired")))
    }
    assert codes == {"no-way-to-ground"}  # current comes to them through ONE, and does not go on


def test_trace_tells_what_a_load_is_in_series_with() -> None:
    its = trace(vehicle(ROW), "TWO")
    assert [(str(pin.terminal), pin.through) for pin in its.pins] == [("TWO.1", ("ONE",)), ("TWO.2", ("THREE",))]
    assert its.unknown == ()
    first = trace(vehicle(ROW), "ONE")
    assert [pin.through for pin in first.pins] == [(), ("TWO",)]


def test_a_feed_from_the_chart_is_no_output() -> None:
    its = vehicle(
        HEAD.replace(" -> IGN.30", "")
        + """
F1 feeds IGN.30
lamp HEAD
IGN.15 -> HEAD -> G1
SW.2 -> HEAD
"""
    )
    run = live(its, key="run")
    assert run.loads["HEAD"].draws == MAY_BE
    assert doubt_of(run, "HEAD") == Doubt("not known")


def test_an_output_on_request_decides_also_by_way_of_a_relay() -> None:
    its = vehicle(
        HEAD
        + """
module BCM supply 1 ground 2
output BCM.3 grounds
output BCM.4 feeds
relay K make
lamp BEAM
lamp FOG
F2 -> BCM.1
BCM.2 -> G1
F2 -> K.30, K.86
K.85 -> BCM.3
K.87 -> BEAM -> G1
BCM.4 -> FOG -> G1
"""
    )
    assert doubt_of(live(its), "BEAM") == doubt_of(live(its), "FOG") == Doubt("on request")


def test_loads_in_series_follow_one_another_in_the_order_of_the_current() -> None:
    """Two lamps from plus meet at a point that lost its ground; from there two ways lead on."""
    circuit = vehicle(
        """
platform "t"
battery BAT
fuse F1 10A
splice SP1, SP2
lamp A
lamp B
lamp C
lamp D
lamp E
BAT.-, C.2, E.2 -> case
BAT.+ -> F1 -> A.1, B.1
A.2, B.2 -> SP1
SP1 -> C.1, D.1
D.2 -> SP2
SP2 -> E.1
"""
    )
    parked = live(circuit)
    assert series_ways(parked, "A", 3) == SeriesWays(((("C",),), (("D",), ("E",))), False)
    assert series_ways(parked, "D", 3) == SeriesWays(((("A", "B"), ("E",)),), False)
    assert series_ways(parked, "A", 1) == SeriesWays(((("C",),),), True)

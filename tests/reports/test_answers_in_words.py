"""What the answers say, from notation."""

from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common
from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.power.classes import classes_of
from circuitmap.power.feeds import feeds_of
from circuitmap.reports.common_text import common_text
from circuitmap.reports.trace_text import trace_text
from circuitmap.reports.worksheet import hanging_words, worksheet_of
from circuitmap.workbench import open_bench
from tests.circuit.told import circuit

SAMPLES = Path(__file__).parent.parent.parent / "sample_vehicles"

CAMPER = """
option LEISURE "leisure pack"
battery BAT 90Ah "starting battery"
battery BAT2 110Ah "second battery" if LEISURE
box ENG
box CAB
fuse ENG.F1 125A bolted, CAB.F3 15A mini, CAB.F4 10A mini, CAB.F9 20A, CAB.F20 40A maxi
bar CAB.B1 feeds CAB.F3, CAB.F4, CAB.F9, CAB.F20
module LOCK "door lock" supply 7 ground 3
module HEATER "diesel heater" supply plus ground 12
lamp READ
relay KSPLIT "split-charge relay" make if LEISURE
key IGN positions off, run closes 30 to 15 in run
ground G3
BAT.+ -> ENG.F1 -> CAB.B1
CAB.B1 -> IGN.30
CAB.F3 -> LOCK.7
CAB.F9 -> HEATER.plus
CAB.F4 -> READ -> G3
HEATER.12, LOCK.3 -> G3
CAB.F20 -> KSPLIT.30
KSPLIT.87 -> BAT2.+
IGN.15 -> KSPLIT.86
KSPLIT.85 -> case
"""


def flat(text: str) -> str:
    return " ".join(text.split())


def common_words(its: Circuit, drawing: list[str], quiet: tuple[str, ...] = ()) -> str:
    return flat(common_text(its.platform, in_common(its, drawing, quiet)))


def trace_words(its: Circuit, part: str) -> str:
    return flat(trace_text(its.platform, trace(its, part), feeds_of(its, {})))


def test_a_second_battery_is_not_on_the_way_to_both() -> None:
    says = common_words(circuit(CAMPER), ["CAB.F3", "CAB.F9"])
    assert "KSPLIT.87: on the way" not in says and "Relay KSPLIT" not in says
    assert "On the main way all pass ENG.F1 (125 A bolted)." in says
    assert "With LEISURE fitted and KSPLIT pulled in, BAT2 can feed them too, through KSPLIT.87." in says


def test_a_quiet_neighbour_is_not_said_to_feed_the_others() -> None:
    says = common_words(circuit(CAMPER), ["CAB.F3", "CAB.F4", "CAB.F9"], ("CAB.F20",))
    assert "Do not count both" not in says
    assert "The reading of CAB.F20 includes CAB.F3, CAB.F4 and CAB.F9 only with LEISURE fitted" in says


def test_a_contact_on_one_of_two_ways_is_said_to_be() -> None:
    bench = open_bench(SAMPLES / "motorhome", absent=("BOOST",))
    its = in_common(bench.circuit, ["LIV.F3", "LIV.F12", "LIV.F5", "LIV.F9"], (), bench.fitting)
    says = flat(common_text(bench.platform, its))
    assert "contact KSPLIT.87" in says
    assert "on one of 2 ways from the batteries to all of them, only with KSPLIT pulled in." in says
    assert "Contact LIVSW.2: on one of 2 ways from the batteries to all of them, only with LIVSW on." in says
    assert "MCHG.S+: on" not in says and "X40.12" not in says


def test_the_worksheet_tells_feeding_backwards_apart() -> None:
    its = circuit(CAMPER)
    sheet = worksheet_of(feeding_of(its), feeds_of(its, {}), classes_of(its, {}))
    rows = {row.fuse.name: hanging_words(row) for page in sheet.boxes for row in page.rows}
    assert rows["CAB.F20"] == [
        "between BAT and BAT2 with KSPLIT pulled in",
        "also, with KSPLIT pulled in, from BAT2: CAB.F9, CAB.F3 and CAB.F4",
    ]
    assert rows["ENG.F1"] == [
        "KSPLIT, split-charge relay: coil",
        "feeds CAB.F9, CAB.F3, CAB.F4",
        "between BAT and BAT2 with KSPLIT pulled in",
    ]
    assert rows["CAB.F3"] == ["LOCK, door lock: constant"]


def test_a_trace_folds_what_is_fed_backwards_and_lists_the_batteries() -> None:
    says = trace_words(circuit(CAMPER), "KSPLIT")
    assert "BAT and BAT2 are joined through it with KSPLIT pulled in." in says
    assert "-> BAT2.+: second battery" in says
    assert "backwards through CAB.F20, from BAT2, only through KSPLIT.87: 3 loads (HEATER, LOCK and READ)" in says
    assert says.count("FEED KSPLIT.86") == 1 and "when KSPLIT is pulled in" not in says
    assert "1 way to KSPLIT.86 from BAT2, only through KSPLIT.87, besides" in says


@pytest.mark.parametrize(("platform", "part"), [("motorhome", "KSPLIT"), ("motorhome", "BAT"), ("truck", "BAT")])
def test_a_trace_of_what_feeds_half_the_vehicle_stays_short(platform: str, part: str) -> None:
    bench = open_bench(SAMPLES / platform, absent=("BOOST",) if platform == "motorhome" else ())
    text = trace_text(bench.platform, trace(bench.circuit, part, bench.fitting), feeds_of(bench.circuit, bench.fitting))
    assert len(text.splitlines()) <= 100
    assert "?" not in "".join(line for line in text.splitlines() if "-> MAIN" in line)


def test_two_ways_that_differ_in_their_battery_say_where_they_join() -> None:
    its = circuit("""
battery A1 72Ah "first"
battery A2 72Ah "second"
terminal TB
fuse F1 10A
splice SP1
lamp L
A1.+ -> TB
A2.+ -> TB
TB -> F1 -> SP1 -> L -> case
""")
    says = trace_words(its, "L")
    assert "A2.+ second wire TB as above from here on" in says

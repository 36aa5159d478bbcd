"""What the answers say, from notation."""

import re
from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common
from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import open_bench
from circuitmap.flows.states import state_of
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.feeds import feeds_of
from circuitmap.power.state import VehicleState
from circuitmap.reports.circuit.common_text import common_text
from circuitmap.reports.circuit.trace_text import trace_text
from circuitmap.reports.live.live_text import live_text
from circuitmap.reports.pages.worksheet import hanging_words, worksheet_of
from circuitmap.reports.words.part_words import copied_words
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
    assert "-> BAT2.+ if LEISURE: second battery" in says
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


def live_words(its: Circuit, **said: object) -> str:
    powered = evaluate(its, VehicleState(**said))  # type: ignore[arg-type]
    return flat(live_text(powered, classes_of(its, {})))


def test_live_names_the_open_ends_behind_a_live_feed() -> None:
    its = circuit(
        CAMPER + 'splice S8, S9\nCAB.F9 -> S8\nS8 -> ? "goes on to sheet 40-03"\nIGN.15 -> S9\nS9 -> ? "sheet 40-04"\n'
    )
    says = live_words(its)
    assert 'GOES ON 1: live where the sheets go on, what is there is not typed in S8 "goes on to sheet 40-03"' in says
    assert "through CAB.F9" in says and "S9" not in says
    assert 'S9 "sheet 40-04"' in live_words(its, key="run")


def test_live_says_which_batteries_a_stuck_contact_joins() -> None:
    its = circuit(CAMPER)
    stuck = live_words(its, stuck=frozenset({"KSPLIT.87"}), fitting={"LEISURE": True})
    assert "BATTERIES BAT and BAT2 are joined by KSPLIT.87 stuck closed" in stuck
    run = live_words(its, key="run", fitting={"LEISURE": True})
    assert (
        "BAT and BAT2 are joined by KSPLIT.87, on the way BAT - ENG.F1 - CAB.B1 - CAB.F20 - KSPLIT.87 - BAT2:" in run
        and "RELAYS PULLED IN 1 KSPLIT" in run
    )
    assert "BATTERIES" not in live_words(its)
    pulled = {"pulled": frozenset({"CAB.F20"}), "stuck": frozenset({"KSPLIT.87"}), "fitting": {"LEISURE": True}}
    assert "BATTERIES" not in live_words(its, **pulled)


def test_live_tells_of_a_relay_that_lacks_its_ground_only() -> None:
    its = circuit(
        CAMPER.replace("KSPLIT.85 -> case", "KSPLIT.85 -> BCM.1")
        + "module BCM\noutput BCM.1 grounds while awake\nCAB.F3 -> BCM.2\nnetwork CAN can members BCM\n"
    )
    says = live_words(its, key="run", fitting={"LEISURE": True})
    assert "RELAYS AT REST, COIL FED 1 KSPLIT, split-charge relay coil is fed at KSPLIT.86, not grounded" in says
    assert "BCM.1 open" in says
    assert "COIL FED" not in live_words(its, fitting={"LEISURE": True})


def test_the_loads_that_are_awake_come_first() -> None:
    its = circuit(CAMPER + "network CAN can members LOCK\n")
    says = live_words(its, awake=frozenset({"CAN"}))
    assert "3 loads can draw, 1 of them awake." in says
    assert "AWAKE 1 LOCK, door lock through CAB.F3 CAN DRAW AS WELL 2 HEATER" in says


def test_no_name_that_nobody_typed_is_on_the_screen() -> None:
    its = circuit(
        CAMPER
        + 'load HORN\nfuse CAB.F12 15A\nCAB.F12 feeds HORN\nsplice SP9\nmodule BCM\n? "sheet 7" -> SP9 -> BCM.4\n'
    )
    for says in (live_words(its), live_words(its, key="run"), common_words(its, ["CAB.F3", "CAB.F12"])):
        assert ".?" not in says and "?SP9" not in says and "CAB.F12." not in says.replace("CAB.F12. ", "")
    assert "What feeds CAB.F12" in live_words(its)


@pytest.mark.parametrize("platform", ["truck", "van", "motorhome"])
def test_no_sample_shows_a_name_that_nobody_typed(platform: str) -> None:
    bench = open_bench(SAMPLES / platform)
    its = bench.circuit
    powered = evaluate(its, VehicleState(key="run"))
    texts = [live_text(powered, classes_of(its, {}))]
    texts += [trace_text(bench.platform, trace(its, part), feeds_of(its, {})) for part in list(its.platform.parts)[::9]]
    shown = " ".join(texts)
    assert not re.findall(r"\?[A-Z]\S*|\w\.\?\w*|\w+\.F\d+\.[12]\b", shown)


def test_what_is_copied_from_one_vehicle_is_told_once() -> None:
    assert copied_words(["Dunlin 600; colours not checked", "Dunlin 600"]) == "Dunlin 600 (colours not checked)"


def test_a_ground_is_not_said_to_be_its_own_ground() -> None:
    assert "Ground: G3" not in trace_words(circuit(CAMPER), "G3")


def test_upper_and_lower_case_may_differ_where_only_one_name_fits() -> None:
    bench = open_bench(SAMPLES / "truck", fitted=("alarm",))
    assert bench.fitting == {"ALARM": True}
    state = state_of(bench, key="Run", switches=["haz=ON"])
    assert (state.key, state.switches) == ("run", {"HAZ": "on"})
    with pytest.raises(WrongUse):
        state_of(bench, key="runs")


CONVERTER = """
battery BAT
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A
module CONV "converter" supply IN ground 31 sense EN
output CONV.OUT feeds from IN while EN
lamp READ
ground G3
BAT.- -> G3
BAT.+ -> F1 -> CONV.IN
BAT.+ -> IGN.30
IGN.15 -> CONV.EN
CONV.OUT -> READ -> G3
CONV.31 -> G3
"""


def test_a_way_over_an_output_that_an_input_switches_names_the_input() -> None:
    its = circuit(CONVERTER)
    up = trace_text(its.platform, trace(its, "READ"), feeds_of(its, {}))
    down = trace_text(its.platform, trace(its, "F1"), feeds_of(its, {}))
    assert re.search(r"^ plus at CONV\.EN +CONV\.OUT ", up, re.MULTILINE)
    assert "CONV.IN -> CONV.OUT (plus at CONV.EN)" in flat(down)

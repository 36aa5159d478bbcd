"""Steps that were done, that cannot be done, that can change nothing, or that stand in the wrong order."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose, posterior_and_next_test
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.explaining.listing import listed
from circuitmap.diagnosis.next_test.handling import LOST_BY_A_SCAN, Action
from circuitmap.diagnosis.next_test.leading_part import with_one_more
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest, best_left, tells_parts_apart
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.next_test.ranking import chosen_steps, ranked_steps, volts_before_touching
from circuitmap.diagnosis.next_test.scoring import Scored, bits_of_finding
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.questions import open_platform
from circuitmap.reports.suspects.step_in_words import action_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import asked, section_of
from tests.diagnosis.test_figures_that_fit import platform

PAPERS = Path(__file__).parents[1] / "papers"


@cache
def paper(name: str) -> Circuit:
    return circuit_of(open_platform(PAPERS / name / "text"))


def on_card(its: Circuit, *entries: str, head: str = "") -> Diagnosis:
    text = "\n".join(["platform: .", *head.splitlines(), "entries:", *(f"  - {{{entry}}}" for entry in entries)])
    card, problems = read_card(SourceFile("card.yaml", text + "\n"))
    evidence, more = evidence_on(its.platform, card)
    assert not problems and not more
    return diagnose(its, evidence)


def steps(found: Diagnosis) -> list[tuple[str, tuple[str, ...]]]:
    return [(test.action.doing, test.action.parts) for test in found.tests.choices]


# ---- what was done ----

VAN = ("BAT=0.35A", "F90=0A", "F91=0A", "F92=0.03A", "F93=0A")
VAN_LACKS = {"TOW": False, "AUXHEAT": False, "COLDBOX": False}


@pytest.mark.parametrize("more", [(), ("ENG=0A",), ("ENG=0A", "ENG=0A")])
def test_a_box_whose_reading_would_be_set_aside_is_not_clamped(more: tuple[str, ...]) -> None:
    """F91 feeds only part of ENG: what its feed shows beside F91 counts for nothing, before it is read and after."""
    assert ("clamp", ("ENG",)) not in steps(asked(circuit("van"), *VAN, *more, options=VAN_LACKS))


def test_what_is_level_at_the_head_is_got_at_by_a_step() -> None:
    found = asked(circuit("van"), *VAN, "ENG=0A", options=VAN_LACKS)
    assert found.parts[0].part == "STARTER"
    assert ("clamp", ("STARTER",)) in steps(found)


LOCKED = 'at: "10:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
NO_EXTRAS = "absent: [TOW, AUXHEAT, COLDBOX]"


def test_what_was_found_on_the_car_is_measured_and_not_looked_for() -> None:
    read = "F90: 0.00A, F91: 0.00A, F92: 0.03A, F93: 0.00A"
    found = on_card(
        circuit("van"),
        LOCKED,
        f'at: "11:02", total: 0.35A, read: {{{read}}}, steady: yes',
        'at: "11:15", added: {tool charger: BAT}',
        head=NO_EXTRAS,
    )
    assert steps(found)[0] == ("clamp", ("tool charger",))
    assert not any(fault.part == "tool charger" for test in found.tests.choices for fault in test.look_for)


def test_a_wire_that_was_found_chafed_is_proven_and_not_followed() -> None:
    entries = (
        'at: "08:00", state: locked, stands: {MASTER: "off"}, meter: clamp, resolution: 10mA, zeroed: yes',
        'at: "09:00", total: 0.34A, read: {F8: 5.5mV}',
    )
    before = on_card(circuit("truck"), *entries)
    after = on_card(circuit("truck"), *entries, 'at: "09:10", found: {SP8: chafed}')
    assert not before.tests.mend
    assert ("follow", ("MAIN.F8",)) not in steps(after)
    assert after.tests.mend == "wiring behind MAIN.F8"
    told = section_of(suspects_text(circuit("truck").platform, after), "NEXT")
    assert told.startswith("NEXT Prove wiring behind MAIN.F8") and "what it feeds" not in told


def test_where_one_part_is_sure_no_step_shows_it_once_more() -> None:
    """One module is left of a network; with its fuses out the draw must go, and nothing else can happen."""
    sure = scored("unplug", "M1", [[0.97, 0.03], [0.97, 0.03]], bits=0.06)
    assert chosen_steps([sure], lambda _: False, lambda *_: False, lambda _: False, lambda *_: False, False) == []
    assert chosen_steps([sure], lambda _: False, lambda *_: False, lambda _: True, lambda *_: False, False) == [sure]


# ---- what cannot be done ----

MINIBUS = (
    'at: "17:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
    'at: "18:20", read: {G1: 0.93A, G2: 0.43A}',
)
A6_OUT = ('at: "18:30", out: [A6]', 'at: "19:30", read: {G1: 0.01A, G2: 0.00A}')


def test_no_live_data_of_a_module_that_is_out() -> None:
    its = paper("minibus")
    assert "inputs" in [doing for doing, _ in steps(on_card(its, *MINIBUS, head="absent: [HF, TR]"))]
    assert "inputs" not in [doing for doing, _ in steps(on_card(its, *MINIBUS, *A6_OUT, head="absent: [HF, TR]"))]


def live_data(found: Diagnosis) -> PlannedTest:
    return next(test for test in found.tests.choices if test.action.doing == "inputs")


def test_live_data_say_what_is_left_to_look_at_and_where_volts_say_as_much() -> None:
    its, head = paper("minibus"), "absent: [HF, TR]"
    pin, *_ = live_data(on_card(its, *MINIBUS, head=head)).or_volts_at
    read = {pin: "0.1V", "A6.6": "11.6V"}  # the first may be A6.6 itself
    volts = ", ".join(f"{at}: {shown}" for at, shown in read.items())
    found = on_card(its, *MINIBUS, f'at: "18:25", volts: {{{volts}}}', head=head)
    assert pin not in live_data(found).or_volts_at and "A6.6" not in live_data(found).or_volts_at
    assert "S12" in [fault.part for fault in live_data(found).look_for]
    assert f"Left to look at: {live_data(found).look_for[0].part}" in suspects_text(its.platform, found)


def test_live_data_name_switches_and_nothing_that_is_hands_off() -> None:
    its = circuit("truck")
    found = asked(its, "BAT=0.9A", "F6=0.6mV", "F33=0.7mV")
    named = [fault.part for fault in live_data(found).look_for]
    assert named and "TACHO" not in named and all(found.hands_off.may_touch(part) for part in named)
    assert not any(fault.part == fault.module for fault in live_data(found).look_for)


def test_after_a_reset_nothing_is_taken_out_before_the_draw_is_back() -> None:
    found = on_card(
        circuit("van"),
        LOCKED,
        'at: "10:50", total: 1.19A, read: {F23: 0.5mV, F24: 0.0mV, F26: 2.9mV, F29: 0.6mV, F32: 0.5mV, F33: 1.2mV}',
        'at: "11:02", out: [F33]',
        'at: "11:45", total: 0.03A, steady: yes',
        'at: "11:47", back: [F33]',
        'at: "12:40", total: 0.03A, steady: yes',
        head="fitted: [AUXHEAT]\nabsent: [TOW, COLDBOX]",
    )
    assert found.tests.gone and not any(test.action.takes_out for test in found.tests.choices)
    told = section_of(suspects_text(circuit("van").platform, found), "NEXT")
    assert "Make it come back first" in told
    assert ("before anything is pulled" in told) is bool(found.tests.choices)


# ---- what can change nothing ----


def test_live_data_are_not_read_for_the_half_that_is_settled() -> None:
    """DOOR's share went with DOOR out; what is left has no input."""
    found = on_card(
        circuit("sweeper"),
        'at: "14:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
        'at: "14:30", total: 0.45A, read: {F1: 0.45A, F2: 0.00A, F10: 0.00A}, steady: yes',
        'at: "14:36", total: 0.45A, read: {F3: 0.0mV, F4: 0.0mV, F5: 1.3mV, F8: 0.0mV}',
        'at: "14:45", out: [DOOR]',
        'at: "15:05", total: 0.27A, read: {F5: 0.0mV, F1: 0.27A}, steady: yes',
        head="fitted: [WATERH]\nabsent: [FUELH]",
    )
    assert found.settled is not None and found.settled.tried.attempt.out == ("DOOR",)
    assert "inputs" not in [doing for doing, _ in steps(found)]


def test_finding_one_of_two_faults_leaves_the_other_to_be_found() -> None:
    parts = [frozenset({"DOOR", "ALT"}), frozenset({"DOOR", "FAN"})]
    both, weights = np.array([0.9, 0.9]), np.array([0.5, 0.5])
    assert bits_of_finding(weights, parts, both, [frozenset({"DOOR"})] * 2) == pytest.approx(0.0)
    assert bits_of_finding(weights, parts, both, [frozenset({"ALT"}), frozenset({"FAN"})]) == pytest.approx(0.9)


def planned(doing: str, *branches: OutcomeBranch, bits: float = 1.0, part: str = "M1") -> PlannedTest:
    return PlannedTest(Action(doing, (part,), 5.0, 5.0, 0.0), bits, branches)  # type: ignore[arg-type]


def test_live_data_that_leave_the_same_part_whatever_they_show_tell_nothing() -> None:
    same = planned(
        "inputs", OutcomeBranch("a wrong input", 0.4, "M1", 0.95), OutcomeBranch("all right", 0.6, "M1", 0.95)
    )
    many = planned("inputs", OutcomeBranch("a wrong input", 0.4, "S1", 0.2), OutcomeBranch("all right", 0.6, "M1", 0.3))
    assert [tells_parts_apart(test) for test in (same, many)] == [False, True]
    assert best_left(many) == 1.0


# ---- what comes first ----


def scored(doing: str, part: str, chances: list[list[float]], bits: float = 0.5, minutes: float = 5.0) -> Scored:
    names = tuple(f"outcome {n}" for n in range(len(chances[0])))
    return Action(doing, (part,), minutes, minutes, 0.0, about=part), bits, names, np.array(chances)  # type: ignore[arg-type]


FEW, MANY = [[0.9, 0.1]] * 3 + [[0.1, 0.9]], [[0.9, 0.1]] * 2 + [[0.1, 0.9]] * 2


@pytest.mark.parametrize(("one", "other"), [("A", "B"), ("B", "A")])
def test_of_equals_the_step_at_which_more_explanations_part_whatever_it_is_called(one: str, other: str) -> None:
    few, many = scored("clamp", one, FEW), scored("clamp", other, MANY)
    assert [s[0].parts for s in ranked_steps([few, many])] == [(other,), (one,)]
    assert ranked_steps([many, few]) == ranked_steps([few, many])


def test_a_relay_is_measured_before_it_is_pulled() -> None:
    pull, volts, read = (
        scored(doing, part, MANY) for doing, part in (("pull-relay", "K1"), ("relay-volts", "K1"), ("clamp", "A"))
    )
    assert volts_before_touching([pull, read], [pull, volts, read]) == [volts, pull, read]
    assert volts_before_touching([read, pull, volts], [pull, volts, read]) == [read, volts, pull]
    found = on_card(
        paper("workshop"),
        'at: "09:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
        'at: "09:36", read: {G1: 1.08A, G2: 0.26A, FA1: 0.00A, FA2: 0.56A, FA4: 0.06A, FA5: 0.00A, FA6: 0.46A}',
        'at: "09:45", state: key off, volts: {N3.X3.3: 12.4V, N1.X1.4: 12.4V}',
        head="fitted: [H1]\nabsent: [T1]",
    )
    its = [doing for doing, parts in steps(found) if parts == ("B.K1",)]
    assert its[0] == "relay-volts"


def test_key_on_costs_what_it_may_end_and_does_not_come_before_fuses_that_change_nothing() -> None:
    hand = prepared_for(paper("workshop"), {}, Evidence()).handling
    assert hand.action("inputs", ()).minutes >= LOST_BY_A_SCAN + hand.to_sleep
    found = asked(paper("workshop"), "G1=1.08A", "G2=0.26A", options={"H1": True, "T1": False})
    assert not found.tests.choices[0].action.is_invasive


def test_the_lines_of_a_network_take_as_long_to_get_at_as_a_fuse_box() -> None:
    """With the master switch off nearly all of its members are dead: what can be read with nothing asleep comes first."""
    found = asked(circuit("truck"), "BAT=0.34A", positions=("MASTER=off",), options={"ALARM": False, "BEACON": False})
    order = [doing for doing, _ in steps(found)]
    assert order.index("read-box") < order.index("network-line")


def test_a_row_of_fuses_does_not_go_over_one_that_nobody_may_touch() -> None:
    platform = circuit("truck").platform
    hand = prepared_for(circuit("truck"), {}, Evidence()).handling
    row = hand.action("read-box", ("MAIN.F6", "MAIN.F8", "MAIN.F9", "MAIN.F10"))
    assert not hand.may_read("MAIN.F7")
    assert "4 fuses, F6, F8..F10, nothing pulled" in action_words(platform, row)


def test_a_step_at_the_lead_takes_the_place_of_what_tells_least() -> None:
    first, most, least, new = (
        planned("unplug", bits=bits, part=part) for bits, part in ((1.0, "A"), (2.0, "B"), (0.2, "C"), (0.3, "D"))
    )
    assert with_one_more([first, least, most], new, 3) == [first, most, new]
    assert with_one_more([first, most, least], new, 3) == [first, most, new]


# ---- taken down for nothing ----

CARAVAN = """\
platform "Van conversion" sleep 2min..5min limit 40mA
battery LIVE 100Ah
box P "Panel"
breaker MAIN 40A "all of the panel"
fuse P.F1 15A mini, P.F2 5A mini, P.F3 10A mini
heater MAT "floor mat" supply 1 ground 2 running 3A
module HTR "heating, gas" supply 1 ground 2 asleep 4mA awake 90mA
module GD "gas alarm" supply 1 ground 2 asleep 60mA not hands-off
switch SM positions off, on closes 1 to 2 in on
ground G1
LIVE.+ -> MAIN -> SPP
splice SPP
SPP -> P.F1 -> SM.1
SPP -> P.F2 -> GD.1
SPP -> P.F3 -> HTR.1
SM.2 -> MAT.1
MAT.2 -> G1
HTR.2 -> G1
GD.2 -> G1
LIVE.- -> G1
"""


def test_no_feeder_is_taken_down_above_the_fuse_that_was_read_to_carry_all() -> None:
    its = circuit_of(platform(CARAVAN))
    fuse_read = asked(its, "LIVE=3.07A", "P.F1=3.0A")
    assert not any("MAIN" in parts for doing, parts in steps(fuse_read) if doing != "clamp")
    predictions_of_total = asked(its, "LIVE=3.07A")
    assert steps(predictions_of_total), "there is something to do before it is known where it flows"


def test_above_a_fuse_that_carries_only_a_part_a_feeder_may_be_taken_out() -> None:
    """The rule speaks of a fuse that carries nearly all: what flows elsewhere may still be told by a feeder."""
    prepared, action = _setting(1.4)
    assert not prepared.takes_down_more(action)
    prepared, action = _setting(3.0)
    assert prepared.takes_down_more(action)


def _setting(amps: float) -> tuple[Predictions, Action]:
    its = circuit_of(platform(CARAVAN))
    ready = prepared_for(its, {}, Evidence())
    setting = Setting("LIVE", 3.07, 0.1, 0.01, frozenset({"P.F1"}), shown={"P.F1": amps})
    weighing, _ = posterior_and_next_test(its, Evidence())
    predictions = Predictions(ready.expectations, ready.faults, listed(weighing), setting, {}, None)
    return predictions, ready.handling.action("pull-fuses", ("MAIN",))


def test_one_step_that_stops_gas_and_its_alarm_says_one_thing_of_both() -> None:
    its = platform(CARAVAN)
    both = [told.code for told in cautions_at(its, "pull-fuses", ("MAIN", "HTR", "GD"))]
    assert "gas-and-its-alarm" in both and not {"burns-gas", "gas-alarm"} & set(both)
    assert [t.code for t in cautions_at(its, "pull-fuses", ("HTR",)) if "gas" in t.code] == ["burns-gas"]
    assert [t.code for t in cautions_at(its, "pull-fuses", ("GD",)) if "gas" in t.code] == ["gas-alarm"]

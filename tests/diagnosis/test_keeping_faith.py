"""An answer keeps faith with what was read and tried: no reading that agrees takes anything away from what it agrees
with, no part that was out for nothing is suspected, what is done is not proposed again."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.explaining.if_two import if_two
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.netting import accounts_of
from circuitmap.diagnosis.weighing.reading_chance import Strip
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, Outcome, ReadBehind, TrySighting
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.diagnosis.weighing.weights import weighed
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.next_test import test_lines as lines_of_test
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.benchmarks.diagnosis.asking import Car, circuit_for, vehicle_of
from tests.benchmarks.diagnosis.simulator import Meter, Truth, something_wrong
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_answers import circuit_from

LOW = "low-current-clamp"
QUIET = tuple(f"F{n}=0.00A" for n in (21, 22, 23, 24, 25, 26, 27, 29, 31))


def asked(its: Circuit, *words: str, meter: str = LOW, **typed: tuple[str, ...]) -> Diagnosis:
    evidence = evidence_typed(its.platform, TypedEvidence(readings=words, meter=meter, resolution="10mA", **typed))
    return diagnose(its, evidence, {"TOW": False, "AUXHEAT": False, "COLDBOX": False} if its is circuit("van") else {})


def chance_of(found: Diagnosis, about: str) -> float:
    return next((subject.probability for subject in found.subjects if subject.about == about), 0.0)


# ---- what was read ----


def test_a_branch_that_shows_the_total_makes_nobody_call_both_a_slip() -> None:
    its = circuit("van")
    found = asked(its, "BAT=0.50A", "F32=0.50A")
    assert found.something_wrong > 0.97 and found.subjects[0].about == "CAB.F32"
    with_quiet_ones = asked(its, "BAT=0.50A", "F32=0.50A", *QUIET)
    assert with_quiet_ones.something_wrong > 0.97 and with_quiet_ones.subjects[0].about == "CAB.F32"


def test_a_cable_that_carries_nearly_all_is_no_tossing_of_a_coin() -> None:
    assert asked(circuit("van"), "BAT=0.97A", "ALT=0.93A", meter="clamp").something_wrong > 0.99


def test_more_current_at_a_fuse_never_makes_it_surer_that_nothing_is_wrong() -> None:
    its = circuit("van")
    wrong = [asked(its, f"F27={amps}A").something_wrong for amps in (2, 5, 10, 20)]
    assert wrong == sorted(wrong) and wrong[0] > 0.4


@settings(max_examples=40, deadline=None)
@given(amps=st.floats(0.1, 3.0), off=st.floats(-0.02, 0.02), own=st.floats(0.05, 1.5), seed=st.integers(0, 9))
def test_a_reading_that_agrees_never_lowers_an_explanation_against_one_it_contradicts(
    amps: float, off: float, own: float, seed: int
) -> None:
    """Fault 0 brings a current to the branch, fault 1 one to the place above it alone. The more the branch agrees with
    the place above, the better for fault 0, against fault 1 and against nothing."""
    healthy = 0.001 * (seed + 1)
    branch = ReadBehind(amps, 0.005, 0.01 * amps, 0.0, healthy, healthy**2)
    above = CurrentSighting(
        "BAT",
        Strip(amps + off - 0.005, amps + off + 0.005, 0.0, 0.02),
        0.01,
        1e-4,
        {1: (Brought("elsewhere", own, own**2),)},
        branches=(branch,),
        taken={0: 1},
    )
    below = CurrentSighting(
        "F1", Strip(amps - 0.005, amps + 0.005, 0.0, 0.02), healthy, healthy**2, {0: (Brought("here", own, own**2),)}
    )
    odds = np.array([0.01, 0.01])
    alone, both = weighed(tables_of([above], 2), odds), weighed(tables_of([above, below], 2), odds)
    assert both.singles[0] / both.singles[1] >= alone.singles[0] / alone.singles[1]
    assert both.singles[0] / max(both.nothing, 1e-300) >= alone.singles[0] / max(alone.nothing, 1e-300)


# ---- what was tried ----


@settings(max_examples=40, deadline=None)
@given(was=st.floats(0.2, 5.0), spread=st.floats(0.1, 1.0), share=st.floats(0.02, 0.6))
def test_what_is_left_judges_by_its_amount(was: float, spread: float, share: float) -> None:
    """Just a part's own share went: that speaks for what keeps it and all others awake, not for the part alone."""
    own, all_of_it = share * was, was
    away = (Brought("own", own, (spread * own) ** 2),)
    rest = (Brought("rest", all_of_it - own, (spread * (all_of_it - own)) ** 2),)
    outcome = Outcome("down", was, 0.02, 0.01, now=was - own, off=0.01)
    sighting = TrySighting("try", {0: (*away, *rest), 1: (*away, *rest)}, {0: rest}, 0.01, 1e-4, 0.0, 0.0, outcome)
    weighing = weighed(tables_of([sighting], 2), np.array([0.01, 0.01]))
    assert weighing.singles[0] > 5.0 * weighing.singles[1]


@pytest.mark.parametrize("seed", range(8))
def test_out_and_normal_never_lowers_what_hangs_on_it(seed: int) -> None:
    shape = (seed, 12, 8, 2)
    random = Random(f"out and normal {seed}")
    vehicle = vehicle_of(shape)
    wrong = something_wrong(vehicle, random, "by-itself")
    car = Car(shape, Truth(vehicle, (wrong,), random), Meter(random, LOW, 0.01), False, random)
    car.read_fuses(0.5)
    its = circuit_for(shape)
    total = next(r.amps for r in car.evidence.readings if r.place == "BAT") or 0.0
    if total < 0.2:
        return
    tried = evidence_typed(
        its.platform, TypedEvidence(readings=(f"BAT={total}A",), meter=LOW, unplugged=(f"{wrong.part}=0.02A",))
    )
    before = diagnose(its, car.evidence)
    after = diagnose(its, car.evidence.and_also(Evidence(tries=tried.tries)))
    held = {part.part: part.probability for part in before.parts}
    now = {part.part: part.probability for part in after.parts}
    assert now[wrong.part] >= held[wrong.part] - 1e-9


def test_its_own_share_clears_a_part() -> None:
    its = circuit("van")
    awake = ("BAT=0.99A", "F21=0.08A", "F22=0.08A", "F23=0.10A", "F26=0.27A", "F27=0.04A", "F29=0.15A", "F32=0.10A")
    found = asked(its, *awake, unplugged=("RADIO=0.84A",))
    kept = {f.part: p.probability for p in found.parts for f in p.faults if f.kind == "keeps-awake"}
    assert kept["RADIO"] < kept["BCM"] / 2.0


def test_a_told_try_is_never_the_next_step() -> None:
    its = circuit("van")
    read = ("BAT=0.99A", "F93=0.09A", "F92=0.90A", "F21=0.08A", "F23=0.10A", "F26=0.27A", "F29=0.15A", "F32=0.10A")
    told = TypedEvidence(readings=read, meter=LOW, resolution="10mA", looked=True, inputs=("DOORD=right",))
    tried: list[tuple[str, ...]] = []
    for _ in range(6):
        words = tuple(f"{','.join(parts)}=0.98A" for parts in tried)
        tests = diagnose(its, evidence_typed(its.platform, told._replace(unplugged=words))).tests.choices
        outs = [test.action.parts for test in tests if test.action.takes_out]
        assert not {frozenset(parts) for parts in outs} & {frozenset(parts) for parts in tried}
        if not outs:
            break
        tried.append(outs[0])
    assert tried


def test_relays_and_inputs_that_were_looked_at_are_not_asked_again() -> None:
    its = circuit("van")
    read = ("BAT=14.7A", "F93=14.5A")
    first = asked(its, *read)
    assert any(test.action.doing == "relay-volts" for test in first.tests.choices)
    again = asked(its, *read, relays=("REAR.K2=held",))
    assert not any(t.action.doing == "relay-volts" and t.action.parts == ("REAR.K2",) for t in again.tests.choices)


def test_a_try_counts_for_more_than_a_reading_and_the_reading_is_taken_again() -> None:
    """The load compartment's lamps burn, and their current was read at the fuse beside."""
    its = circuit("truck")
    read = "MAIN.F3=0.80A FRM.F40=0A FRM.F41=0A FRM.F42=0A FRM.F43=0A FRM.F44=0A FRM.F45=0A FRM.F46=0A FRM.F48=0A"
    words = ("BAT=0.85A", *read.split(), "FRM.F49=0A", "FRM.F50=0.79A")
    before, after = (asked(its, *words, unplugged=tried) for tried in ((), ("FRM.F50=0.85A",)))
    at_fuse, bodylsw = (chance_of(after, name) / chance_of(before, name) for name in ("FRM.F50", "BODYLSW"))
    assert bodylsw > 20.0 * at_fuse
    assert chance_of(after, "BODYLSW") > max(chance_of(after, "FRM.F50"), chance_of(after, "WORKSW"))
    assert [(m.segment.place, m.against is not None) for m in after.misfits] == [("FRM.F50", True)]
    first = after.tests.choices[0].action
    assert (first.doing, first.parts) == ("read-again", ("FRM.F50",))
    assert "FRM.F50 showed 0.79 A, yet with it out BAT stayed at 0.85 A" in " ".join(
        suspects_text(after.hands_off.platform, after).split()
    )


@pytest.mark.parametrize(
    ("vehicle", "read", "out", "culprits"),
    [
        ("van", "BAT=3.24A F24=0A F25=0A F26=0A", "F24=0.04A", ("CAB.F24", "BCM", "DOORD", "LOADL", "LOADR")),
        ("truck", "BAT=0.86A F50=0A F51=0A", "F51=0.06A", ("FRM.F51", "BODYLSW")),
        ("truck", "BAT=0.86A F50=0A F51=0A", "BODYLSW=0.06A", ("BODYLSW",)),
    ],
)
def test_a_fuse_that_showed_nothing_was_misread_if_the_draw_went_with_it(
    vehicle: str, read: str, out: str, culprits: tuple[str, ...]
) -> None:
    its = circuit(vehicle)
    fuse = "CAB.F24" if vehicle == "van" else "FRM.F51"
    found = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=tuple(read.split()), unplugged=(out,))))
    assert found.subjects[0].about in culprits
    assert [m.segment.place for m in found.misfits if m.against is not None] == [fuse]
    first = found.tests.choices[0].action
    assert (first.doing, first.parts) == ("read-again", (fuse,))
    assert f"{fuse} showed nothing, yet with" in " ".join(suspects_text(its.platform, found).split())


@pytest.mark.parametrize(
    ("vehicle", "read", "out", "drawing"),
    [
        ("van", "BAT=3.24A F24=0A F25=0A F26=3.22A", "F24=0.04A", "CAB.F26"),
        ("truck", "BAT=0.86A F50=0.84A F51=0A", "F51=0.02A", "FRM.F50"),
    ],
)
def test_one_try_against_readings_that_account_for_the_draw_is_doubted_itself(
    vehicle: str, read: str, out: str, drawing: str
) -> None:
    """All that flows was read at another fuse: the fuse that was out is neither accused nor called misread, and the try
    is to be made again. Made twice with the same outcome it counts."""
    its = circuit(vehicle)
    readings, fuse = tuple(read.split()), out.partition("=")[0]
    once = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=readings, unplugged=(out,))))
    plain = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=readings)))
    assert not any(m.against is not None for m in once.misfits)
    assert once.subjects[0].about == plain.subjects[0].about
    assert once.rows[0].probability == pytest.approx(plain.rows[0].probability)
    assert [t.why_not for t in once.tried] == ["odd"]
    said = " ".join(suspects_text(its.platform, once).split())
    assert f"{fuse} out doesn't count: it speaks against several readings that agree" in said
    twice = diagnose(its, evidence_typed(its.platform, TypedEvidence(readings=readings, unplugged=(out, out))))
    assert not any(t.why_not for t in twice.tried)
    assert drawing in plain.netted.measured


def test_what_vanishes_below_the_meters_step_is_no_change_and_no_cure() -> None:
    its = circuit("van")
    words = TypedEvidence(readings=("BAT=0.2A",), meter="clamp", resolution="100mA", unplugged=("RADIO=0.0A",))
    found = diagnose(its, evidence_typed(its.platform, words))
    assert [one.why_not for one in found.tried] == ["too coarse"]
    text = " ".join(suspects_text(its.platform, found).split())
    assert "with RADIO out: no change" not in text and "so small a draw can't be seen to go on this meter" in text


@pytest.mark.parametrize("twice", [False, True])
def test_a_try_that_came_early_speaks_of_what_flowed_through_it(twice: bool) -> None:
    """What keeps a network awake is not cleared by it, a lamp is; and a current that rose says nothing."""
    text = TWO_LAMPS.replace("awake 300mA", "awake 10mA")
    text += "module OTHER supply 1 ground 2 awake 800mA\nfuse F4 10A mini\nBAT.+ -> F4 -> OTHER.1\n"
    its = circuit_from(f"{text}OTHER.2 -> case\nnetwork CAN can members ONE, OTHER\n")
    evidence = evidence_typed(
        its.platform, TypedEvidence(readings=("BAT=0.82A",), meter=LOW, unplugged=("F1,F3=0.82A",))
    )
    early = replace(
        evidence.tries[0], after=replace(evidence.tries[0].after, speaks="woken", amps=1.9 if twice else 0.82)
    )
    before = diagnose(its, replace(evidence, tries=()))
    after = diagnose(its, replace(evidence, tries=(early,)))
    lamp, network = (chance_of(after, name) / chance_of(before, name) for name in ("S1", "CAN"))
    if twice:
        assert after.tried[0].why_not == "too early" and lamp == network == 1.0
    else:
        assert after.tried[0].at_once and lamp < 0.05 and network > 0.5


def test_what_is_done_once_more_says_why() -> None:
    its = circuit("van")
    read = evidence_typed(its.platform, TypedEvidence(readings=("BAT=0.5A", "F24=0.4A"), meter=LOW, resolution="10mA"))
    early = replace(read, readings=(read.readings[0], replace(read.readings[1], speaks="early")))
    found = diagnose(its, early)
    step = next((test for test in found.tests.choices if test.action.parts == ("CAB.F24",)), found.tests.choices[0])
    step = step._replace(action=step.action._replace(doing="read-fuse", parts=("CAB.F24",)))
    lines = " ".join(" ".join(lines_of_test(its.platform, found, 1, step, 100)).split())
    assert "Once more: the earlier one was read too early: the car had not had the time to fall asleep." in lines


def test_live_data_that_showed_a_wrong_input_are_not_asked_for_again() -> None:
    its = circuit("truck")
    read = ("BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F24=0.5mV", "F33=0.7mV", "F40=0.0mV", "F41=0.0mV")
    steps = asked(its, *read, inputs=("REMOTE=wrong",)).tests.choices
    assert not any(test.action.doing == "inputs" for test in steps)


def test_inputs_that_were_tested_and_found_fine_are_not_accused() -> None:
    its = circuit("van")
    card, problems = read_card(SourceFile("card.yaml", CURED_AND_TESTED))
    evidence, more = evidence_on(its.platform, card)
    assert not problems and not more
    found = diagnose(its, evidence)
    untested = diagnose(its, replace(evidence, tested=()))
    assert untested.subjects[0].about == "DOORD" and found.subjects[0].about == "DOME"
    assert "the inputs of DOME, tested apart, are fine" in suspects_text(its.platform, found)


CURED_AND_TESTED = """entries:
- {at: "08:00", state: locked}
- {at: "09:00", meter: low-current-clamp, resolution: 10mA, read: {BAT: 1.2A}}
- {at: "09:05", read: {F29: 0.00A, F24: 1.18A, F32: 0.00A}}
- {at: "09:10", out: [DOME]}
- {at: "09:40", read: {BAT: 0.03A}}
- {at: "09:45", tested: {DOME inputs: fine}}
"""


# ---- two things ----


def test_pairs_of_subjects_add_up_to_the_chance_of_two() -> None:
    its = circuit_from(TWO_LAMPS)
    ready = prepared_for(its, {}, Evidence())
    weighing = weighed((), np.array([fault.odds for fault in ready.faults]), together=ready.together)
    told = if_two(weighing, ready.faults)
    assert 0.0 < sum(two.probability for two in told) <= 1.0 + 1e-12
    few = if_two(weighed((), np.array([0.01, 0.02, 0.03])), ready.faults[:3])
    assert sum(two.probability for two in few) == pytest.approx(1.0, abs=1e-12)


TWO_LAMPS = """
battery BAT 70Ah
fuse F1 10A mini, F2 10A mini, F3 10A mini
lamp L1 running 800mA
lamp L2 running 1600mA
switch S1 positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
module ONE supply 1 ground 2 awake 300mA
BAT.+ -> F1 -> L1 -> S1.1
S1.2 -> case
BAT.+ -> F2 -> L2 -> S2.1
S2.2 -> case
BAT.+ -> F3 -> ONE.1
ONE.2 -> case
BAT.- -> case
"""


def test_two_lamps_that_add_up_are_two_things_not_a_slip() -> None:
    found = asked(circuit_from(TWO_LAMPS), "BAT=2.41A", "F1=0.80A", "F2=1.60A", "F3=0.00A")
    assert found.two_faults > 0.95 and set(found.if_two[0].about) == {"S1", "S2"}
    assert "S2 and S1" in suspects_text(found.hands_off.platform, found)


def test_the_second_comes_up_when_the_first_is_out() -> None:
    found = asked(circuit_from(TWO_LAMPS), "BAT=2.41A", "F1=0.80A", "F2=1.60A", "F3=0.00A", unplugged=("S1=1.61A",))
    assert found.two_faults > 0.95
    assert found.tests.mend != "S1" and not any(test.action.parts == ("S1",) for test in found.tests.choices)


# ---- two batteries, and currents that run backwards ----


def living(*words: str) -> Diagnosis:
    its = circuit("motorhome")
    evidence = evidence_typed(its.platform, TypedEvidence(readings=words, meter=LOW, positions=("LIVSW=on",)))
    return diagnose(its, evidence, {"BOOST": False, "SOLAR": False, "BATT2": False})


def test_a_box_fed_from_both_ends_adds_up() -> None:
    found = living("BAT=1.25A", "LEIS=0.80A", "FS1=1.20A", "F3=1.50A", "F12=0.50A")
    assert found.contradictions == () and chance_of(found, "KSPLIT") > 0.9
    assert [(its.place, its.reading.place) for its in found.netted.both_ends] == [("LEIS", "FS1")]
    assert abs(accounts_of(found.netted)["LEIS"].left) < 0.05


def test_a_current_that_crosses_counts_once() -> None:
    found = living("BAT=4.3A", "LEIS=-2.9A", "FS1=4.2A", "FS2=4.1A", "CBL=-2.9A", "F3=1.2A")
    assert found.contradictions == () and chance_of(found, "KSPLIT") > 0.9
    assert not any(misfit.segment.place in ("FS1", "FS2", "CBL") for misfit in found.misfits)


def test_what_nobody_gives_is_not_fed_from_both_ends() -> None:
    found = living("BAT=0.05A", "LEIS=0.80A", "FS1=0A", "F3=1.50A", "F12=0.50A")
    assert found.netted.both_ends == () and [clash.place for clash in found.contradictions] == ["LEIS"]


def test_a_current_that_runs_backwards_is_told_and_netted_nowhere() -> None:
    its = circuit("van")
    found = asked(its, "BAT=0.5A", "F24=-0.5A")
    text = suspects_text(its.platform, found)
    assert "CAB.F24 (-0.50 A) runs backwards" in text and "read: nothing to see" not in text
    account = accounts_of(found.netted)["BAT"]
    assert account.found == 0.0 and account.left == pytest.approx(0.5)
    text = suspects_text(its.platform, asked(its, "BAT=-0.5A"))
    assert "READ AGAIN: at BAT 0.50 A run into the battery." in text and "MAY BE" not in text


# ---- odds ----


def test_an_unrelated_lamp_moves_nobody_by_more_than_its_own_odds() -> None:
    rows = "".join(f"fuse G{n} 10A mini\nlamp M{n} running 500mA\nswitch T{n} positions off, on closes 1 to 2 in on\n"
                   f"BAT.+ -> G{n} -> M{n} -> T{n}.1\nT{n}.2 -> case\n" for n in range(5))  # fmt: skip
    few, many = (circuit_from(text) for text in (TWO_LAMPS, TWO_LAMPS + rows))
    one, other = (asked(its, "BAT=0.80A", "F1=0.80A") for its in (few, many))
    assert chance_of(other, "S1") > 0.8 * chance_of(one, "S1")


def test_two_rows_of_a_chart_are_two_feeds() -> None:
    its = circuit_from(
        "battery BAT 70Ah\nfuse F1 20A mini, F2 10A mini, F3 10A mini\nmodule ABS awake 200mA\nmodule BCM awake 300mA\n"
        "network CAN can members ABS, BCM\nF1 feeds ABS\nF2 feeds ABS\nF3 feeds BCM\n"
    )
    found = asked(its, "BAT=0.50A", "F1=0.13A", "F2=0.07A", "F3=0.30A")
    assert found.subjects[0].about == "CAN" and found.two_faults < 0.1 and not found.misfits

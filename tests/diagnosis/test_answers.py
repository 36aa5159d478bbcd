"""Whole answers as a technician reads them: why, what it is not, outcomes that can happen, several batteries."""

from dataclasses import replace

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose, posterior_and_next_test
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.explaining.listing import listed
from circuitmap.diagnosis.explaining.reasons import Unseen
from circuitmap.diagnosis.next_test.planned import OutcomeBranch, PlannedTest
from circuitmap.diagnosis.next_test.predicting import Predictions, Setting
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.choosing_readings import chosen_from
from circuitmap.diagnosis.seen.netting import accounts_of, found_behind
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.next_test import test_lines as lines_of
from circuitmap.reports.suspects.outcomes import outcome_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.diagnosis.cards import after, circuit

CAMPER = """
platform "Camper conversion" supply 12V
battery BAT 90Ah
battery AUX 110Ah
box CAB
fuse MAIN 125A bolted
bar CAB.B feeds CAB.F4, CAB.F9, CAB.F20
fuse CAB.F4 10A mini, CAB.F9 20A regular, CAB.F20 40A maxi
module HEATER supply 1 ground 2
lamp READ
switch READSW positions off, on closes 1 to 2 in on
relay SPLIT make
key IGN positions off, run closes 30 to 15 in run
network CAN1 can members HEATER
BAT.+ -> MAIN -> CAB.B
CAB.F4 -> READ.1
READ.2 -> READSW.1
READSW.2 -> BODY
CAB.F9 -> HEATER.1
HEATER.2 -> BODY
CAB.F20 -> SPLIT.30
SPLIT.87 -> AUX.+
CAB.F20 -> IGN.30
IGN.15 -> SPLIT.86
SPLIT.85 -> BODY
"""
VAN = ("BAT=14.8A", "F93=14.6A", "F70=14.6A", "F72=12.4A", "F73=2.2A", "F27=0.16A", "F21=0A", "F22=0A")
VAN_LACKS = {"TOW": False, "AUXHEAT": False, "COLDBOX": False}


def circuit_from(text: str) -> Circuit:
    source = SourceFile("camper.circuit", text)
    notation, problems = read_text(source)
    assert problems == ()
    return circuit_of(platform_of([notation], [source]))


def asked(its: Circuit, *words: str, meter: str = "clamp", options: dict[str, bool] | None = None,
          unplugged: tuple[str, ...] = (), networks: tuple[str, ...] = (), unsteady: tuple[str, ...] = (),
          positions: tuple[str, ...] = ()) -> Diagnosis:  # fmt: skip
    typed = TypedEvidence(
        readings=words, meter=meter, unplugged=unplugged, networks=networks, unsteady=unsteady, positions=positions
    )
    return diagnose(its, replace(evidence_typed(its.platform, typed), options=options or {}))


def section_of(text: str, head: str) -> str:
    """One block of the answer, from its first words to the next line that starts at the margin."""
    lines = text.splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith(head))
    block = [lines[start]]
    for line in lines[start + 1 :]:
        if not line.startswith(" "):
            break
        block.append(line)
    return " ".join(" ".join(block).split())


def van() -> Diagnosis:
    return asked(circuit("van"), *VAN, options=VAN_LACKS, unplugged=("BCM=14.8A",))


# ---- why ----


def test_what_draws_speaks_for_the_place_and_the_coils_fuse_tells_coil_from_contact() -> None:
    text = suspects_text(circuit("van").platform, van())
    why = section_of(text, "WHY")
    loads = (
        "REAR.F72 (12.4 A: SCRL and SCRR), REAR.F73 (2.20 A: MIRL and MIRR) and CAB.F27 (0.16 A: the coil of REAR.K2)"
    )
    assert f"+++ {loads} draw." in why
    assert "+ with BCM out: no change." in why
    assert section_of(text, "NOT REAR.K2 stuck") == (
        "NOT REAR.K2 stuck, because +++ CAB.F27 (0.16 A: the coil of REAR.K2) draws; were it REAR.K2 stuck, it would not."
    )
    assert section_of(text, "NOT BCM,") == "NOT BCM, because +++ with BCM out: no change."


def test_a_fuse_out_and_back_to_normal_speaks_for_what_hangs_on_it() -> None:
    its = circuit("van")
    text = suspects_text(its.platform, asked(its, "BAT=0.9A", "F24=0.85A", unplugged=("F24=0.04A",)))
    assert not any(line.startswith(" -") for line in text.partition("WHY")[2].splitlines())
    assert "+ with CAB.F24 out: back to normal." in section_of(text, "WHY")


@pytest.mark.parametrize("name", ["truck/jobs/0412", "van/jobs/0405", "motorhome/jobs/0366"])
def test_what_no_reading_says_is_no_reason(name: str) -> None:
    text = suspects_text(circuit(name.partition("/")[0]).platform, after(name))
    assert "before any reading" not in text and "zero is the same" not in text


def test_the_lines_against_a_rival_add_up_to_what_parts_the_two() -> None:
    for row in van().rows[:5]:
        assert row.argument.total == pytest.approx(sum(line.decibans for line in row.argument.lines), abs=0.011)
        for beaten in row.beaten:
            assert Unseen.BEFORE not in {line.about for line in beaten.lines}


def test_a_fuse_that_hides_a_current_is_not_called_quiet_in_why() -> None:
    its = circuit("truck")
    text = suspects_text(its.platform, asked(
        its, "BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F24=0.5mV", "F33=0.7mV", "F40=0.0mV", "F41=0.0mV",
        "F31=0.0mV", networks=("CHASSIS=2.5V",), unsteady=("LIFT",),
    ))  # fmt: skip
    assert "FRM.F40 and FRM.F41 show nothing (up to 0.10 A can hide in them)" in " ".join(text.split())
    assert "F41 are quiet" not in text
    assert "Take FRM.F40 and FRM.F41 out together" in text
    assert "Not one alone: the other feeds LIFT, too." in text


# ---- slips ----


def test_looks_that_agree_make_a_slip_unlikely() -> None:
    its = circuit("van")
    once, twice = asked(its, "BAT=1.65A"), asked(its, "BAT=1.65A", "BAT=1.64A")
    thrice = asked(its, "BAT=1.65A", "BAT=1.64A", "BAT=1.65A")
    assert once.something_wrong < 0.99 < twice.something_wrong < thrice.something_wrong
    assert twice.netted.looks["BAT"] == 2
    changed = asked(its, "BAT=1.65A", "BAT=0.40A")
    assert changed.netted.looks["BAT"] == 1


def test_a_current_that_was_watched_or_is_the_same_with_something_out_is_two_looks() -> None:
    its = circuit("van")
    ready = prepared_for(its, {}, Evidence())
    reading = written_reading(its.platform, "BAT=1.65A", meter_named("clamp"))
    assert chosen_from([reading], ready.tree).looks == {"BAT": 1}
    assert chosen_from([replace(reading, watched=True)], ready.tree).looks == {"BAT": 2}
    assert asked(its, "BAT=1.65A", unplugged=("RADIO=1.65A",)).netted.looks["BAT"] == 2
    assert asked(its, "BAT=1.65A", unplugged=("RADIO=0.40A",)).netted.looks["BAT"] == 1


def test_a_single_large_total_is_read_again_rather_than_called_normal() -> None:
    text = suspects_text(circuit("van").platform, asked(circuit("van"), "BAT=0.25A"))
    assert "UNLESS     the total was misread: zero the clamp and read it once more before NEXT 1." in text
    assert "nothing wrong with the draw" not in text
    assert "UNLESS" not in suspects_text(circuit("van").platform, asked(circuit("van"), "BAT=0.25A", "BAT=0.25A"))


def test_others_do_not_repeat_what_comes_first() -> None:
    its = circuit_from(CAMPER.replace("members HEATER", "members HEATER, BCM").replace("relay", "module BCM\nrelay"))
    text = suspects_text(its.platform, asked(its, "BAT=0.46A", "F9=0.45A", networks=("CAN1=2.5V",)))
    assert section_of(text, "MAY BE").startswith("MAY BE 5 in 10 BCM. 5 in 10 HEATER.")
    assert section_of(text, "TELL BY").endswith("the first two, alike by all that was read.")
    rest = text.partition("OR ELSE")[2].partition("TELL BY")[0]
    assert "HEATER" not in rest and "BCM" not in rest


# ---- outcomes ----


def test_a_fuse_that_was_seen_to_draw_takes_its_current_with_it() -> None:
    """Whatever the explanation: the current stays only by a slip of the test."""
    its, evidence = circuit("van"), Evidence()
    ready = prepared_for(its, {}, evidence)
    everything = listed(posterior_and_next_test(its, evidence)[0])
    hand = ready.handling
    pull = [hand.action("pull-fuses", ("CAB.F24",))]
    for shown, most in (({}, 1.0), ({"CAB.F24": 0.45}, 0.02)):
        setting = Setting("BAT", 0.85, 0.06, 0.01, frozenset(shown), shown)
        ((_, names, chances),) = Predictions(ready.expectations, ready.faults, everything, setting).of_all(pull)
        stays = chances[:, names.index("stays")]
        assert stays.max() < most and chances.sum(axis=1) == pytest.approx(1.0)
        assert shown or stays.max() > 0.9


def test_what_was_found_behind_a_place_is_expected_there() -> None:
    its = circuit_from(CAMPER)
    ready = prepared_for(its, {}, Evidence())
    nets = asked(its, "BAT=0.85A", "AUX=0A", "F9=0.45A", "F4=0.1A").netted
    found = found_behind(nets, ready.tree)
    assert found["MAIN"].amps == pytest.approx(0.55) and 0.0 < found["MAIN"].error < 0.2
    assert "CAB.F20" not in found
    action = ready.handling.action("clamp", ("MAIN",))
    branches = tuple(OutcomeBranch(outcome, 1.0 / 3.0, "BCM", 0.5) for outcome in ("quiet", "some", "most"))
    test = PlannedTest(action, 1.0, branches, found=0.55, ends=(0.04, 0.2))
    says = [outcome_words(van(), test, outcome) for outcome in ("quiet", "some", "most")]
    assert says == [
        "under 0.59 A: no more than was found behind it", "0.59 to 0.75 A", "0.75 A or more",
    ]  # fmt: skip


def test_outcomes_of_less_than_one_in_twenty_are_not_told() -> None:
    its = circuit("van")
    action = prepared_for(its, {}, Evidence()).handling.action("read-fuse", ("CAB.F24",))
    branches = (
        OutcomeBranch("quiet", 0.92, "BCM", 0.5),
        OutcomeBranch("some", 0.05, "BCM", 0.5),
        OutcomeBranch("most", 0.03, "BCM", 0.5),
    )
    lines = "\n".join(lines_of(its.platform, van(), 1, PlannedTest(action, 1.0, branches, ends=(0.027, 0.4)), 94))
    assert "nothing (under 0.2 mV, 0.03 A)" in lines and "0.03 A or more (0.2 mV)" in lines and "0.40 A" not in lines


def test_a_fuse_whose_drop_says_nothing_is_clamped() -> None:
    its = circuit_from(CAMPER)
    ready = prepared_for(its, {}, Evidence())
    hand = ready.handling
    assert hand.reads("MAIN") == "clamp"
    assert hand.reads("CAB.F9") == "read-fuse"


# ---- several batteries ----


def test_a_battery_that_another_one_charges_is_no_contradiction() -> None:
    its = circuit_from(CAMPER)
    found = asked(its, "BAT=3A", "AUX=-3A", "F20=3A")
    assert found.contradictions == () and found.account is not None
    assert found.account.total == pytest.approx(3.0) and found.account.found == pytest.approx(3.0)
    text = suspects_text(its.platform, found)
    assert "BAT gives 3.00 A and AUX takes in 3.00 A (12 V)" in text
    assert "LOOK AT    SPLIT: its contact SPLIT.87 is stuck closed" in text
    assert "+++ AUX is being charged, 3.00 A: something joins it to the other battery." in section_of(text, "WHY")
    assert "Clamp the plus cable of AUX" not in text


def test_a_battery_charged_by_nobody_is_a_contradiction() -> None:
    found = asked(circuit_from(CAMPER), "BAT=0.02A", "AUX=-3A")
    assert [clash.place for clash in found.contradictions] == ["AUX"]


def test_each_battery_has_its_own_balance() -> None:
    its = circuit("motorhome")
    found = asked(
        its, "BAT=4.3A", "LEIS=0.01A", "FS1=4.3A", "F3=4.2A", "F12=0.07A", "F5=0.04A", "F9=0.02A", "F8=0A",
        options={"BOOST": False, "SOLAR": False},
    )  # fmt: skip
    balance = accounts_of(found.netted)
    assert set(balance) == {"BAT", "LEIS"}
    assert balance["BAT"].total == pytest.approx(4.3) and abs(balance["BAT"].left) < 0.05
    assert balance["LEIS"].total == pytest.approx(0.01)
    assert found.contradictions == ()
    text = suspects_text(its.platform, found)
    assert "Total 4.31 A: BAT 4.30 A and LEIS 0.01 A" in text
    assert "don't go together" not in text and "LIVSW" not in text


# ---- small currents, no fuse ----


def test_the_motorcycle_is_told_in_milliamps_and_its_rectifier_leads() -> None:
    """That it leads pins down two constants that are judgement; it is no evidence for them."""
    its = circuit("motorcycle")
    found = asked(its, "BAT=46mA", "F1=1mA", "F5=0.8mA", meter="low-current-clamp", options={"GRIPS": False})
    text = suspects_text(its.platform, found)
    assert "Total 46 mA (12 V)" in text
    assert "found 1 mA of 46 mA. Not found yet 45 mA" in text and "0.00 A" not in text
    assert found.subjects[0].about == "REG"
    assert max(p.probability for p in found.parts if p.part in ("SOL", "STARTER")) < 0.15
    assert any("REG" in test.action.parts for test in found.tests.choices)  # clamped with all else at the post


def test_the_cable_of_what_no_fuse_protects_can_be_read() -> None:
    its = circuit("motorcycle")
    found = asked(its, "BAT=46mA", "F1=1mA", "REG=45mA", meter="low-current-clamp", options={"GRIPS": False})
    assert found.parts[0].part == "REG" and found.parts[0].probability > 0.8
    assert found.account is not None and abs(found.account.left) < 0.005


# ---- words ----


def test_a_control_wire_says_what_it_rubs_on() -> None:
    text = " ".join(suspects_text(circuit("van").platform, van()).split())
    assert "REAR.K2, Heated screens relay), rubbed through to ground: the relay is held in" in text
    its = circuit("motorhome")
    found = asked(its, "BAT=4.3A", "LEIS=0.01A", "FS1=4.3A", "F3=4.2A", options={"BOOST": False, "SOLAR": False})
    words = {fault_words(its.platform, fault) for fault in found.faults if fault.part == "control wire of KSPLIT"}
    assert any("rubbed through to a live wire" in said for said in words)
    assert not any("rubbed through to ground" in said for said in words)


def test_a_wire_is_freed_and_care_fits_what_is_proven() -> None:
    """With the module, and then the cavity on the way, out for nothing one piece of the wire is left."""
    out = ("BCM=14.8A", "X20.8=14.8A")
    left = asked(circuit("van"), *VAN, options=VAN_LACKS, unplugged=out)
    text = " ".join(suspects_text(circuit("van").platform, left).split())
    assert "freed from what it rubs on, the draw is gone" in text and "with it out the draw" not in text
    assert "(2)" not in text.partition("CARE")[2] and "(3)" not in text.partition("CARE")[2]


def test_what_is_explained_only_in_part_is_said() -> None:
    its = circuit("van")
    text = suspects_text(its.platform, asked(its, "BAT=1.52A", "F24=1.46A", options=VAN_LACKS))
    assert "explains 0.87 A of 1.46 A" in " ".join(text.split())


def test_too_early_counts_only_what_is_level() -> None:
    for name in ("van", "truck", "motorcycle"):
        text = suspects_text(circuit(name).platform, asked(circuit(name), "BAT=0.9A"))
        assert "1 things" not in text and "one is ahead" not in text

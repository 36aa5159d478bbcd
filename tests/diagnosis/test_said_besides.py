"""What the answer says besides its first line: what should be dead, what stays unexplained, what nothing tells
apart."""

from dataclasses import replace

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.job.job_text import brief
from circuitmap.reports.suspects.step_in_words import action_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from tests.diagnosis.cards import CARDS, after, circuit, evidence_after
from tests.diagnosis.test_answers import VAN, VAN_LACKS, asked, circuit_from, section_of


def answer(
    vehicle: str,
    *words: str,
    options: dict[str, bool] | None = None,
    positions: tuple[str, ...] = (),
    meter: str = "clamp",
) -> tuple[Diagnosis, str]:
    its = circuit(vehicle)
    found = asked(its, *words, options=options, positions=positions, meter=meter)
    return found, suspects_text(its.platform, found)


def test_a_fuse_that_should_be_dead_and_draws_is_told_with_what_would_feed_it() -> None:
    found, text = answer("motorhome", "BAT=0.02A", "LEIS=0.44A", "LIV.F1=3.1mV")
    assert [dead.place for dead in found.dead] == ["LIV.F1"]
    assert "How does LIVSW, living area main switch" in section_of(text, "SAY FIRST")
    found, text = answer("motorhome", "BAT=0.02A", "LEIS=0.44A", "LIV.F1=3.1mV", positions=("LIVSW=off", "PANSW=off"))
    told = section_of(text, "DEAD?")
    assert "LIV.F1 draws 0.42 A" in told and "with LIVSW on and PANSW on" in told


def test_what_the_answer_explains_is_not_told_as_dead() -> None:
    """With the split-charge relay pulled in, the living area's fuses are live through it, and it is the answer."""
    found = after("motorhome/jobs/0366", len(evidence_after("motorhome/jobs/0366").readings))
    assert found.dead, "some of them are dead on a sound car"
    assert "DEAD?" not in suspects_text(circuit("motorhome").platform, found)


def test_where_nothing_fits_the_figures_are_told_and_what_to_do() -> None:
    drawing, quiet = ("F32=0.5A", "F24=0.65A", "F29=0.2A"), (f"F{n}=0A" for n in (31, 21, 22, 23, 27, 30))
    found, text = answer("van", "BAT=1.5A", *drawing, *quiet, meter="low-current-clamp")
    assert found.nothing_fits
    assert "CAB.F24 (0.65 A), CAB.F32 (0.50 A) and CAB.F29 (0.20 A) draw" in section_of(text, "SO FAR")
    steps = section_of(text, "NEXT")
    assert "Read CAB.F32 and CAB.F29 again" in steps
    assert "CAB.F32 out, and watch the total fall by 0.50 A; put it back, then CAB.F29 out" in steps


def test_a_reading_that_the_answer_leaves_unexplained_is_named() -> None:
    read = ("BAT=1.0A", "F24=6.2mV", "F71=0.5mV", "F21=0mV", "F22=0mV", "F26=0mV", "F27=0mV")
    found, text = answer("van", *read, options={"TOW": True})
    assert found.subjects[0].about == "DOORD"
    assert "that leaves REAR.F71 (0.15 A) unexplained: misread, or a second fault" in section_of(text, "BUT")
    assert "two faults at once, counted above, too: DOORD and REAR.F71 (3 in 10 of that)" in section_of(text, "OR ELSE")
    assert "Read REAR.F71 again" not in section_of(text, "OR ELSE")  # what is left over says so
    _, text = answer("van", *(word for word in read if "F71" not in word), options={"TOW": True})
    assert "BUT" not in text


def test_a_rival_that_no_reading_tells_apart_is_named() -> None:
    """BCM drives the very coil whose wire may be rubbed through: what draws is the same."""
    its = circuit("van")
    found = asked(its, *VAN, options=VAN_LACKS)
    row = found.rows[0]
    assert row.faults[0][0].part == "control wire of REAR.K2"
    rivals = {found.faults[n].part for rival in row.level_with for n in rival.members[0]}
    assert "BCM" in rivals
    text = suspects_text(its.platform, found)
    assert "3 in 10 BCM, Body computer, by its pin C14." in section_of(text, "MAY BE")
    assert section_of(text, "TELL BY").startswith("TELL BY NEXT 1 (")
    assert section_of(text, "TELL BY").endswith("alike by all that was read.")
    told_apart = asked(its, *VAN, options=VAN_LACKS, unplugged=("BCM=14.8A",))
    assert not any(found.faults[n].part == "BCM" for rival in told_apart.rows[0].level_with for n in rival.members[0])


@pytest.mark.parametrize("name", CARDS)
@pytest.mark.parametrize("entries", [3, 5])
def test_no_rival_is_ruled_out_twice(name: str, entries: int) -> None:
    found = after(name, entries)
    for row in found.rows[:3]:
        rivals = [tuple(sorted(found.faults[n].part for n in beaten.rival.members[0])) for beaten in row.beaten]
        assert len(rivals) == len(set(rivals))


def test_who_looked_is_not_told_to_look_again() -> None:
    its = circuit("truck")
    evidence = evidence_typed(its.platform, TypedEvidence(readings=("BAT=0.9A",)))
    before = diagnose(its, evidence).tests.choices
    after_it = diagnose(its, replace(evidence, looked=True)).tests.choices
    assert any(test.action.doing == "look" for test in before)
    assert not any(test.action.doing == "look" for test in after_it) and after_it


def test_more_found_than_the_total_is_said_as_it_is() -> None:
    _, text = answer("van", "BAT=0.80A", "F24=6.2mV", options=VAN_LACKS)
    assert "That is 0.04 A more than the total" in section_of(text, "COUNT") and "-0.0" not in text


def test_what_a_clamp_cannot_tell_beyond_what_was_found_is_no_test() -> None:
    """All but 0.02 A of the total was found, and the meters can be off 0.35 A: a feeder above tells nothing."""
    read = ("BAT=1.0A", "F24=6.2mV", "F71=0.5mV", "F21=0mV", "F22=0mV", "F26=0mV", "F27=0mV")
    found, _ = answer("van", *read, options={"TOW": True})
    assert not any(test.action.parts == ("PRE",) for test in found.tests.choices)


def test_outcomes_of_a_reading_are_told_in_amps_without_a_gap() -> None:
    found, text = answer("truck", "BAT=0.9A")
    test = next(test for test in found.tests.choices if test.action.doing == "clamp")
    low, high = test.ends
    assert 0.0 < low < high < 0.9
    assert (
        f"nothing (under {low:.2f} A)" in text
        and f"{low:.2f} to {high:.2f} A" in text
        and f"{high:.2f} A or more" in text
    )


def test_a_switch_is_proved_by_its_position() -> None:
    read = ("BAT=0.02A", "LEIS=4.6A", "F3=18mV", "F12=1.3mV", "F8=0mV", "F5=0mV")
    found, text = answer("motorhome", *read)
    assert found.tests.mend == "LIVSW"
    assert "LIVSW, living area main switch" in section_of(text, "LOOK AT")
    assert "is on, or its contact" in section_of(text, "LOOK AT")
    assert "is it really at off?" in section_of(text, "NEXT") and "inputs" not in section_of(text, "NEXT")


def test_where_the_control_wire_runs() -> None:
    _, text = answer("van", *VAN, options=VAN_LACKS)
    told = section_of(text, "MAY BE")
    assert "(Heated screens relay, in load-space relay and fuse holder); 85 GY/VT to X20.8" in told
    assert "86" not in told, "that is the coil's feed"


def test_fuses_of_two_boxes_are_told_with_their_boxes() -> None:
    hand = prepared_for(circuit("van"), {}, Evidence()).handling
    platform = circuit("van").platform
    one, two = (hand.action("pull-fuses", parts) for parts in (("CAB.F21", "CAB.F22"), ("CAB.F21", "REAR.F71")))
    assert action_words(platform, one) == "Take CAB.F21 and CAB.F22 out together, cab fuse box."
    assert (
        action_words(platform, two)
        == "Take CAB.F21 (cab fuse box); REAR.F71 (load-space relay and fuse holder) out together."
    )


def test_links_and_bolted_fuses_are_clamped() -> None:
    its = circuit("truck")
    hand = prepared_for(its, {}, Evidence()).handling
    heavy = [f.name for f in its.platform.fuses if f.kind == "link" or f.style == "bolted"]
    assert heavy and {hand.reads(name) for name in heavy} == {"clamp"}
    assert hand.reads("CAB.F19") == "read-fuse"


def test_what_the_minus_carries_more_than_the_plus_leaves_at_the_tap() -> None:
    _, text = answer("truck", "BAT=0.382A", "BAT.-=0.561A")
    assert "The minus carries 0.18 A more than the plus: that leaves at the tap between." in text
    assert "the tap between the batteries of BAT" in section_of(text, "MAY BE")
    assert "BAT.mid" not in text and "?SP5" not in text and "?ENGC" not in text


def test_what_stands_close_behind_the_level_ones_is_named() -> None:
    """Where two fuses draw, the module that one of them feeds is not left out."""
    _, text = answer(
        "van", "BAT=0.62A", "F23=1.4mV", "F30=1.1mV", "F21=0mV", "F24=0.1mV", "F26=0.2mV", options=VAN_LACKS
    )
    assert "something on CAB.F23" in section_of(text, "MAY BE")
    assert "2 in 10 DDM, driver's door module." in section_of(text, "OR ELSE")


def test_readings_that_stopped_counting_with_a_new_total_are_told_beside_the_count() -> None:
    card = """
entries:
  - {total: 0.50A, steady: yes, read: {CAB.F24: 0.30A, CAB.F22: 0A}}
  - {total: 1.20A, steady: yes, read: {CAB.F27: 0.10A}}
"""
    its = circuit("van")
    evidence, problems = evidence_on(its.platform, read_card(SourceFile("c.yaml", card))[0])
    assert problems == ()
    text = suspects_text(its.platform, diagnose(its, evidence))
    told = "SET ASIDE CAB.F24 and CAB.F22 belong to another state: the total was 0.50 A then, and is 1.20 A now."
    assert told in section_of(text, "SET ASIDE")
    assert "another state" not in section_of(text, "NOT KNOWN")
    assert told in " ".join(" ".join(brief(text.splitlines())).split())


def test_a_feed_that_comes_from_nowhere_yet_is_asked_about_as_any_other() -> None:
    """One wire is typed in, and neither a battery nor the fuse that it comes from."""
    its = circuit_from('module HEATER "auxiliary heater" supply A1\nF1 -> HEATER.A1 in RD 0.75\n')
    said = " ".join(suspects_text(its.platform, asked(its)).split())
    assert "What feeds F1 and HEATER is not on the drawings yet." in said

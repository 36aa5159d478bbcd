"""What no fuse protects: wires straight from a battery, a wire that begins where nobody typed in, and a look at the
post."""

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.questions import platform_from
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_of
from circuitmap.source import SourceFile
from tests.diagnosis.test_wires_that_are_left import told

QUAD = """\
platform "Quad" supply 12V sleep 1min..2min limit 4mA
battery AKKU 14Ah
fuse M1 30A maxi "all"
module CLK "clock" supply 1 ground 2 asleep 1mA awake 80mA
alternator GEN "rectifier" supply 1 ground 2
starter STA supply 30 ground 31
load HORN2 "second horn"
ground GB
AKKU.+ -> ST1 in RD 10
ST1 -> M1 in RD 6
M1 -> CLK.1
ST1 -> GEN.1 in RD 4
ST1 -> STA.30 in RD 10
? "laid later, from where nobody knows" -> HORN2.1 in BU
HORN2.2 -> GB
CLK.2, GEN.2, STA.31, AKKU.- -> GB
splice ST1
"""
LOCKED = "at: 09:00, state: locked, meter: low-current-clamp, resolution: 1mA, zeroed: yes"
READ = "at: 09:20, total: 45mA, read: {M1: 1mA, GEN: 0mA, STA: 0mA}, steady: yes, looked: yes"
OUT = ("at: 09:30, out: [HORN2]", "at: 09:36, total: 45mA, steady: yes", "at: 09:37, back: [HORN2]",
       "at: 09:44, total: 45mA, steady: yes")  # fmt: skip


@pytest.fixture(scope="module")
def quad() -> Circuit:
    return circuit_of(platform_from((SourceFile("q.circuit", QUAD),)))


def chance(found: Diagnosis, part: str) -> float:
    return next(its.probability for its in found.parts if its.part == part)


def test_each_wire_before_the_first_fuse_can_be_chafed_and_none_of_them_is_likely(quad: Circuit) -> None:
    found, _ = told(quad, LOCKED, READ)
    wires = {fault.part: fault for fault in found.faults if fault.kind == "chafed" and fault.about == "AKKU"}
    assert set(wires) == {
        "wire AKKU.+ to ST1",
        "wire ST1 to M1.1",
        "wire ST1 to GEN.1",
        "wire ST1 to STA.30",
        "feed wire of HORN2",
    }
    assert all(not fault.odds > wires["feed wire of HORN2"].odds for fault in wires.values())
    behind = next(fault for fault in found.faults if fault.part == "wiring behind M1")
    assert wires["wire ST1 to GEN.1"].odds < 0.2 * behind.odds
    one, *others = (fault.brings for name, fault in wires.items() if name.startswith("wire ST1"))
    assert all(its is one for its in others)


def test_the_wire_to_a_part_goes_on_with_the_part_out_and_what_feeds_it_stays_unknown(quad: Circuit) -> None:
    """With the horn's plug parted its feed wire is as live as it was, up to that plug."""
    before, _ = told(quad, LOCKED, READ)
    after, _ = told(quad, LOCKED, READ, *OUT)
    assert chance(after, "HORN2") < 0.02 < chance(before, "HORN2")
    assert chance(after, "feed wire of HORN2") > 1.5 * chance(before, "feed wire of HORN2")
    assert "What feeds HORN2 is not on the drawings yet" in suspects_text(quad.platform, after)


def test_where_something_on_the_battery_is_likely_somebody_looks_at_its_post(quad: Circuit) -> None:
    found, _ = told(quad, LOCKED, READ, *OUT)
    first = found.tests.choices[0]
    assert (first.action.doing, first.action.parts) == ("at-the-post", ("AKKU",))
    assert [branch.outcome for branch in first.branches] == ["found", "not found"]
    assert first.branches[0].probability > 0.6
    codes = [one.code for one in cautions_of(quad.platform, found.switching, first.action)]
    assert codes[:3] == ["battery", "at-the-post", "zero-first"]
    said = " ".join(suspects_text(quad.platform, found).split())
    assert "Nothing: found AKKU sound." in said and "fitted NAME from AKKU" in said


def test_the_card_takes_both_answers_of_that_look(quad: Circuit) -> None:
    before, _ = told(quad, LOCKED, READ, *OUT)
    nothing, _ = told(quad, LOCKED, READ, *OUT, "at: 09:50, found: {AKKU: sound}")
    assert "at-the-post" not in [test.action.doing for test in nothing.tests.choices]
    assert chance(nothing, "GEN") > 3.0 * chance(before, "GEN")  # all else was looked at: a clamp may have misread
    lead, _ = told(quad, LOCKED, READ, *OUT, "at: 09:50, added: {LEAD: AKKU}", "at: 09:52, read: {LEAD: 44mA}")
    assert lead.parts[0].part == "LEAD" and lead.parts[0].probability > 0.9


def test_a_chafed_spot_is_looked_up_among_the_wires_that_end_there(quad: Circuit) -> None:
    found, _ = told(quad, LOCKED, READ, "at: 09:50, found: {GEN.1: chafed}")
    assert found.parts[0].part == "wire ST1 to GEN.1"
    assert chance(found, "wire ST1 to GEN.1") > 5.0 * chance(found, "wire AKKU.+ to ST1")


def test_a_wire_behind_a_fuse_or_before_one_that_nobody_knows_the_feed_of_is_none_of_them() -> None:
    text = QUAD.replace("M1 -> CLK.1", "M1 -> CLK.1\nfuse M2 5A\n? -> M2").replace("ST1 -> GEN.1", "M1 -> GEN.1")
    found, _ = told(circuit_of(platform_from((SourceFile("q.circuit", text),))), LOCKED, READ)
    wires = {fault.part for fault in found.faults if fault.kind == "chafed" and fault.about == "AKKU"}
    assert wires == {"wire AKKU.+ to ST1", "wire ST1 to M1.1", "wire ST1 to STA.30", "feed wire of HORN2"}

"""What is nearly sure is proven first and safely; a count never says that all was read while something was not; nothing
is read behind a feeder that carries nothing."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.count import count_sentences
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.cards import circuit


def fan(amps: float) -> Platform:
    """A relay that feeds a fan of so many amperes."""
    text = f"""\
platform "Reefer" sleep 10min..20min limit 50mA
battery BAT 95Ah
box FRM "Frame box"
fuse FRM.F48 30A maxi, FRM.F6 10A mini
relay K3 "fan relay" make
motor FAN "condenser fan" supply 1 ground 2 running {amps}A
module UNIT "refrigeration unit" supply 1 ground 2 asleep 2mA awake 120mA
ground G1
BAT.+ -> FRM.F48 -> K3.30
K3.87 -> FAN.1
FAN.2 -> G1
BAT.+ -> FRM.F6 -> UNIT.1
UNIT.2 -> G1
UNIT.7 -> K3.86
K3.85 -> G1
output UNIT.7 feeds from 1 "fan on request"
BAT.- -> G1
"""
    read, problems = read_text(SourceFile("reefer.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def asked(platform: Platform, *entries: str) -> Diagnosis:
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"- {{{e}}}\n" for e in entries)))
    assert problems == ()
    evidence, more = evidence_on(platform, card)
    assert more == ()
    return diagnose(circuit_of(platform), evidence)


@pytest.mark.parametrize(("amps", "first"), [(12.0, True), (2.0, False)])
def test_a_relay_with_a_heavy_load_is_pulled_with_the_fuse_out(amps: float, first: bool) -> None:
    platform = fan(amps)
    found = asked(
        platform, "at: 17:00, state: locked", f"at: 17:50, read: {{BAT: {amps}A, F48: {amps}A, F6: 0.0mV}}",
        "at: 18:00, relays: {K3: stuck}",
    )  # fmt: skip
    text = suspects_text(platform, found)
    one_line = " ".join(text.split())
    assert "K3" in text
    assert ("FRM.F48 out" in one_line) == first
    if first:
        assert "pulled under load it arcs at its socket" in one_line
    steps = [t.action.doing for t in found.tests.choices]
    assert found.tests.mend == "K3" or steps[0] == "pull-relay"


def test_the_truck_s_welded_relay_is_proven_next() -> None:
    its = circuit("truck")
    entries = (
        "at: 17:00, state: locked", "at: 17:50, resolution: 0.1A, read: {BAT: 12.1A, MAIN.F3: 12.0A}",
        "at: 17:58, read: {F48: 24.0mV}", "at: 18:00, read: {MAIN.F6: 0.0mV}", "at: 18:10, relays: {FRM.K3: stuck}",
    )  # fmt: skip
    found = asked(its.platform, *entries)
    assert found.tests.mend == "FRM.K3"
    text = " ".join(suspects_text(its.platform, found).split())
    assert "Prove FRM.K3" in text and "Its load is heavy: first FRM.F48 out" in text


def test_what_hangs_on_the_post_unclamped_is_told_as_not_read() -> None:
    its = circuit("motorcycle")
    read = (
        "at: 10:00, state: locked",
        "at: 10:20, meter: low-current-clamp, resolution: 1mA, read: {BAT: 38mA, F1: 1mA}",
    )
    said = " ".join(count_sentences(asked(its.platform, *read)))
    assert "REG" in said and "STARTER" in said and "All that is typed in" not in said
    told = " ".join(count_sentences(asked(its.platform, *read, "at: 10:40, out: [REG], read: {BAT: 38mA}")))
    assert "STARTER" in told and "REG" not in told, "what was taken off for nothing is known"
    all_read = ("at: 10:42, read: {REG: 0mA, STARTER: 0mA}",)
    assert "clamped" not in " ".join(count_sentences(asked(its.platform, *read, *all_read)))


def test_nothing_is_read_behind_a_feeder_that_carries_nothing() -> None:
    its = circuit("motorcycle")
    found = asked(
        its.platform, "at: 10:00, state: locked",
        "at: 10:20, meter: low-current-clamp, resolution: 1mA, read: {BAT: 38mA, F1: 1mA}",
        "at: 10:40, out: [REG], read: {BAT: 38mA}",
    )  # fmt: skip
    assert found.tests.choices and not any(
        part.startswith("FB") for t in found.tests.choices for part in t.action.parts
    )

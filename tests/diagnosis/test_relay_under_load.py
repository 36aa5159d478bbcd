"""Which fuses come out before a relay is pulled: by what flows over its contact, not by all that could."""

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.under_load import ARCS, fuses_first
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

VAN = """\
platform "Cold van" sleep 10min..20min limit 40mA
battery BAT 95Ah
box CAB "Cab fuse box"
fuse CAB.F1 50A bolted, CAB.F11 10A mini, CAB.F30 30A mini, CAB.F31 30A mini, CAB.F32 15A mini
relay CAB.K1 "run relay" make
key IGN positions off, run closes 30 to 15 in run
module BODYC "body controller" supply 1 ground 2 wake 3 asleep 3mA awake 180mA
heater SEATH "seat heater" supply 1 ground 2{seat}
heater MIRRH "mirror heater" supply 1 ground 2
lamp CARGO "load lamp" supply 1 ground 2 running 0.5A
ground G1
BAT.+ -> CAB.F1 -> CAB.K1.30
BAT.+ -> CAB.F11 -> BODYC.1
BAT.+ -> IGN.30
IGN.15 -> CAB.K1.86
CAB.K1.85 -> G1
CAB.K1.87 -> CAB.F30 -> SEATH.1
CAB.K1.87 -> CAB.F31 -> MIRRH.1
CAB.K1.87 -> CAB.F32 -> CARGO.1
CAB.K1.87 -> BODYC.3
BODYC.2 -> G1
SEATH.2 -> G1
MIRRH.2 -> G1
CARGO.2 -> G1
BAT.- -> G1
"""


def cold_van(seat: str = "") -> Platform:
    notation, problems = read_text(SourceFile("van.circuit", VAN.replace("{seat}", seat)))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([notation])


def asked(*entries: str, seat: str = "") -> Diagnosis:
    platform = cold_van(seat)
    said = ("at: 10:00, state: locked", *entries)
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"- {{{e}}}\n" for e in said)))
    assert problems == ()
    evidence, more = evidence_on(platform, card)
    assert more == ()
    return diagnose(circuit_of(platform), evidence)


def first_out(found: Diagnosis) -> tuple[str, ...]:
    """What comes out before the relay, at the step that pulls it."""
    (pulled,) = [test.action for test in found.tests.choices if test.action.doing == "pull-relay"]
    return pulled.cut_first


STUCK = "at: 11:20, relays: {CAB.K1: stuck}"


def test_what_was_read_is_less_than_arcs() -> None:
    """The heaters could take much, but what flows was read: 0.70 A in all."""
    found = asked(
        "at: 11:00, meter: low current clamp, zeroed: yes, resolution: 10mA, read: {BAT: 0.70A, CAB.F11: 0.18A}", STUCK
    )
    (stuck,) = [fault for fault in found.faults if fault.contact == "CAB.K1.87" and fault.has("contact-volts")]
    assert sum(flow.mean for flow in stuck.brings) > ARCS, "all that could flow would arc"
    assert fuses_first(cold_van(), found.hands_off, stuck, found.netted.readings) == ()


def test_a_fuse_that_was_read_counts_by_its_reading() -> None:
    found = asked(
        "at: 11:00, meter: clamp, resolution: 10mA, read: {BAT: 9.20A}",
        "at: 11:10, read: {CAB.F30: 8.50A, CAB.F31: 0.00A, CAB.F11: 0.18A}", STUCK,
    )  # fmt: skip
    assert first_out(found) == ("CAB.F30", "CAB.F32"), "no fuse that shows nothing, nor what is only woken"


def test_a_typed_load_counts_before_anything_was_read_behind() -> None:
    assert first_out(asked("at: 11:00, meter: clamp, resolution: 10mA, read: {BAT: 9.2A}", STUCK, seat=" running 8A"))

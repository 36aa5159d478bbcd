"""A relay of which the fuse chart tells what feeds it, and no wire what it switches: it may be what draws."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.wiring.written import platform_from

CHART = """\
platform "Tarn Ovel" supply 12V return body sleep 10min..20min limit 50mA
battery BAT 72Ah
box B "cab box"
fuse MAIN 80A bolted
fuse B.F1 10A mini "relay coils", B.F2 20A regular "rear heater", B.F3 10A mini "locking", B.F4 15A mini "tow socket"
module LOCK "locking controller" supply A
relay B.K1 "rear heater relay" make
BAT.+ -> MAIN -> B.BAR
bar B.BAR feeds B.F1, B.F2, B.F3, B.F4
BAT.- -> G0
ground G0
B.F1 feeds B.K1.86
B.F2 feeds B.K1.30
B.F3 feeds LOCK
"""


def found(text: str, total: str, *read: str) -> tuple[Diagnosis, str]:
    platform = platform_from(text)
    assert not [p for p in platform.problems if p.severity.name == "ERROR"], platform.problems
    answer = diagnose(circuit_of(platform), evidence_typed(platform, TypedEvidence(readings=read, total=total)))
    return answer, " ".join(suspects_text(platform, answer).split())


@pytest.mark.parametrize(
    ("coil", "kind", "others"),
    [
        # 150 to 200 mA is what a relay's coil takes (common practice, no source); 10 A and 20 A fuses of these styles
        # have 7.42 and 3.38 milliohms, so that is 1.3 mV, and 2.3 A are 7.8 mV.
        ("1.3mV", "coil", "held in; what drives its coil is on no sheet"),
        ("0.0mV", "contact", "then B.K1 (19 in 20)"),
    ],
)
def test_the_relay_is_what_it_is_about(coil: str, kind: str, others: str) -> None:
    answer, said = found(CHART, "2.50A", f"B.F1={coil}", "B.F2=7.8mV", "B.F3=0.0mV", "B.F4=0.0mV")
    about = {subject.about: subject.probability for subject in answer.subjects}
    row = next(row for row in answer.rows if any(fault.part == "B.K1" for fault in row.faults[0]))
    assert row.faults[0][0].kind == kind
    assert others in said
    assert about["B.K1"] > (0.9 if kind == "coil" else 0.1)


def test_a_coil_alone_is_no_relay_that_switches_something() -> None:
    """Without the current of what it switches its contact is open: what takes so little hangs on that fuse itself."""
    answer, _ = found(CHART, "0.20A", "B.F1=1.3mV", "B.F2=0.0mV", "B.F3=0.0mV", "B.F4=0.0mV")
    assert answer.subjects[0].about == "B.F1"


@pytest.mark.parametrize("free", ["B.K1.87a -> HEATER -> G0", "B.K1.87 -> HEATER -> G0"])
def test_where_it_has_a_wire_nothing_more_is_supposed(free: str) -> None:
    """A make and break relay is often used for one of the two; the other terminal is free, and nothing hangs there."""
    text = CHART.replace('relay make"', 'relay"').replace('relay" make', 'relay" changeover')
    text += f"heater HEATER running 2A\n{free}\n"
    answer, _ = found(text, "2.50A", "B.F2=7.8mV", "B.F3=0.0mV", "B.F4=0.0mV")
    unknown = [
        f
        for f in answer.faults
        if f.part == "B.K1" and any(b.owner == "B.K1" and not b.holds_a_relay for b in f.brings)
    ]
    assert not unknown

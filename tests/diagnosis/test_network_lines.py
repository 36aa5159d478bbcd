"""The lines of a network: its kind decides whether volts say anything, and what they say."""

from dataclasses import replace

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.network_lines import state_at
from circuitmap.evidence.written_names import written_line
from circuitmap.evidence.written_readings import written_reading
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.circuit.told import circuit

CAR = """
battery BAT 90Ah
box CAB
bar CAB.B feeds CAB.F1, CAB.F2, CAB.F3
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
module ONE supply 1 ground 2 awake 0.4A
module TWO supply 1 ground 2 awake 0.3A
module THREE supply 1 ground 2
network LINES {kind} "door bus" members ONE, TWO
BAT.+ -> CAB.B
CAB.F1 -> ONE.1
CAB.F2 -> TWO.1
CAB.F3 -> THREE.1
ONE.2, TWO.2, THREE.2 -> BODY
"""


def asked(its: Circuit, *lines: str, read: tuple[str, ...] = ("BAT=0.75A",)) -> Diagnosis:
    meter = meter_named("low-current-clamp")
    return diagnose(
        its,
        Evidence(
            readings=tuple(written_reading(its.platform, word, meter) for word in read),
            lines=tuple(written_line(its.platform, *line.split("=")) for line in lines),
        ),
    )


def said(kind: str, *lines: str, read: tuple[str, ...] = ("BAT=0.75A",)) -> str:
    its = circuit(CAR.format(kind=kind))
    return " ".join(suspects_text(its.platform, asked(its, *lines, read=read)).split())


@pytest.mark.parametrize(
    ("volts", "kind", "supply", "state"),
    [
        (2.5, "can", 12.0, "awake"), (0.1, "can", 12.0, "asleep"), (1.2, "can", 12.0, "unclear"),
        (2.5, "can", 24.0, "awake"), (12.0, "can", 12.0, "unclear"),
        (12.4, "lin", 12.0, "asleep"), (24.8, "lin", 24.0, "asleep"), (12.4, "lin", 24.0, "awake"),
        (7.5, "lin", 12.0, "awake"), (10.2, "lin", 12.0, "unclear"), (0.0, "lin", 12.0, "held down"),
        (2.5, "lin", 12.0, "held down"),
        (2.5, "other", 12.0, "unclear"), (0.0, "other", 12.0, "unclear"), (12.0, "wake", 12.0, "unclear"),
    ],
)  # fmt: skip
def test_what_volts_say_is_decided_by_the_kind_of_network(volts: float, kind: str, supply: float, state: str) -> None:
    assert state_at(volts, kind, supply) == state


def test_each_kind_of_network_is_tested_in_its_own_way() -> None:
    can = said("can")
    assert "Measure the lines of the door bus LINES to ground" in can
    assert "about 2.5 V: awake" in can and "near 0 V: asleep" in can
    lin = said("lin")
    assert "Measure the one line of the door bus LINES to ground" in lin
    assert "jumping below battery volts: talking" in lin and "near battery volts, steady: at rest" in lin
    assert "Near 0 V it is shorted to ground or has no supply" in lin
    assert "2.5 V" not in lin


@pytest.mark.parametrize("kind", ["other", "wake"])
def test_no_volts_are_asked_of_a_network_that_has_none_to_tell(kind: str) -> None:
    assert "door bus LINES to ground" not in said(kind)


def test_a_lin_line_near_battery_volts_says_that_the_network_rests() -> None:
    its = circuit(CAR.format(kind="lin"))
    before = {subject.about: subject.probability for subject in asked(its).subjects}
    after = {subject.about: subject.probability for subject in asked(its, "LINES=12.4V").subjects}
    assert after["LINES"] < before["LINES"]
    one = ("BAT=0.71A", "F1=0.40A", "F2=0.30A")
    assert "The door bus LINES: 12.4V, at rest, nobody talks." in said("lin", "LINES=12.4V", read=one)
    assert "The door bus LINES: 7.5V, awake when it should be asleep." in said("lin", "LINES=7.5V")


def test_a_lin_line_that_is_held_down_points_to_itself_and_its_members() -> None:
    its = circuit(CAR.format(kind="lin"))
    before = {subject.about: subject.probability for subject in asked(its).subjects}
    after = {subject.about: subject.probability for subject in asked(its, "LINES=0.1V").subjects}
    assert after["LINES"] > before["LINES"]
    one = ("BAT=0.71A", "F1=0.40A", "F2=0.30A")
    assert "The door bus LINES: 0.1V, held down: shorted to ground, by itself or in a member" in said(
        "lin", "LINES=0.1V", read=one
    )
    first = Evidence(
        readings=(written_reading(its.platform, "BAT=0.75A", meter_named("low-current-clamp")),),
        lines=(written_line(its.platform, "LINES", "0.1V"),),
    )
    gone = replace(first, lines=tuple(replace(line, without=("ONE",)) for line in first.lines))
    held, other = ({part.part: part.probability for part in diagnose(its, each).parts}["ONE"] for each in (first, gone))
    assert other < held / 2.0


@pytest.mark.parametrize(
    ("kind", "line", "why"),
    [
        ("lin", "LINES=10.2V", "near the battery's volts it is at rest, jumping below them it is talking."),
        ("can", "LINES=1.2V", "LINES shows 1.2V: neither awake (about 2.5 V) nor asleep (near 0 V)."),
        ("other", "LINES=3V", "LINES shows 3V: what such a line has at rest differs from make to make"),
    ],
)
def test_volts_that_say_nothing_are_told_so(kind: str, line: str, why: str) -> None:
    assert why in said(kind, line).partition("NOT KNOWN")[2]

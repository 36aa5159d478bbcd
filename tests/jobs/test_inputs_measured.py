"""A module each of whose inputs was measured at rest while it drew is not asked to have them tested apart: neither those
that a switch closes, nor what another module's output tells it. Source: a pin without plus is not asked by plus."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.flows.job import job_from
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.standing_text import for_proof
from tests.diagnosis.test_answers import circuit_from

WARMED = """\
platform "Aspen Wren 17 estate" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
box CAB "cab panel"
fuse CAB.F1 30A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1..F3
module FANR "fan regulator" supply 1 ground 2 sense 4, 5 asleep 1mA
module PANEL "heating panel" supply 1 ground 2 asleep 2mA awake 90mA
output PANEL.5 feeds from 1 "fan command"
output FANR.3 feeds from 1 while 4 "fan"
motor FAN "fan" running 15A
lamp LAMP "clock lamp" running 0.2A
switch FLAP "flap contact" positions shut, open closes 1 to 2 in open
ground G1
sheet "1"
BAT.+ -> CAB.B1
CAB.F1 -> FANR.1
CAB.F2 -> PANEL.1
CAB.F3 -> LAMP -> G1
PANEL.5 -> FANR.4
FANR.3 -> FAN.1
FAN.2 -> G1
FLAP.1 -> FANR.5
FLAP.2, FANR.2, PANEL.2 -> G1
BAT.- -> G1
"""
START = ("at: 08:00, state: locked", "at: 09:00, total: 0.95A, steady: yes")
TRIED = ("at: 10:00, out: [FANR]", "at: 10:30, total: 0.01A, steady: yes")


@pytest.fixture(scope="module")
def car() -> Circuit:
    return circuit_from(WARMED)


def tried(car: Circuit, *entries: str) -> tuple[TryVerdict, str]:
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(car.platform, text, "job.yaml")
    assert not found.problems, found.problems
    (one,) = found.standing.tries
    return one, " ".join(for_proof(car.platform, found.standing))


@pytest.mark.parametrize(
    ("volts", "asked"),
    [
        ("{FANR.4: 0.0V, FANR.5: 11.8V}", False),
        ("{FANR.4: 0.0V}", True),
        ("{FANR.4: 11.9V, FANR.5: 11.8V}", True),
        ("{FANR.4: 0.0V, FANR.5: 0.0V}", True),
    ],
    ids=["both at rest", "one was not measured", "asked by the panel", "asked by the flap"],
)
def test_its_inputs_are_asked_for_unless_each_was_at_rest(car: Circuit, volts: str, asked: bool) -> None:
    one, text = tried(car, *START, f"at: 09:30, volts: {volts}", *TRIED)
    assert ("inputs" in one.needs) is asked and "outputs" in one.needs
    assert ("Test its inputs apart" in text) is asked


def test_volts_with_the_draw_gone_test_nothing(car: Circuit) -> None:
    one, _ = tried(car, *START, *TRIED, "at: 10:40, volts: {FANR.4: 0.0V, FANR.5: 11.8V}")
    assert "inputs" in one.needs


def test_what_somebody_tested_counts_more(car: Circuit) -> None:
    measured = "at: 09:30, volts: {FANR.4: 0.0V, FANR.5: 11.8V}"
    one, _ = tried(car, *START, measured, *TRIED, "at: 10:50, tested: {FANR inputs: bad}")
    assert [(test.what, test.passed) for test in one.failed] == [("inputs", False)]


def test_what_should_be_off_is_not_measured_under_load(car: Circuit) -> None:
    """The fan has no plus at rest: first what turns it on is tested. The clock's lamp is always on."""
    fan, text = tried(car, *START, *(one.replace("FANR", "FAN") for one in TRIED))
    assert fan.needs == ("in-again", "out-again", "inputs") and "with the load on" not in text
    lamp, _ = tried(car, *START, *(one.replace("FANR", "LAMP") for one in TRIED))
    assert {"inputs", "feed", "ground"} <= set(lamp.needs)
    tested, _ = tried(car, *START, *(one.replace("FANR", "FAN") for one in TRIED), "tested: {FAN inputs: fine}")
    assert {"feed", "ground"} <= set(tested.needs), "then it is the fan itself"

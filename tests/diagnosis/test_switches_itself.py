"""A load on a fuse that is always live, with a switch of its own inside, is made to come and go: a rise as high as what
it takes running is looked for there first, before networks whose members take a fraction of it. Source: the sheet's own
figures; that such loads run by themselves is common practice, no source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_volts_anywhere import WAKE_LINE
from tests.diagnosis.test_wires_that_are_left import told


def with_a_pump(described: str, takes: str = "6A") -> Circuit:
    text = WAKE_LINE.replace("CAB.F4 10A mini\n", "CAB.F4 10A mini, CAB.F5 15A mini\n")
    text = text.replace("CAB.F3, CAB.F4\n", "CAB.F3, CAB.F4, CAB.F5\n").replace("awake 300mA", 'at "cab"')
    return circuit_from(
        text + f'motor WPUMP "{described}" supply 1 ground 2 running {takes}\nCAB.F5 -> WPUMP.1 in RD 2.5\n'
        "WPUMP.2 -> G1 in BN 2.5\n"
    )


NIGHT = (
    "at: 20:00, state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes",
    "at: 07:00, log: {floor: 0.01A, mean: 0.6A, peak: 6.0A, period: 30min, for: 10h}",
)


def leading(its: Circuit) -> tuple[str, float]:
    found: Diagnosis = told(its, *NIGHT)[0]
    return found.subjects[0].about, {s.about: s.probability for s in found.subjects}.get("WPUMP", 0.0)


@pytest.mark.parametrize("described", ["water pump, pressure switch inside", "tank heater with thermostat"])
def test_what_switches_itself_and_takes_just_that_leads(described: str) -> None:
    about, chance = leading(with_a_pump(described))
    assert about == "WPUMP" and chance > 0.5


def test_one_that_takes_another_amount_does_not_lead() -> None:
    assert leading(with_a_pump("water pump, pressure switch inside", "1A"))[1] < 0.2


def test_the_description_says_it_and_no_other_word() -> None:
    assert leading(with_a_pump("water pump"))[1] < leading(with_a_pump("water pump, pressure switch inside"))[1]

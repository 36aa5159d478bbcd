"""What the card says was fitted to this car always has a line until somebody has read it, and is read before anything is
woken or taken out."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

TROLLEY = """
platform "Ostrel Trolley" sleep 5min..10min limit 50mA
battery BAT 90Ah
fuse F1 30A regular, F2 10A mini, F3 10A mini, F4 15A mini, F5 15A mini
module HEAT "locker heater" supply 1 ground 2 asleep 2mA awake 210mA..230mA
module LOCK "lock control" supply 1 ground 2 asleep 2mA awake 190mA..210mA
module LIFT "lift control" supply 1 ground 2 asleep 2mA awake 200mA..220mA
network BODY can members HEAT, LOCK, LIFT
ground GND
BAT.+ -> F1 -> HEAT.1
HEAT.2 -> GND
BAT.+ -> F2 -> LOCK.1
LOCK.2 -> GND
BAT.+ -> F3 -> LIFT.1
LIFT.2 -> GND
BAT.+ -> F4
BAT.+ -> F5
BAT.- -> GND
"""
SIGN = "roof sign from F4"


@pytest.fixture(scope="module")
def trolley() -> Circuit:
    return circuit_from(TROLLEY)


def asked(its: Circuit, *words: str, fitted: tuple[str, ...] = (SIGN,), out: tuple[str, ...] = ()) -> Diagnosis:
    typed = TypedEvidence(readings=words, meter="clamp", resolution="10mA", fitted=fitted, unplugged=out)
    return diagnose(its, evidence_typed(its.platform, typed), {})


NETWORK = ("BAT=0.63A", "F1=0.22A", "F2=0.20A", "F3=0.21A")
"""The network explains all of it."""


def test_it_has_a_line_although_a_network_explains_it(trolley: Circuit) -> None:
    found = asked(trolley, *NETWORK)
    assert found.subjects[0].about == "BODY"
    assert suspects_json(trolley.platform, found, 5)["fitted_unread"] == [{"name": "roof sign", "fed_from": "F4"}]
    text = " ".join(suspects_text(trolley.platform, found).split())
    assert "roof sign, fitted to this car, on F4: not read yet" in text


def test_what_was_read_or_was_out_needs_none(trolley: Circuit) -> None:
    for its in (
        asked(trolley, *NETWORK, "F4=0A"),
        asked(trolley, *NETWORK, "roof sign=0A"),
        asked(trolley, *NETWORK, out=("roof sign@BAT=0.63A",)),
        asked(trolley, *NETWORK, fitted=()),
    ):
        assert "fitted to this car, on" not in " ".join(suspects_text(trolley.platform, its).split())


def test_what_leads_is_told_once(trolley: Circuit) -> None:
    found = asked(trolley, "BAT=0.63A", "F1=0A", "F2=0A", "F3=0A", "F5=0A")
    assert found.subjects[0].about == "roof sign"
    assert "fitted to this car, on" not in " ".join(suspects_text(trolley.platform, found).split())


def test_it_is_read_before_anything_is_woken_or_taken_out(trolley: Circuit) -> None:
    for words in (NETWORK, NETWORK[:1], NETWORK[:2]):
        choices = asked(trolley, *words).tests.choices
        invasive = [n for n, test in enumerate(choices) if test.action.is_invasive]
        its = [n for n, test in enumerate(choices) if {"roof sign", "F4"} & set(test.action.parts)]
        assert not invasive or (its and its[0] < invasive[0]), words


def test_without_such_a_thing_the_steps_stay_as_they_were(trolley: Circuit) -> None:
    choices = asked(trolley, *NETWORK, fitted=()).tests.choices
    assert not any({"F4", "F5"} & set(test.action.parts) for test in choices)

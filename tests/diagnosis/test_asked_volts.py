"""Volts at the pin that asks for an output: what asks there, the output itself and the wire that it drives are told apart
with nothing parted, and before anything is."""

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.bay.steps import tap_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_asks_for_an_output import CELLAR
from tests.diagnosis.test_wires_that_are_left import told

READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA",
    "at: 09:00, total: 8.49A, looked: yes",
    "at: 09:10, read: {F1: 8.33A, F2: 0.15A, F3: 0.0A, F4: 0.0A}",
)
CHILM_LINE = 'module CHILM "chiller controller" supply 1 ground 2 sense 4 asleep 3mA awake 50mA'
ASKS = ("asked-volts", ("CHILM.4",))


def answer(circuit: Circuit, *entries: str) -> Diagnosis:
    return told(circuit, *entries)[0]


def doings(found: Diagnosis) -> list[tuple[str, tuple[str, ...]]]:
    return [(test.action.doing, test.action.parts) for test in found.tests.choices]


def cart(text: str = CELLAR) -> Circuit:
    return circuit_from(text)


def test_what_asks_is_probed_before_a_pin_is_lifted_or_a_module_unplugged() -> None:
    circuit = cart()
    found = answer(circuit, *READ)
    steps = doings(found)
    at = steps.index(ASKS)
    assert any(test.action.takes_out for test in found.tests.choices[at:])
    assert not any(test.action.takes_out for test in found.tests.choices[:at])
    text = " ".join(suspects_text(circuit.platform, found).split())
    assert "Volts to ground at CHILM.4, which asks for CHILM.7, from behind the plug of CHILM" in text
    assert "Written down as volts CHILM.4 ..V" in text and "Probe from behind" in text
    step = text[text.index("Volts to ground at CHILM.4") : text.index("Written down as volts CHILM.4")]
    assert "starts or stops with it" not in step


def test_each_outcome_leads_where_the_volts_lead_once_they_are_on_the_card() -> None:
    circuit = cart()
    test = next(its for its in answer(circuit, *READ).tests.choices if its.action.doing == "asked-volts")
    then = {branch.outcome: branch.part for branch in test.branches}
    plus, none = (answer(circuit, *READ, f"at: 09:20, volts: {{CHILM.4: {its}}}") for its in ("12.3V", "0.0V"))
    assert then["plus"] == plus.parts[0].part == "DOORM"
    assert none.parts[0].part != "DOORM" and then["none"] == none.parts[0].part
    assert ASKS not in doings(plus) and ASKS not in doings(none)
    assert tap_of(test, "none").lines == ("volts CHILM.4 0.0V",) and tap_of(test, "plus") == ((), "CHILM.4")


def test_no_volts_where_nothing_that_is_likely_asks_there() -> None:
    idle = CELLAR.replace("output CHILM.7 grounds while 4", "output CHILM.7 grounds")
    assert ASKS not in doings(answer(cart(idle), *READ))


def test_a_pin_that_is_hands_off_is_not_probed() -> None:
    sealed = CELLAR.replace(CHILM_LINE, f"{CHILM_LINE} hands-off sealed")
    assert ASKS not in doings(answer(cart(sealed), *READ))

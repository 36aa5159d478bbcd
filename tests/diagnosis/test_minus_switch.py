"""A draw with the main switch in the minus open: what it may be agrees with what can carry a current then."""

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.power.test_minus_switch import DUMPER


def answer(*read: str, text: str = DUMPER) -> str:
    circuit = circuit_from(text)
    typed = TypedEvidence(readings=read, meter="low-current-clamp")
    diagnosis = diagnose(circuit, evidence_typed(circuit.platform, typed), {})
    return " ".join(suspects_text(circuit.platform, diagnosis).split())


def test_what_is_lit_across_the_open_switch_is_no_draw_to_be_found() -> None:
    """242 mA of lamp and heater in series (a filament and 3 ohm) and 12 mA of the telematics: all of it the sheets' own."""
    text = answer("ACC=254mA")
    assert "NO DRAW FOUND" in text
    assert "What feeds" not in text


def test_beyond_that_the_heater_and_the_telematics_count_as_the_sheets_own() -> None:
    text = answer("ACC=0.9A")
    assert "BY SHEETS 254 mA are the sheets' own for all asleep; 646 mA too many" in text


def test_a_module_behind_the_open_switch_is_not_awake() -> None:
    """The lamp passes no more than 0.25 A (12 V / 48 ohm), and the panel awake takes 0.30 A."""
    text = answer("ACC=0.40A")
    assert "PANEL" not in text.split("NEXT")[0]


def test_more_than_the_lamp_can_pass_comes_over_the_switch_or_past_it() -> None:
    """4 A of heater or horn do not flow through a lamp of 48 ohm: the switch is on, or its contact does not open."""
    head = answer("ACC=4.35A", "F3=4.1A").split("NEXT")[0]
    assert "LOOK AT ISO, isolator, in the minus, is on" in head
    assert "KH" not in head.split("OR ELSE")[0]
    circuit = circuit_from(DUMPER)
    typed = TypedEvidence(readings=("ACC=4.35A",), meter="low-current-clamp", positions=("ISO=on",))
    diagnosis = diagnose(circuit, evidence_typed(circuit.platform, typed), {})
    assert "LOOK AT relay KH" in " ".join(suspects_text(circuit.platform, diagnosis).split())

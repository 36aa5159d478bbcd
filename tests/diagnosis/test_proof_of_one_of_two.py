"""Of two things at once the surer is proven by its own share, what joins two batteries by what crosses, and the other
one is not left without a step. Source: what a contact passes on the one side flows on the other, so no draw goes."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.flows.questions import open_platform
from circuitmap.reports.suspects.proving import to_mend
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_wires_that_are_left import told

BOAT = Path(__file__).parents[1] / "papers" / "boat" / "text"
LOCKED = 'at: "09:00", state: locked, stands: {S1: "off", S2: "off", S3: "open"}, absent: [O1, O2, V2], fitted: [V1]'
METER = 'at: "09:30", meter: low current clamp, resolution: 10mA, zeroed: yes'
BOTH = (
    'at: "09:40", read: {B1: 0.30A, B2: 0.36A, F4: 0.62A, F2: 0.32A, F5: 0A, F16: 0A, F15: 0A, F3: 0.32A, F6: 0A}, '
    "steady: yes"
)
STUCK = 'at: "09:56", relays: {K1: stuck}'


@pytest.fixture(scope="module")
def boat() -> Circuit:
    return circuit_of(open_platform(BOAT))


@pytest.mark.slow
def test_what_joins_two_batteries_is_proven_by_what_crosses_and_the_consumer_is_still_looked_for(boat: Circuit) -> None:
    found = told(boat, LOCKED, METER, BOTH, STUCK)[0]
    assert found.tests.mend == "K1"
    said = to_mend(boat.platform, found, "K1")
    assert "nothing crosses from one battery to the other" in said and "the draw is gone" not in said
    text = " ".join(suspects_text(boat.platform, found).split())
    assert text.index("Prove K1") < text.index("FOR THE OTHER OF THE TWO")
    other = text[text.index("FOR THE OTHER OF THE TWO") :]
    assert "G1" in other or "F4" in other

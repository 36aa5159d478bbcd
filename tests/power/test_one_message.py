"""A slip that was found in the wires is not told again once they are a circuit."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.power.checks import problems_of
from tests.wiring.test_checks import SOUND, _faults
from tests.wiring.written import platform_from


@pytest.mark.parametrize(("old", "new", "message"), list(_faults()))
def test_a_slip_in_the_wires_is_told_once(old: str, new: str, message: str) -> None:
    assert problems_of(circuit_of(platform_from(SOUND.replace(old, new)))) == ()


def test_the_sound_circuit_has_no_problem() -> None:
    assert problems_of(circuit_of(platform_from(SOUND))) == ()


def test_what_follows_from_a_slip_in_the_wires_is_not_told_again() -> None:
    """Ground would run backwards through F1, the bar and F2: the coil of K and the lamp would seem dead."""
    text = """naming W* ground
battery G
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A, F2 10A
module A supply 1 ground 2
relay K make
lamp L
bar B1 feeds F1, F2
G.- -> W1
G.+ -> IGN.30
IGN.15 -> B1
A.2 -> W1
G.+ -> A.1
F2 -> K.86
K.85 -> W1
G.+ -> K.30
K.87 -> L -> W1
"""
    assert problems_of(circuit_of(platform_from(text))) == ()
    wrong = platform_from(text + "F1 -> A.2\n")
    assert [p.code for p in wrong.problems] == ["pin-wrong-way-round"]
    assert problems_of(circuit_of(wrong)) == ()


def test_a_short_circuit_of_two_cells_in_series_stays_where_it_is() -> None:
    """Supply of the upper cell comes to the ground of the lower one, and goes on to nothing."""
    text = """naming W* ground
battery G 24V series
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A
lamp L
switch S positions off, on closes 1 to 2 in on
switch D positions shut, open closes 1 to 2 in open
G.- -> W1
G.+ -> F1 -> S.1
S.2 -> W1
G.+ -> IGN.30
IGN.15 -> L -> D.1
D.2 -> W1
"""
    told = problems_of(circuit_of(platform_from(text)))
    assert [(p.code, p.severity.word) for p in told] == [("contact-shorts", "warning")]
    assert "S.2 joins plus to ground" in told[0].headline

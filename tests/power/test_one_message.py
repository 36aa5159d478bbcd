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

"""Water found at a switch: it lets through what the switch keeps apart. At a lamp it says nothing of the lamp."""

import pytest

from tests.diagnosis.cards import circuit
from tests.diagnosis.test_keeping_faith import asked, chance_of


@pytest.mark.parametrize(("switch", "lamp"), [("STEPSW", "STEPL1"), ("BUNKSW", "BUNKL")])
def test_a_wet_switch_is_suspected_and_a_wet_lamp_is_not(switch: str, lamp: str) -> None:
    its = circuit("truck")
    plain, wet = asked(its, "BAT=0.40A"), asked(its, "BAT=0.40A", found=(f"{switch}=wet",))
    assert chance_of(wet, switch) > 2.5 * chance_of(plain, switch) > 0.0
    with_wet_lamp = asked(its, "BAT=0.40A", found=(f"{lamp}=wet",))
    assert chance_of(with_wet_lamp, switch) < 1.2 * chance_of(plain, switch)

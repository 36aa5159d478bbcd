"""A fuse that was read and then pulled: what went is what was read there, whichever part of it took it."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from tests.diagnosis.test_answers import circuit_from

TEXT = """
platform "One fuse" limit 50mA
battery BAT
fuse F1 10A, F2 20A
module BODY supply 1 ground 2 asleep 30mA awake 150mA
module HEAT supply 1 ground 2 asleep 1mA awake 400mA
lamp L running 5W
switch S positions off, on closes 1 to 2 in on
BAT.+ -> F1 -> BODY.1
BAT.+ -> F2 -> HEAT.1
F2 -> S.1
S.2 -> L.1
L.2, BODY.2, HEAT.2, BAT.- -> case
"""


def shares(*readings: str, pulled: bool) -> dict[str, float]:
    its = circuit_from(TEXT)
    unplugged = ("F2=0.03A",) if pulled else ()
    told = TypedEvidence(readings=readings, meter="low-current-clamp", unplugged=unplugged)
    found = diagnose(its, evidence_typed(its.platform, told))
    return {part.part: part.probability for part in found.parts if part.probability > 0.02}


@pytest.mark.parametrize("amps", [0.2, 0.4, 1.0, 3.0])
def test_that_it_went_tells_nothing_apart_of_what_hangs_there(amps: float) -> None:
    """All of it hangs behind the fuse, so each must have gone with it: before and after, the shares are the same."""
    readings = (f"BAT={amps + 0.03:.2f}A", f"F2={amps:.2f}A", "F1=0.03A")
    before, after = shares(*readings, pulled=False), shares(*readings, pulled=True)
    assert len(before) >= 2
    for part, share in before.items():
        assert after.get(part, 0.0) == pytest.approx(share, rel=0.05, abs=0.01), (part, before, after)

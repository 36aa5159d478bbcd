"""A drop at a fuse of which nobody typed the rating: as if it were the smallest that cars have, 2 A of about 53 milliohms
(the rule of `evidence/fuse_drop.py`, which is fitted to published rows; that 2 A is the smallest is common practice, no
source), at least so much flows."""

import pytest

from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    'platform "Bittern" supply 12V\nbattery BAT 60Ah\nbox B\nfuse B.F1 empty\nfuse B.F2 10A mini\nBAT.+ -> B.F1, B.F2\n'
)


@pytest.mark.parametrize(("drop", "least"), [("8.6mV", 0.164), ("0.4mV", 0.010), ("1.0mV", 0.019)])
def test_a_drop_at_a_fuse_without_a_rating_has_a_least_current(drop: str, least: float) -> None:
    found = written_reading(PLATFORM, f"B.F1={drop}", meter_named("clamp"))
    assert found.draws
    assert found.lowest == pytest.approx(least, rel=0.02)

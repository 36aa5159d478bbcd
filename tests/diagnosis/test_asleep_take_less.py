"""What sleeps takes less than the sheets make it in some cars: a fuse that carries the whole draw is no slip for that."""

import pytest

from tests.diagnosis.cards import circuit
from tests.diagnosis.test_keeping_faith import asked, chance_of


@pytest.mark.parametrize("fuse", ["CAB.F34", "CAB.F26"])
@pytest.mark.parametrize("amps", [0.15, 0.25])
def test_a_fuse_that_carries_all_of_a_small_total_is_no_slip(fuse: str, amps: float) -> None:
    found = asked(circuit("van"), f"BAT={amps}A", f"{fuse}={amps}A")
    assert not found.misfits and found.something_wrong > 0.95
    first = found.rows[0].faults[0]
    assert all(fuse in flow.way.places for flow in first[0].brings)


def test_the_answer_does_not_hang_on_the_last_digits_of_the_total() -> None:
    its = circuit("van")
    chances = [chance_of(asked(its, f"BAT={total}A", "F34=0.20A"), "CAB.F34") for total in (0.20, 0.21, 0.22, 0.23)]
    assert min(chances) > 0.8 * max(chances) > 0.4

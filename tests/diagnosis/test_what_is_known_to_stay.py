"""What a try will leave is foretold by what was read: what is known to stay takes what it takes, and all else of the sum
goes, whatever such a fault usually takes."""

import numpy as np
import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.next_test.predicting import SLIP
from circuitmap.diagnosis.weighing.try_chance import as_was_read
from circuitmap.flows.questions import platform_from
from circuitmap.source import SourceFile
from tests.diagnosis.test_wires_that_are_left import told

BOX = """\
platform "Horsebox" supply 12V sleep 1min..2min limit 40mA
battery B 90Ah
fuse F1 10A mini "tracker"
fuse F2 15A mini "pump"
module TRK "tracker" supply 1 ground 2 asleep 22mA
module PUMP "pump" supply 1 ground 2 asleep 1mA
ground G
B.+ -> F1 -> TRK.1
B.+ -> F2 -> PUMP.1
TRK.2, PUMP.2, B.- -> G
"""


def foretold(total: str) -> dict[str, float]:
    its = circuit_of(platform_from((SourceFile("h.circuit", BOX),)))
    found, _ = told(
        its, "at: 09:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
        f"at: 09:20, total: {total}, read: {{F2: {total}}}, steady: yes, looked: yes",
    )  # fmt: skip
    tests = [test for test in found.tests.choices if test.action.takes_out]
    return {branch.outcome: branch.probability for branch in tests[0].branches}


@pytest.mark.parametrize("total", ("0.30A", "0.90A"))
def test_a_known_rest_is_its_own_value(total: str) -> None:
    """By hand: with the pump out the tracker's 22 mA are left, under the limit of 40 mA, however much the pump took. So
    down, but not to normal, is a slip."""
    outcomes = foretold(total)
    assert outcomes["down"] < 2.0 * SLIP / 3.0
    assert outcomes["normal"] > 0.14


def test_of_the_faults_currents_the_sum_is_what_was_read_and_the_shares_are_what_they_were() -> None:
    """By hand: 0.2 A with 0.05 A left, usually; 0.8 A were read, so four times as much of both."""
    before, after = (np.array([0.2]), np.array([0.01])), (np.array([0.05]), np.array([0.004]))
    stays, goes = as_was_read(0.8, before, after)
    assert (stays[0][0], goes[0][0]) == pytest.approx((0.2, 0.6))
    assert (stays[1][0], goes[1][0]) == pytest.approx((0.004 * 16, 0.006 * 16))
    nothing_left = as_was_read(0.8, before, (np.zeros(1), np.zeros(1)))
    assert nothing_left[1][0][0] == pytest.approx(0.8) and nothing_left[1][1][0] == pytest.approx(0.08**2)

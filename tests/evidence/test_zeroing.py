"""A clamp that was zeroed just before is off by less than one that was not, and so is what a whole box adds up to."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.meters import ZEROED_FOR, meter_named
from circuitmap.evidence.zeroing import Zeroing
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.platform import Platform

CLAMP = meter_named("clamp", 0.01)


@pytest.mark.parametrize(
    ("at", "now", "is_less"),
    [(0.0, 0.0, True), (0.0, ZEROED_FOR, True), (0.0, ZEROED_FOR + 1, False), (None, 9.0, True)],
)
def test_what_is_left_of_a_zero_is_small_for_a_while(at: float | None, now: float, is_less: bool) -> None:
    zeroing = Zeroing()
    zeroing.zeroed(CLAMP, at)
    assert (zeroing.of(CLAMP, now).zero < CLAMP.zero) is is_less
    assert zeroing.of(CLAMP, now).step == 0.01 and zeroing.of(CLAMP, now).zeroed == 1


def test_a_meter_that_nobody_zeroed_is_as_it_is() -> None:
    assert Zeroing().of(CLAMP, 10.0) == CLAMP
    fine, zeroing = meter_named("low-current-clamp"), Zeroing()
    zeroing.zeroed(CLAMP, 0.0)
    assert zeroing.of(fine, 1.0) == fine


@pytest.fixture(scope="module")
def truck() -> Platform:
    return open_platform(Path(__file__).parents[2] / "sample_vehicles" / "truck")


def answer(truck: Platform, first: str) -> Diagnosis:
    names = [f"CAB.F{n}" for n in (11, 12, 13, 14, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 30, 33)]
    read = ", ".join(f"{name}: {'0.09A' if name in ('CAB.F19', 'CAB.F33') else '0.00A'}" for name in names)
    entries = (
        'at: "08:00", state: locked, meter: clamp, resolution: 10mA',
        f'at: "09:00", {first}read: {{BAT: 0.20A, MAIN.F1: 0.10A, MAIN.F2: 0.09A, MAIN.F5: 0.00A}}, steady: yes',
        f'at: "09:10", read: {{{read}}}',
    )
    text = "job: 1\nplatform: x\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(truck, text, "job.yaml")
    assert not found.problems, found.problems
    return diagnose(circuit_of(truck), found.evidence)


def test_a_box_adds_up_to_less_error(truck: Platform) -> None:
    zeroed, plain = answer(truck, "zeroed: yes, "), answer(truck, "")
    assert zeroed.account is not None and plain.account is not None
    assert zeroed.account.error < 0.5 * plain.account.error
    assert zeroed.netted.readings["CAB.F19"].lowest > 2.0 * zeroed.netted.readings["CAB.F19"].zero

"""A member that shows nothing while its network is awake outweighs nothing: its current is a guess, and no second fault
is made up for it. Source: currents are never negative, so one more never makes a zero likelier (arithmetic); that a
member may sleep on while others talk is common practice, no source."""

from itertools import combinations
from random import Random

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.weighing.reading_chance import Strip
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, ReadBehind, ZeroError
from circuitmap.diagnosis.weighing.tables import tables_of
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_assumed_currents import IGNITION, TIMER
from tests.diagnosis.test_wires_that_are_left import told


@pytest.mark.parametrize("seed", range(40))
def test_one_more_current_makes_a_zero_no_likelier(seed: int) -> None:
    """A law over random currents, also of a meter whose zero is shared, and with branches that are taken off."""
    random = Random(seed)
    brought = {}
    for fault in range(6):
        mean = 10.0 ** random.uniform(-3.0, 0.7)
        variance = (mean * random.choice([0.2, 0.9, 3.0, 30.0])) ** 2
        brought[fault] = (Brought(f"its {fault}", mean, variance, random.choice([0.0, 0.03, 0.3])),)
    step = random.choice([0.001, 0.01, 0.1])
    zero = ZeroError("clamp", random.choice([0.0, step, -step]))
    branches = (ReadBehind(0.2, step / 2.0, 0.002, 0.0, 0.002, 1e-6),) if random.random() < 0.5 else ()
    taken = dict.fromkeys(range(3), 1) if branches else {}
    lowest, highest = -step / 2.0, step / 2.0
    if branches:  # all that was read is what was read behind it
        lowest, highest = lowest + 0.2, highest + 0.2
    its = CurrentSighting(
        "F", Strip(lowest, highest, random.choice([0.0, step])), 0.002, 1e-6, brought, zero, branches=branches,
        taken=taken,
    )  # fmt: skip
    beside = CurrentSighting("G", Strip(-step / 2.0, step / 2.0), 0.0, 0.0, {0: brought[0]}, zero)
    several = [its, beside] if zero.amps and not branches else [its]
    [table, *_] = tables_of(several, len(brought))
    off = 0.1 if len(several) > 1 else 1e-9  # a zero that is off the other way round hides one more a little better
    for a, b in combinations(range(6), 2):
        if taken.get(a) == taken.get(b) and (taken or not branches) and (a in taken or not branches):
            alone = [table.log_chance[table.columns[n], 0] for n in (a, b)]
            assert table.log_chance[table.columns[a], table.columns[b]] <= min(alone) + off


def with_members_more() -> Circuit:
    """Three members of which nobody typed what they take: one behind a fuse of its own, two behind a feeder's fuses."""
    text = IGNITION.replace("{timer}", TIMER + " asleep 1mA awake 3mA")
    text = text.replace("A.F5 10A mini\n", "A.F5 10A mini, A.F6 10A mini, A.F9 10A mini\n", 1)
    text = text.replace("A.F3, A.F5\n", "A.F3, A.F5, A.F6, A.F9\n")
    text = text.replace("network NET can members ", "network NET can members N3 (8, 9), N4 (8, 9), N5 (8, 9), ")
    for name, fuse in (("N3", "A.F6"), ("N4", "A.F9"), ("N5", "A.F9")):
        text += f'module {name} "door controller" supply 1 ground 2\n{fuse} -> {name}.1 in RD 1\n'
        text += f"{name}.2 -> G1 in BN 1\n{name}.8 -> N2.8 in YE 0.35\n{name}.9 -> N2.9 in GN 0.35\n"
    return circuit_from(text)


STUCK = (
    "at: 09:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:36, read: {BAT: 0.63A, A.F1: 0.45A, A.F2: 0.18A, A.F5: 0A, A.F6: 0A}",
    "at: 09:45, state: key off, volts: {N1.4: 12.4V}",
    "at: 09:47, out: [B.K1]",
    "at: 10:10, total: 0.00A, read: {A.F1: 0A, A.F2: 0A}, steady: yes",
)


def unknown(found: Diagnosis, place: str) -> float:
    return sum(one.probability for one in found.parts if one.part == f"unknown at {place}")


@pytest.mark.parametrize("entries", [STUCK[:3], STUCK])
def test_a_quiet_member_needs_no_second_fault(entries: tuple[str, ...]) -> None:
    found = told(with_members_more(), *entries)[0]
    assert found.subjects[0].about == "B.K1"
    assert found.two_faults < 0.1
    assert unknown(found, "A.F6") < 0.02

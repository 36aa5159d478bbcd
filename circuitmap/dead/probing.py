"""All probes that may be needed, from the first one on: which place comes next after each outcome."""

from collections import deque
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.dead.breaks import Break
from circuitmap.dead.dead_loads import Complaint, DeadLoads, NextStep, ProbeOutcome, dead_loads
from circuitmap.dead.known import KnownInterruptions
from circuitmap.power.state import VehicleState
from circuitmap.wiring.parts import Terminal

LEAST_FOLLOWED = 0.02
"""Chance of all outcomes up to a row for which one more row is worth its place; below it, what is left stands there
(judgement)."""
MOST_ROWS = 15
"""Probes on one sheet; where one would need more, that is said (judgement: an A4 page)."""


class Onward(NamedTuple):
    """What follows from an outcome: the row to go to, from 1 on; 0: none, and `left` is what it is then."""

    outcome: ProbeOutcome
    row: int
    left: tuple[Break, ...]


class ProbingRow(NamedTuple):
    """One probe: its number, the place, and what follows from each thing that it may show, likeliest first."""

    number: int
    point: Terminal
    minutes: float
    onward: tuple[Onward, ...]


class Probing(NamedTuple):
    """The first answer, with steps that need no meter; the probes in the order in which they may come; `cut_off`: some
    outcomes would need more rows."""

    first: DeadLoads
    rows: tuple[ProbingRow, ...]
    cut_off: bool


def probing(circuit: Circuit, said: VehicleState, complaint: Complaint) -> Probing:
    """Every probe that halves what is left, for each outcome of those before it."""
    known = KnownInterruptions()
    first = dead_loads(circuit, said, complaint, known)
    waiting: deque[tuple[Complaint, DeadLoads, float]] = deque()
    beginning = dead_loads(circuit, said, complaint, known, only_probes=True)
    if beginning.steps:
        waiting.append((complaint, beginning, 1.0))
    rows: list[ProbingRow] = []
    planned, cut_off = len(waiting), False
    while waiting:
        its_complaint, its, chance = waiting.popleft()
        step = its.steps[0]
        onward = []
        for outcome in step.outcomes:
            after = its_complaint._replace(probed={**its_complaint.probed, _point(step): usual_reading(outcome)})
            then = dead_loads(circuit, said, after, known, only_probes=True)
            left = tuple(one for one, odds in then.suspects if odds >= _WORTH)
            likely = chance * outcome.chance
            further = len(left) > 1 and bool(then.steps) and likely >= LEAST_FOLLOWED
            row = 0
            if further and planned < MOST_ROWS:
                planned += 1
                row = planned
                waiting.append((after, then, likely))
            cut_off |= further and not row
            onward.append(Onward(outcome, row, left))
        rows.append(ProbingRow(len(rows) + 1, _point(step), step.step.minutes, tuple(onward)))
    return Probing(first, tuple(rows), cut_off)


_WORTH = 0.06
"""Odds from which on a suspect is looked for with one more probe (judgement)."""


def usual_reading(outcome: ProbeOutcome) -> float:
    """The volts that stand for an outcome: nothing for next to nothing, else the middle of what it may show."""
    low, high = outcome.volts or (0.0, 0.0)
    return 0.0 if outcome.shown == "ground" else (low + high) / 2


def _point(step: NextStep) -> Terminal:
    assert step.step.point is not None
    return step.step.point

"""The whole answer to "these do not work": what may be interrupted, how likely, and the step to do next."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.dead.black_lead import BlackLead, black_lead
from circuitmap.dead.breaks import Break
from circuitmap.dead.half_interval import Splitting, TestPlan, first_test
from circuitmap.dead.known import KnownInterruptions, TriedInterruptions
from circuitmap.dead.line_probes import line_steps
from circuitmap.dead.on_the_line import OnLine, OnTheLine
from circuitmap.dead.probes import ProbeStep, Shown, steps_for
from circuitmap.dead.watched import ToldOf, Watched, WatchedStates, watched_states
from circuitmap.dead.weighing import ToldLoads, WeighedBreaks, likeliest, weighed
from circuitmap.dead.without import Interrupted
from circuitmap.power.state import VehicleState
from circuitmap.volts.nominal import nominal_volts
from circuitmap.wiring.parts import Terminal

MOST_SUSPECTS = 24
"""Single things that the next step is to tell apart; together they hold at least `_HELD` of the odds, or as much as so
many can (judgement)."""
_HELD = 0.97
_MISREAD = 0.03
"""How often a probe is misread or held to a neighbour (judgement)."""
_PROBE_VOLTS = 0.08
"""How far, as a share of the nominal volts, a reading lies from what usual wires would show (judgement)."""


class Complaint(NamedTuple):
    """What was said: what does not work and what does; volts read at points while they were switched on."""

    told: tuple[ToldOf, ...]
    probed: Mapping[Terminal, float]

    @property
    def dead(self) -> tuple[ToldOf, ...]:
        return tuple(its for its in self.told if not its.works)

    @property
    def works(self) -> tuple[ToldOf, ...]:
        return tuple(its for its in self.told if its.works)


class ProbeOutcome(NamedTuple):
    """One outcome of a step: what it shows, how likely, the volts from and to (None: a load, or a network's line), and
    the suspects that are left then; the `network` whose line shows it. `nominal`: see `ProbeStep`."""

    shown: Shown
    chance: float
    volts: tuple[float, float] | None
    left: tuple[Break, ...]
    network: str = ""
    nominal: float = 0.0


class NextStep(NamedTuple):
    """A step with its outcomes, likeliest first."""

    step: ProbeStep
    outcomes: tuple[ProbeOutcome, ...]


@dataclass(frozen=True)
class DeadLoads:
    """The answer. `suspects` are single things with their odds (they add up to 1); `steps` begin with the one to do
    next. `plan`: the expected minutes to one suspect, and how they were found. `lacking`: loads that do not work in any
    state that was tried, even when all is well. `second_feed`: dead loads that nothing single but themselves can
    kill, because something else feeds them, too. `lines`: the networks whose lines it may well be. `black_lead`: where
    it goes, where that matters."""

    watched: WatchedStates
    complaint: Complaint
    found: Interrupted
    weighed: WeighedBreaks
    suspects: tuple[tuple[Break, float], ...]
    steps: tuple[NextStep, ...]
    plan: TestPlan
    lacking: tuple[str, ...]
    second_feed: tuple[str, ...]
    lines: Mapping[str, OnLine]
    black_lead: BlackLead | None

    @property
    def circuit(self) -> Circuit:
        return self.watched.main.circuit


def dead_loads(
    circuit: Circuit,
    said: VehicleState,
    complaint: Complaint,
    known: KnownInterruptions | None = None,
    *,
    only_probes: bool = False,
) -> DeadLoads:
    """The answer for one complaint; `said` is the state in which it shows, as far as it was said. `known` keeps what
    does not depend on the probe for whoever asks again; with `only_probes` every step is a probe under load."""
    watched_in = watched_states(circuit, said, complaint.told)
    items = [its for its in watched_in.items if not its.lacking]
    lacking = tuple(its.told.words for its in watched_in.items if its.lacking)
    told = _told_loads(items)
    tried = (known or KnownInterruptions()).of(watched_in)
    found, on_line = tried.found, tried.on_line
    seen = seen_by_probe(tried, complaint.probed) if complaint.probed else {}
    its = weighed(found, told, seen)
    suspects = tuple(likeliest(its, MOST_SUSPECTS, _HELD))
    at = tried.volts([one for one, _ in suspects])
    watched = tuple(its.function for its in watched_in.items)
    probed = {*complaint.probed}
    steps = tuple(
        step
        for step in (steps_for(found, [one for one, _ in suspects], at, watched) if at else ())
        if step.point not in probed and not (only_probes and step.point is None)
    )
    if not only_probes:
        steps += line_steps(on_line, [one for one, _ in suspects])
    steps, alike = _told_apart(suspects, steps)
    classes, odds = alike
    plan = first_test(odds, [Splitting(step.minutes, _outcomes(step, classes)) for step in steps])
    ranked = _ranked(steps, plan, suspects)
    return DeadLoads(
        watched_in, complaint, found, its, suspects,
        tuple(_with_outcomes(step, suspects) for step in ranked), plan, lacking,
        tuple(_fed_twice(watched_in, found, told)), _lines_of(on_line, suspects),
        _black_lead(watched_in, steps, suspects),
    )  # fmt: skip


def _black_lead(
    watched_in: WatchedStates, steps: Sequence[ProbeStep], suspects: Sequence[tuple[Break, float]]
) -> BlackLead | None:
    if all(step.point is None or step.network for step in steps):
        return None
    dead = [its.function for its in watched_in.items if not (its.told.works or its.lacking or its.told.network)]
    return black_lead(watched_in.main, watched_in.switched_on, dead, suspects)


def _told_loads(items: Sequence[Watched]) -> ToldLoads:
    dead = [its for its in items if not its.told.works]
    works = [its for its in items if its.told.works]
    functions = {its.function for its in dead if not its.told.network}
    tried = (its for its in works if not its.told.network and its.function in functions)
    return ToldLoads(
        tuple(its.number for its in dead), tuple(its.number for its in works), frozenset(its.number for its in tried)
    )


def _lines_of(on_line: OnTheLine, suspects: Sequence[tuple[Break, float]]) -> dict[str, OnLine]:
    """The networks whose lines are among what it most likely is."""
    cuts = (on_line.cuts.get(its) for its, odds in suspects if odds >= _WORTH_A_LINE)
    return {cut.network: on_line.lines[cut.network] for cut in cuts if cut is not None}


_WORTH_A_LINE = 0.05
"""Odds from which on it is told how a network's lines are measured (judgement)."""


def _fed_twice(watched_in: WatchedStates, found: Interrupted, told: ToldLoads) -> list[str]:
    return [
        watched_in.named(n) for n in told.dead
        if all(one.kind in ("load", "network") for one, its in found.without.items() if n in its.kills)
        and any(n in its.weakens or n in its.kills for its in found.without.values())
    ]  # fmt: skip


def seen_by_probe(tried: TriedInterruptions, probed: Mapping[Terminal, float]) -> dict[Break, float]:
    """How well each thing, interrupted, fits the volts that were read."""
    circuit = tried.found.sound.circuit
    nominal = nominal_volts(circuit)
    factors = {}
    for its, there in tried.volts(tried.found.without).items():
        factor = 1.0
        for point, read in probed.items():
            if point not in circuit.number:
                continue
            volts = there.volts[circuit.number[point]] or 0.0
            near = math.exp(-(((read - volts) / (_PROBE_VOLTS * nominal[circuit.number[point]])) ** 2) / 2)
            factor *= _MISREAD + (1 - _MISREAD) * near
        factors[its] = factor
    return factors


def _told_apart(
    suspects: Sequence[tuple[Break, float]], steps: tuple[ProbeStep, ...]
) -> tuple[tuple[ProbeStep, ...], tuple[list[int], list[float]]]:
    """The steps, and the suspects put together where no step tells them apart: a class for each suspect, and the odds
    of each class."""
    numbers: dict[tuple[Shown, ...], int] = {}
    classes = []
    for n in range(len(suspects)):
        signature = tuple(step.shown[n] for step in steps)
        classes.append(numbers.setdefault(signature, len(numbers)))
    odds = [0.0] * len(numbers)
    for its, (_, share) in zip(classes, suspects, strict=True):
        odds[its] += share
    return steps, (classes, odds)


def _outcomes(step: ProbeStep, classes: Sequence[int]) -> tuple[int, ...]:
    """The outcome of each class, as a number."""
    kinds: dict[Shown, int] = {}
    found: dict[int, int] = {}
    for its, shown in zip(classes, step.shown, strict=True):
        found[its] = kinds.setdefault(shown, len(kinds))
    return tuple(found[n] for n in range(len(found)))


_MOST_STEPS = 4


def _ranked(steps: Sequence[ProbeStep], plan: TestPlan, suspects: Sequence[tuple[Break, float]]) -> list[ProbeStep]:
    """The one to do first, then the others by what they tell: whoever does not want the first wants one that tells
    much. Of steps that part the suspects in the same way only the quickest is kept."""

    def bits(step: ProbeStep) -> float:
        shares: dict[Shown, float] = {}
        for shown, (_, odds) in zip(step.shown, suspects, strict=True):
            shares[shown] = shares.get(shown, 0.0) + odds
        return -sum(its * math.log2(its) for its in shares.values() if its > 0)

    first = [steps[plan.first]] if plan.first is not None else []
    told: dict[tuple[int, ...], ProbeStep] = {}  # of steps that part the same, the first will do
    for its in (
        *first,
        *sorted((its for its in steps if its not in first), key=lambda its: (-round(bits(its), 6), its.minutes)),
    ):
        told.setdefault(_outcomes(its, range(len(suspects))), its)
    return list(told.values())[:_MOST_STEPS]


def _with_outcomes(step: ProbeStep, suspects: Sequence[tuple[Break, float]]) -> NextStep:
    by_shown: dict[Shown, list[int]] = {}
    for n, shown in enumerate(step.shown):
        by_shown.setdefault(shown, []).append(n)
    outcomes = []
    for shown, numbers in by_shown.items():
        volts = [step.volts[n] or 0.0 for n in numbers]
        span = None if step.point is None or step.network else (min(volts), max(volts))
        chance = sum(suspects[n][1] for n in numbers)
        left = tuple(suspects[n][0] for n in numbers)
        outcomes.append(ProbeOutcome(shown, chance, span, left, step.network, step.nominal))
    return NextStep(step, tuple(sorted(outcomes, key=lambda its: -its.chance)))

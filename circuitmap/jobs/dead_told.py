"""What a card says of loads that do not work: which, what works, what the probe showed, and where that stands.

Proven is one thing when probes on both its sides, the load switched on, show plus on the one and next to nothing on the
other. Repaired is the vehicle when everything that was dead was seen working after something was mended.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from circuitmap.circuit.links import Circuit
from circuitmap.dead.breaks import Break
from circuitmap.dead.dead_loads import Complaint
from circuitmap.dead.probed_through import probed_through
from circuitmap.dead.watched import ToldOf, said_apart, said_of_all
from circuitmap.dead.written_told import written_told
from circuitmap.evidence.card_text import Text
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.told_car import problem_of
from circuitmap.failures import WrongUse
from circuitmap.jobs.blown_told import is_a_fuse
from circuitmap.power.functions import function_named
from circuitmap.problems import Problem
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.probe_points import probe_point

DeadStage = Literal["", "open", "proven", "mended", "not-repaired", "repaired"]
"""Empty: nobody said that anything is dead. `open`: it is not found yet. `mended`: not everything was seen working."""


@dataclass(frozen=True)
class DeadStanding:
    """`complaint` is that of the vehicle as it came in; `shown` what two probes have shown to be interrupted. After
    mending: what was seen `working` again, what is `still_dead`, and what nobody has looked at (`unseen`). Of what
    nobody had complained of: what was seen to work before anything was mended (`worked`) and since (`checked`), and
    what is dead since (`dead_since`)."""

    stage: DeadStage
    complaint: Complaint
    shown: Break | None = None
    cause: str = ""
    mended: str = ""
    working: tuple[str, ...] = ()
    still_dead: tuple[str, ...] = ()
    unseen: tuple[str, ...] = ()
    probed: Mapping[Terminal, float] = field(default_factory=dict)
    """The latest volts at each point since something was mended, if anything was: those of the vehicle as it is."""
    worked: tuple[str, ...] = ()
    checked: tuple[str, ...] = ()
    dead_since: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = field(default=(), compare=False)


def written_probe(platform: Platform, point: str, value: str) -> tuple[Terminal, float]:
    """A point and the volts there; raises WrongUse."""
    try:
        return probe_point(platform, point), read_quantity(value, "voltage")
    except QuantityError as wrong:
        raise WrongUse(f"{point} {value}: {wrong}", f"Write it as probe {point} 12.3V.") from None


def dead_on_card(circuit: Circuit, card: JobCard) -> DeadStanding:
    """Where the dead loads of a card stand."""
    entries = [entry for entry in card.entries if entry.struck is None]
    problems: list[Problem] = []
    told: dict[tuple[str, object], ToldOf] = {}
    after: list[ToldOf] = []
    works_now: list[ToldOf] = []
    probed: dict[Terminal, float] = {}
    now: dict[Terminal, float] = {}
    cause = mended = ""
    for entry in entries:
        for texts, works in ((entry.dead, False), (entry.works, True)):
            for its in _told(circuit, texts, works, problems):
                if works and entry.mended is not None:
                    works_now.append(its)  # with what was mended it works: seen after it
                elif mended:
                    after.append(its)
                else:  # what was said last holds
                    told[its.name, its.said] = its
        for pair in entry.probed:
            try:
                point, volts = written_probe(circuit.platform, pair.name.value, pair.value.value)
            except WrongUse as failure:
                problems.append(problem_of(failure, pair.value))
                continue
            now[point] = volts
            if not mended:
                probed[point] = volts
        cause = entry.cause.value if entry.cause is not None else cause
        if entry.mended is not None:
            mended, after, works_now = entry.mended.value, works_now, []
            now.clear()
    complaint = Complaint(tuple(told.values()), probed)
    looked = _as_complained(complaint, after)
    if not complaint.dead:
        return DeadStanding(
            "", Complaint((), probed), cause=cause, mended=mended, probed=now,
            worked=tuple(dict.fromkeys(its.words for its in told.values())),
            checked=tuple(name for name, works in looked.items() if works),
            dead_since=tuple(name for name, works in looked.items() if not works), problems=tuple(problems),
        )  # fmt: skip
    functions = tuple(one for its in complaint.dead if (one := function_named(circuit, its.name)) is not None)
    shown = probed_through(circuit, probed, functions)
    words = [its.words for its in said_apart(complaint.told) if not its.works]
    working = tuple(name for name in words if looked.get(name) is True)
    still_dead = tuple(name for name, works in looked.items() if not works)
    unseen = tuple(name for name in words if name not in looked)
    stage: DeadStage = "proven" if shown is not None else "open"
    if mended:
        stage = "not-repaired" if still_dead else "mended" if unseen else "repaired"
    return DeadStanding(
        stage, complaint, shown, cause, mended, working, still_dead, unseen, now,
        checked=tuple(name for name, works in looked.items() if works and name not in words), problems=tuple(problems),
    )  # fmt: skip


def _as_complained(complaint: Complaint, after: Iterable[ToldOf]) -> dict[str, bool]:
    """Whether each works since it was mended, in the words of the complaint: a position in which all were dead goes
    without saying."""
    common = said_of_all(complaint.told)

    return {
        its._replace(said=tuple(change for change in its.said if change not in common)).words: its.works
        for its in after
    }


def _told(circuit: Circuit, texts: Iterable[Text], works: bool, problems: list[Problem]) -> Iterable[ToldOf]:
    for text in texts:
        if is_a_fuse(circuit, text.value):
            continue  # a fuse that blew is asked about by itself
        try:
            yield written_told(circuit, text.value, works)
        except WrongUse as failure:
            problems.append(problem_of(failure, text))

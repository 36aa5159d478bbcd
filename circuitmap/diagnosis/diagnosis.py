"""The answer, as values: what explains the readings, what speaks for it, what is not known, what to do next."""

from typing import NamedTuple

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.explaining.explained import Shortfall
from circuitmap.diagnosis.explaining.if_two import Two
from circuitmap.diagnosis.explaining.reasons import Argument, Beaten, ReasonLine
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.choosing import NextTests
from circuitmap.diagnosis.seen.dead_places import DeadPlace
from circuitmap.diagnosis.seen.netting import Account, Contradiction, Netted, Segment
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.unknown import Unknown

SURE_ABOUT = 0.95
"""Probability of a subject from which on it is the answer, whatever else was read (judgement)."""
SURE_ENOUGH = 0.9999
"""Never certain: no probability is shown above this."""


class Row(NamedTuple):
    """One explanation (faults that cannot be told apart, or a pair), its probability and its argument: line by line
    against its best rival; `speaks` is what speaks for its place at all; `beaten` what tells it from near rivals.
    `level_with` are rivals that no reading tells from it; `partly` the places where it explains only part of what was
    read."""

    explanation: FaultClass
    faults: tuple[tuple[Fault, ...], ...]
    probability: float
    argument: Argument
    speaks: tuple[ReasonLine, ...] = ()
    beaten: tuple[Beaten, ...] = ()
    level_with: tuple[FaultClass, ...] = ()
    partly: tuple[Shortfall, ...] = ()


class PartChance(NamedTuple):
    """The probability that a part is what is to be mended, or one of two such parts, given that something is wrong."""

    part: str
    probability: float
    faults: tuple[Fault, ...]


class Subject(NamedTuple):
    """What the case may be about: a network, a relay, a fuse, a part; `parts` are what may need mending there."""

    about: str
    probability: float
    parts: tuple[PartChance, ...]


class Misfit(NamedTuple):
    """A reading that the best explanation predicts badly, and how badly, in decibans against the best possible; or that
    something which was taken out spoke against."""

    segment: Segment
    decibans: float
    against: Tried | None = None


class World(NamedTuple):
    """One way the car may be where nobody said, and what the case would be about then. `fitting` and `positions` are
    what was assumed for each option and switch, by name; `probability` is this world's among those that were weighed;
    `joins` are parts that would join two batteries, one of which charges the other."""

    fitting: tuple[tuple[str, bool], ...]
    positions: tuple[tuple[str, str], ...]
    probability: float
    subject: Subject
    joins: tuple[str, ...] = ()


class Diagnosis(NamedTuple):
    """`something_wrong` is the probability that the draw is not normal; all others are given that it is not.
    `account` is the balance sheet; None without a total. `hands_off` is what no test may touch. `dead` are fuses that
    draw although nothing should feed them; `worlds` what it would be if something nobody said were so or otherwise,
    where that matters, likeliest first; `tests` are then those of the likeliest. `if_two` are the pairs of
    subjects that it would be if it were two things; `batteries` what was checked at the batteries themselves.
    """

    something_wrong: float
    two_faults: float
    rows: tuple[Row, ...]
    parts: tuple[PartChance, ...]
    subjects: tuple[Subject, ...]
    tests: NextTests
    account: Account | None
    netted: Netted
    tried: tuple[Tried, ...]
    contradictions: tuple[Contradiction, ...]
    incomplete: tuple[Unknown, ...]
    misfits: tuple[Misfit, ...]
    hands_off: HandsOffMap
    faults: tuple[Fault, ...] = ()
    dead: tuple[DeadPlace, ...] = ()
    worlds: tuple[World, ...] = ()
    if_two: tuple[Two, ...] = ()
    batteries: tuple[BatterySeen, ...] = ()

    @property
    def nothing_fits(self) -> bool:
        """Not where it is nearly sure what it is about: then that is the answer, with what it leaves open."""
        sure = bool(self.subjects) and self.subjects[0].probability >= SURE_ABOUT
        return sum(misfit.against is None for misfit in self.misfits) >= 2 and not sure

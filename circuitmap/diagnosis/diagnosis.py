"""The answer, as values: what explains the readings, what speaks for it, what is not known, what to do next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.switched import Switching
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.diagnosis.explaining.explained import Shortfall, shortfalls
from circuitmap.diagnosis.explaining.if_two import IfTwo, Two
from circuitmap.diagnosis.explaining.reasons import Argument, Arguments, Beaten, ReasonLine
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.contact_volts import ContactVolts
from circuitmap.diagnosis.next_test.next_tests import NextTests
from circuitmap.diagnosis.nothing_seen import NothingSeen
from circuitmap.diagnosis.seen.all_batteries import AllBatteries
from circuitmap.diagnosis.seen.at_rest import AtRest
from circuitmap.diagnosis.seen.dead_places import DeadPlace
from circuitmap.diagnosis.seen.figures_that_fit import FigureFits
from circuitmap.diagnosis.seen.left_for_one import LeftForOne
from circuitmap.diagnosis.seen.missing_behind import MissingBehind
from circuitmap.diagnosis.seen.netting import Account, Contradiction, Netted, Segment
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.settled import SettledPart
from circuitmap.diagnosis.seen.should_flow import ShouldFlow
from circuitmap.diagnosis.weighing.sightings import CurrentSighting
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.left_so import LeftSo
from circuitmap.evidence.readings import Reading
from circuitmap.unknown import Unknown

SURE_ABOUT = 0.95
"""Probability of a subject from which on it is the answer, whatever else was read (judgement)."""
SURE_ENOUGH = 0.9999
"""Never certain: no probability is shown above this."""
NOT_FOLLOWED = 0.89
"""What is told of the likeliest at most while most of what flows was not followed beyond a feeder, and a box behind it
was not read: no size of a current bears it out, and two things at once would look the same; and while what was read
goes together only by what a fuse's resistance may be off (judgement)."""


@dataclass(frozen=True)
class Row:
    """One explanation (faults that cannot be told apart, or a pair), its probability and its argument.

    Of forty rows an answer tells a few: what speaks for a row is worked out when somebody asks for it. `number` is its
    own among `arguments`; `currents` are those that were weighed, `of_all` the faults that they name by number.
    """

    explanation: FaultClass
    faults: tuple[tuple[Fault, ...], ...]
    probability: float
    number: int
    arguments: Arguments = field(compare=False, repr=False)
    currents: Sequence[CurrentSighting[Segment]] = field(compare=False, repr=False)
    of_all: tuple[Fault, ...] = field(compare=False, repr=False)

    @cached_property
    def argument(self) -> Argument:
        """Line by line against its best rival."""
        return self.arguments.of(self.number)

    @cached_property
    def speaks(self) -> tuple[ReasonLine, ...]:
        """What speaks for its place at all."""
        return self.arguments.for_the_place(self.number)

    @cached_property
    def beaten(self) -> tuple[Beaten, ...]:
        """What tells it from near rivals."""
        return self.arguments.beaten(self.number)

    @cached_property
    def level_with(self) -> tuple[FaultClass, ...]:
        """Rivals that no reading tells from it."""
        return self.arguments.level_with(self.number)

    @cached_property
    def partly(self) -> tuple[Shortfall, ...]:
        """The places where it explains only part of what was read."""
        return shortfalls(self.currents, self.of_all, self.explanation.members[0])


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


class UnexplainedTry(NamedTuple):
    """A try that only a slip explains. `through` are the switches, relays and outputs by which what was out is fed, the
    nearest first."""

    tried: Tried
    through: tuple[str, ...]


class World(NamedTuple):
    """One way the car may be where nobody said, and what the case would be about then. `fitting` and `positions` are
    what was assumed for each option and switch, by name; `probability` is this world's among those that were weighed;
    `joins` are parts that would join two batteries, one of which charges the other; `level` are others that the case
    may as well be about."""

    fitting: tuple[tuple[str, bool], ...]
    positions: tuple[tuple[str, str], ...]
    probability: float
    subject: Subject
    joins: tuple[str, ...] = ()
    level: tuple[Subject, ...] = ()


class Diagnosis(NamedTuple):
    """`something_wrong` is the probability that the draw is not normal; all others are given that it is not. `account`
    is the balance sheet; None without a total. `hands_off` is what no test may touch, `switching` what each part turns
    on and off. `dead` are fuses that draw although nothing should feed them; `worlds` what it would be if something
    nobody said were so or otherwise, where that matters, likeliest first; `tests` are then those of the likeliest;
    `batteries` what was checked at the batteries themselves; `settled` what of a draw by two faults went with what is
    out; `missing` are feeders that carry more than was found behind them, or behind which nearly all was read; `fits`
    what behind a fuse takes just what was read there; `left_for_one` what is left of a feeder for the one fuse that
    nobody may read; `should_flow` what the sheets print for each battery that was
    read; `positions` how switches stand, where somebody said so; `left_so` what is out, or was turned, and left so
    while somebody reads on: all else is of the vehicle without it; `contacts` what volts show at the contact of a
    switch that leads, or is to be mended; `at_rest` which switches were measured at rest, `relays_measured` which
    relays were measured; `from_before` readings from before something was mended that count on; `happens_when` is when
    it happens, by the driver; `renewed_before` are parts that were renewed in vain before it came in;
    `unexplained_tries` are those with which the draw went and came back, for nothing that is supposed; `together` is
    what all batteries give, where there are several and each was read; `nothing_seen`: what
    was read without a total, where nothing draws at any place; `unused`: it was locked without having been used.
    """

    something_wrong: float
    two_faults: float
    rows: tuple[Row, ...]
    parts: tuple[PartChance, ...]
    subjects: tuple[Subject, ...]
    tests: NextTests
    account: Account | None
    netted: Netted
    pairs: IfTwo
    tried: tuple[Tried, ...]
    contradictions: tuple[Contradiction, ...]
    incomplete: tuple[Unknown, ...]
    misfits: tuple[Misfit, ...]
    hands_off: HandsOffMap
    switching: Switching
    faults: tuple[Fault, ...] = ()
    dead: tuple[DeadPlace, ...] = ()
    worlds: tuple[World, ...] = ()
    batteries: tuple[BatterySeen, ...] = ()
    settled: SettledPart | None = None
    missing: tuple[MissingBehind, ...] = ()
    fits: tuple[FigureFits, ...] = ()
    left_for_one: tuple[LeftForOne, ...] = ()
    should_flow: tuple[ShouldFlow, ...] = ()
    positions: Mapping[str, str] = MappingProxyType({})
    left_so: LeftSo | None = None
    contacts: tuple[ContactVolts, ...] = ()
    from_before: tuple[Reading, ...] = ()
    happens_when: str = ""
    unused: bool = False
    at_rest: AtRest = AtRest()
    relays_measured: frozenset[str] = frozenset()
    renewed_before: tuple[str, ...] = ()
    unexplained_tries: tuple[UnexplainedTry, ...] = ()
    together: AllBatteries | None = None
    nothing_seen: NothingSeen | None = None

    @property
    def if_two(self) -> tuple[Two, ...]:
        """The pairs of subjects that it would be if it were two things."""
        return self.pairs.told

    @property
    def fed_from(self) -> Mapping[str, str]:
        """What somebody wrote down that is on no sheet, each with the part that feeds it, where that is live."""
        return {its.part: its.place for its in self.faults if its.kind == "added" and its.about == its.part}

    @property
    def nothing_fits(self) -> bool:
        """Not where it is nearly sure what it is about: then that is the answer, with what it leaves open."""
        sure = bool(self.subjects) and self.subjects[0].probability >= SURE_ABOUT
        return sum(misfit.against is None for misfit in self.misfits) >= 2 and not sure

"""What a job card says about the car itself: its equipment, what was added, and how its switches stand while it is
parked.

This holds for all readings, whenever it was found out.
"""

from dataclasses import dataclass, field

from circuitmap.evidence.car import AddedPart
from circuitmap.evidence.card_text import Text
from circuitmap.evidence.in_slot import FuseInSlot, fuse_in_slot
from circuitmap.evidence.job_card import Entry, JobCard, Pair
from circuitmap.evidence.written_names import feed_and_figure, removable, written_position
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.names import find_part
from circuitmap.wiring.platform import Platform

_LONGEST_MESSAGE = 400
"""A message repeats what was written; anything longer than this is neither a name nor an amount."""


def problem_of(failure: WrongUse | str, text: Text) -> Problem:
    """What is wrong with a text on the card, with its place."""
    message, advice = (failure, "") if isinstance(failure, str) else (failure.message, failure.advice)
    if len(message) > _LONGEST_MESSAGE:
        message = f"{message[:_LONGEST_MESSAGE]}..."
    return Problem("card-value", Severity.ERROR, message, text.span, advice=advice)


def read_twice(place: str, pair: Pair, first: Text) -> Problem:
    """A place stands twice in one entry, and nobody knows which of the two holds."""
    return Problem(
        "card-twice", Severity.ERROR, f"{place} stands in this entry a second time.", pair.name.span,
        advice="Which of the two holds? Keep one, or make it a new entry.",
        related=(Related(first.span, "first here"),),
    )  # fmt: skip


@dataclass
class ToldCar:
    """The car as it is told; what makes no sense goes to `problems`."""

    platform: Platform
    problems: list[Problem]
    added: list[AddedPart] = field(default_factory=list)
    absent: list[str] = field(default_factory=list)
    there: list[str] = field(default_factory=list)
    options: dict[str, bool] = field(default_factory=dict)
    positions: dict[str, str] = field(default_factory=dict)
    own_battery: list[str] = field(default_factory=list)
    in_slot: dict[str, FuseInSlot] = field(default_factory=dict)
    turned_then: list[Pair] = field(default_factory=list)
    stood: dict[str, str] = field(default_factory=dict)
    read_since: set[str] = field(default_factory=set)

    def told_on(self, card: JobCard) -> None:
        """Everything that the card says about the car."""
        self._equipment(card)
        for pair in card.added:
            self._added(pair)
        for entry in card.entries:
            if entry.struck is None:
                self._equipment(entry)
                for pair in entry.added:
                    self._added(pair)
                for text in entry.own_battery:
                    self._own_battery(text)
                for pair in entry.in_slot:
                    self._in_slot(pair)
                for pair in entry.turned:
                    self._turned(pair)
                for pair in entry.stands:
                    self._stands(pair)
                if entry.read or entry.total is not None or entry.log or entry.logged:
                    self.read_since |= self.stood.keys()

    def _equipment(self, told: JobCard | Entry) -> None:
        for names, is_fitted in ((told.fitted, True), (told.absent, False)):
            for name in names:
                if name.value in self.platform.options:
                    self.options[name.value] = is_fitted
                    continue
                try:
                    part = find_part(self.platform, name.value)
                except WrongUse as failure:
                    self.problems.append(problem_of(failure, name))
                    continue
                (self.there if is_fitted else self.absent).append(part)

    @property
    def names_added(self) -> tuple[str, ...]:
        """What is on no sheet of this platform, by its name on the card."""
        return tuple(part.name for part in self.added)

    def _own_battery(self, text: Text) -> None:
        try:
            self.own_battery.append(removable(self.platform, text.value, self.names_added))
        except WrongUse as failure:
            self.problems.append(problem_of(failure, text))

    def _in_slot(self, pair: Pair) -> None:
        """What is in a slot holds all along; of two that differ, what was looked at last."""
        try:
            its = fuse_in_slot(self.platform, pair.name.value, pair.value.value, pair.name.span)
        except WrongUse as failure:
            self.problems.append(problem_of(failure, pair.value))
            return
        self.in_slot[its.name] = its

    def _added(self, pair: Pair) -> None:
        try:
            fed_from, asleep = feed_and_figure(self.platform, pair.name.value, pair.value.value)
            before = next((part for part in self.added if part.name == pair.name.value), None)
            if before is not None and before.fed_from != fed_from:
                raise WrongUse(f"{pair.name.value} was fed from {before.fed_from} in an entry before: which holds?")
        except WrongUse as failure:
            self.problems.append(problem_of(failure, pair.value))
            return
        written = f"{pair.name.value} from {pair.value.value}"
        part = AddedPart(pair.name.value, fed_from, written, pair.name.span, asleep)
        if before is None:
            self.added.append(part)
        elif asleep is not None:  # what it takes may be found out later, and corrected
            self.added[self.added.index(before)] = part

    def _turned(self, pair: Pair) -> None:
        try:
            switch, position = written_position(self.platform, pair.name.value, pair.value.value)
        except WrongUse:
            return  # said where it is turned
        if switch in self.stood:  # else what is said later is how it stood before that, whenever it was found out
            self.stood[switch] = position

    def _stands(self, pair: Pair) -> None:
        """How a switch stands; said once more it stands so still. Where it was said otherwise, and something was read
        then, it was turned since: the order tells which readings belong to which."""
        try:
            switch, position = written_position(self.platform, pair.name.value, pair.value.value)
            self.positions.setdefault(switch, position)
            before = self.stood.setdefault(switch, position)
            if before == position:
                return
            if switch not in self.read_since:
                raise WrongUse(
                    f"{switch} was at {before} in an entry before: which readings belong to which?",
                    f"If it was turned then, and is left so: turned {switch} {position}. Else strike one of the two.",
                )
            self.turned_then.append(pair)
            self.stood[switch] = position
            self.read_since.discard(switch)
        except WrongUse as failure:
            self.problems.append(problem_of(failure, pair.value))

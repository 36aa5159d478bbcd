"""What makes a thing so that is not so in the parked vehicle: single changes, then two together that meet."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.power.controls import Wanted, controls_of
from circuitmap.power.evaluate import Beside, Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.survey import Change, Changes, Survey

MOST_ALTERNATIVES = 40
"""Alternatives that are found for one thing (judgement: nobody reads more; the samples have at most eight)."""


class Things(NamedTuple):
    """What is asked about, by numbers, each with what it wants to be live and grounded. `level` says how surely each is
    so in a state, `moved` which may be otherwise in a state than in the parked vehicle."""

    wanted: Mapping[int, Sequence[Wanted]]
    level: Callable[[Powered], Callable[[int], int]]
    moved: Callable[[Beside], Iterable[int]]


class Alternatives:
    """For each thing asked about, the changes that make it so for certain, and those with which it may be so.

    Two changes are listed only if neither of them alone does as much. `cut_off` are the things for which not all was
    tried that might make them so, because there is too much of it.
    """

    def __init__(self) -> None:
        self.certain: dict[int, list[Changes]] = {}
        self.perhaps: dict[int, list[Changes]] = {}
        self.cut_off: set[int] = set()
        self._always_perhaps: set[int] = set()

    def note(self, thing: int, level: int, changes: Changes) -> None:
        certain, perhaps = self.certain.setdefault(thing, []), self.perhaps.setdefault(thing, [])
        alone = [(change,) for change in changes] if len(changes) > 1 else []
        if any(one in certain or (level != YES and one in perhaps) for one in alone):
            return
        its = certain if level == YES else perhaps
        if len(its) < MOST_ALTERNATIVES:
            its.append(changes)
        else:
            self.cut_off.add(thing)

    def perhaps_anyway(self, things: Iterable[int]) -> None:
        """These may be so in the parked vehicle: only what makes them so for certain is worth finding."""
        self._always_perhaps.update(things)

    def found(self, thing: int) -> bool:
        return bool(self.certain.get(thing) or self.perhaps.get(thing)) or thing in self._always_perhaps

    def is_full(self, thing: int) -> bool:
        return len(self.certain.get(thing, ())) >= MOST_ALTERNATIVES

    def implies(self, thing: int, changes: Changes) -> bool:
        """One of these changes alone makes it so for certain."""
        certain = self.certain.get(thing, ())
        return any((change,) in certain for change in changes)

    def of(self, thing: int) -> tuple[tuple[Changes, ...], tuple[Changes, ...]]:
        return tuple(self.certain.get(thing, ())), tuple(self.perhaps.get(thing, ()))


def alternatives(survey: Survey, things: Things) -> Alternatives:
    """What makes each thing so: single changes; a position of the key and one change more; for those that are left,
    any two changes."""
    found = Alternatives()
    if things.wanted:
        _Search(survey, things, found).run()
    return found


class _Search:
    def __init__(self, survey: Survey, things: Things, found: Alternatives) -> None:
        self.survey, self.things, self.found = survey, things, found
        level = things.level(survey.parked)
        self.at_rest = {thing: level(thing) for thing in things.wanted}
        self._nearby: dict[int, frozenset[Change]] = {}

    def run(self) -> None:
        survey, found, wanted = self.survey, self.found, self.things.wanted
        keys = survey.key_changes
        singles = (*keys, *controls_of(survey, (it for its in wanted.values() for it in its)))
        if not singles:
            return
        if not self._try_all(((change,) for change in singles), wanted, lambda thing, changes: True):
            return
        found.perhaps_anyway(thing for thing, level in self.at_rest.items() if level != NO)
        partners = survey.partners(singles)
        if partners is None:
            found.cut_off.update(wanted)
            return
        alone = {thing for thing in wanted if found.found(thing)}

        def with_key(thing: int, pair: Changes) -> bool:
            return pair[1] in self.nearby(thing) and not (thing in alone and found.implies(thing, pair))

        if not self._try_all(_pairs(keys, partners, set(keys)), wanted, with_key):
            return
        left = {thing: its for thing, its in wanted.items() if not found.found(thing)}

        def any_two(thing: int, pair: Changes) -> bool:
            return self.nearby(thing).issuperset(pair)

        self._try_all(_pairs(singles[len(keys) :], partners, set()), left, any_two)

    def nearby(self, thing: int) -> frozenset[Change]:
        """The changes that are worth trying for a thing together with others."""
        its = self._nearby.get(thing)
        if its is None:
            its = self._nearby[thing] = frozenset(controls_of(self.survey, self.things.wanted[thing], nearby=True))
        return its

    def _try_all(
        self, several: Iterable[Changes], things: Mapping[int, object], fits: Callable[[int, Changes], bool]
    ) -> bool:
        """Try all of these changes on all of these things; False when there was too much of it."""
        survey, found = self.survey, self.found
        full = 0
        for changes in several if things else ():
            if survey.effort.used_up or full == len(things):
                found.cut_off.update(things)
                return not survey.effort.used_up
            beside = survey.beside(changes)
            level = self.things.level(beside.powered)
            for thing in self.things.moved(beside):
                if thing not in things:
                    continue
                its = level(thing)
                if its != NO and its != self.at_rest[thing] and fits(thing, changes):
                    was_full = found.is_full(thing)
                    found.note(thing, its, changes)
                    full += found.is_full(thing) and not was_full
        return True


def _pairs(
    firsts: Sequence[Change], partners: Mapping[Change, Sequence[Change]], without: set[Change]
) -> Iterator[tuple[Change, Change]]:
    """Two changes that meet, the first one of these."""
    for first in firsts:
        for second in partners[first]:
            if second not in without and second.name != first.name:
                yield first, second

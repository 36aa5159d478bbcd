"""What makes something happen that does not happen in the parked vehicle: single changes, then pairs of changes that
meet."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.power.controls import Wanted, controls_in
from circuitmap.power.evaluate import Beside, Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.several import in_other_positions, several_changes
from circuitmap.power.survey import Changes, StateChange, Survey

MOST_ALTERNATIVES = 40
"""How many alternatives are found for one thing (judgement: nobody reads more; the samples have at most eight)."""


_LOOK_AGAIN = 8
"""How many things must have enough alternatives before it is worked out again what is worth trying for the others."""


class Things(NamedTuple):
    """What is asked about, by numbers, each with what it wants to be live and grounded. `level` says how surely each is
    so in a state, `moved` which may differ between a state and the parked vehicle."""

    wanted: Mapping[int, Sequence[Wanted]]
    level: Callable[[Powered], Callable[[int], int]]
    moved: Callable[[Beside], Iterable[int]]
    goals: Mapping[int, Sequence[Wanted]]
    """What must all hold for each thing to be so, where it works the usual way round."""
    passed_on: Callable[[Powered, int], bool] = lambda _powered, _thing: False
    """Whether a thing is only so in a state because others pass a little current on to it."""


class Alternatives:
    """For each thing asked about, the changes that make it so for certain, and those with which it may be so.

    Two changes are listed only if neither of them alone does as much. `cut_off` are the things for which not everything
    was tried that might make them so, because there is too much.
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

    def drop_shorter_of(self, thing: int) -> None:
        """What may make it so, and with something more surely does, is told with that."""
        certain = [set(its) for its in self.certain.get(thing, ())]
        if thing in self.perhaps:
            self.perhaps[thing] = [its for its in self.perhaps[thing] if not any(set(its) < more for more in certain)]

    def is_full(self, thing: int) -> bool:
        return len(self.certain.get(thing, ())) >= MOST_ALTERNATIVES

    def implies(self, thing: int, changes: Changes) -> bool:
        """One of these changes alone makes it so for certain."""
        certain = self.certain.get(thing, ())
        return any((change,) in certain for change in changes)

    def of(self, thing: int) -> tuple[tuple[Changes, ...], tuple[Changes, ...]]:
        return tuple(self.certain.get(thing, ())), tuple(self.perhaps.get(thing, ()))


def alternatives(survey: Survey, things: Things) -> Alternatives:
    """What makes each thing so: single changes; a position of the key and one more change; for the things that are
    left, any two changes."""
    found = Alternatives()
    if things.wanted:
        _Search(survey, things, found).run()
    return found


class _Search:
    def __init__(self, survey: Survey, things: Things, found: Alternatives) -> None:
        self.survey, self.things, self.found = survey, things, found
        level = things.level(survey.parked)
        self.at_rest = {thing: level(thing) for thing in things.wanted}
        all_of, near = controls_in(survey), controls_in(survey, nearby=True)
        wide = controls_in(survey, perhaps=True)
        self._with_control: dict[tuple[StateChange, int, int], list[int]] = {}
        self._number = {change: number for number, change in enumerate(survey.other_changes)}
        self._all = {thing: all_of.of(its) for thing, its in things.wanted.items()}
        self._wide = {thing: self._all[thing] | wide.of(its) for thing, its in things.wanted.items()}
        self._nearby = {thing: near.of(its) for thing, its in things.wanted.items()}

    def run(self) -> None:
        survey, found, wanted = self.survey, self.found, self.things.wanted
        keys = survey.key_changes
        together = 0
        for its in self._all.values():
            together |= its
        others = [change for change, number in self._number.items() if together >> number & 1]
        singles = (*keys, *others)
        if not singles or not self._try_all(((change,) for change in singles), wanted, self._wide, lambda *_: True):
            return
        found.perhaps_anyway(thing for thing, level in self.at_rest.items() if level != NO)
        partners = survey.partners(singles)
        if partners is None:
            found.cut_off.update(wanted)
            return
        alone = {thing for thing in wanted if found.found(thing)}

        def with_key(thing: int, pair: Changes) -> bool:
            return not (thing in alone and found.implies(thing, pair))

        if not self._try_all(_pairs(keys, partners, set(keys)), wanted, self._nearby, with_key):
            return
        left = {thing: its for thing, its in wanted.items() if not found.found(thing) or self._only_passed_on(thing)}
        self._try_all(_pairs(others, partners, set()), left, self._nearby, lambda *_: True)
        for thing in left:
            if thing not in found.cut_off and (not found.found(thing) or self._only_passed_on(thing)):
                self._try_several(thing)
                self._try_the_same_beside(thing)
            found.drop_shorter_of(thing)

    def _try_the_same_beside(self, thing: int) -> None:
        """What was missing in one of the ways in which it only may be so makes the others sure as well."""
        certain, perhaps = self.found.of(thing)
        missing = {change for its in certain for change in its} - {change for its in perhaps for change in its}
        for its in perhaps if missing else ():
            more = (*its, *sorted(missing, key=str))
            known = any(set(more) == set(one) for one in certain)
            if not known and self.survey.has(more) and self.things.level(self.survey.after(more))(thing) == YES:
                self.found.note(thing, YES, more)

    def _only_passed_on(self, thing: int) -> bool:
        """Whether all that was found gives it no more than what others pass on: the lamp across an open main switch."""
        certain, perhaps = self.found.of(thing)
        return (
            bool(perhaps)
            and not certain
            and all(self.survey.has(its) and self.things.passed_on(self.survey.after(its), thing) for its in perhaps)
        )

    def _try_several(self, thing: int) -> None:
        """What takes more than two changes: one way, by following it."""
        level = self.things.level

        def so(powered: Powered) -> int:
            return level(powered)(thing)

        changes = several_changes(self.survey, self.things.goals[thing], so)
        for its in (changes, *in_other_positions(self.survey, changes, so)) if changes else ():
            self.found.note(thing, YES, its)

    def _try_all(
        self,
        several: Iterable[Changes],
        things: Mapping[int, object],
        controls: Mapping[int, int],
        fits: Callable[[int, Changes], bool],
    ) -> bool:
        """Try all of these changes on all of these things, as far as they are `controls` of them; False when there was
        too much to try. What could only add alternatives beyond those that are told is not tried."""
        survey, found, number = self.survey, self.found, self._number
        full = {thing for thing in things if found.is_full(thing)}
        open_to = self._together(things, controls, full)
        newly_full = 0
        for changes in several if things else ():
            bits = 0
            for change in changes:
                bits |= 1 << number[change] if change in number else 0
            if newly_full >= _LOOK_AGAIN:
                open_to, newly_full = self._together(things, controls, full), 0
            if bits & ~open_to or (full and len(full) == len(things)):
                found.cut_off.update(thing for thing in full if not bits & ~controls[thing])
                continue
            if len(changes) > 1 and not any(
                fits(thing, changes)
                for thing in self._things_of(changes[-1], things, controls)
                if not bits & ~controls[thing]
            ):
                continue
            if survey.effort.used_up:
                found.cut_off.update(things)
                return False
            beside = survey.beside(changes)
            level = self.things.level(beside.powered)
            for thing in self.things.moved(beside):
                if thing not in things or (len(changes) > 1 and bits & ~controls[thing]):
                    continue
                its = level(thing)
                if its != NO and its != self.at_rest[thing] and fits(thing, changes):
                    found.note(thing, its, changes)
                    if thing not in full and found.is_full(thing):
                        full.add(thing)
                        newly_full += 1
        return True

    def _things_of(self, change: StateChange, things: Mapping[int, object], controls: Mapping[int, int]) -> list[int]:
        """The things that a change is a control of."""
        key = change, id(controls), len(things)
        found = self._with_control.get(key)
        if found is None:
            number = self._number[change]
            found = self._with_control[key] = [thing for thing in things if controls[thing] >> number & 1]
        return found

    @staticmethod
    def _together(things: Iterable[int], controls: Mapping[int, int], but: set[int]) -> int:
        """The controls of all these things."""
        bits = 0
        for thing in things:
            if thing not in but:
                bits |= controls[thing]
        return bits


def _pairs(
    firsts: Sequence[StateChange], partners: Mapping[StateChange, Sequence[StateChange]], without: set[StateChange]
) -> Iterator[tuple[StateChange, StateChange]]:
    """Pairs of changes that meet, the first being one of these."""
    for first in firsts:
        for second in partners[first]:
            if second not in without and second.name != first.name:
                yield first, second

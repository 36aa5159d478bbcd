"""Whether the conditions in which something is live are all there are; those that are missing are looked for.

A state in which none of the conditions holds lacks something of each of them. What could be live without that is told
by `within`: if the terminal could not be, the conditions are whole. If it could, what makes it so is one condition
more, and the same is asked again.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from circuitmap.power.controls import Wanted
from circuitmap.power.evaluate import Powered
from circuitmap.power.several import in_other_positions, several_changes
from circuitmap.power.survey import Changes, StateChange, Survey
from circuitmap.power.within import Never, hopeful, positions_left, switches_between

_MOST_ADDED = 12
"""Conditions that are added for one terminal, those that differ by a position counted once (judgement)."""
_MOST_LOOKS = 160
"""Questions of what could be live that are asked for one terminal (judgement)."""
_MOST_SPLIT = 2
"""Switches of which every position is asked about alone, for one gap (judgement)."""

Group = dict[tuple[str, str], frozenset[StateChange]]
"""Conditions that differ by positions only: for each thing that is changed, all the changes that will do."""


class Whole(NamedTuple):
    """All conditions that were found; `unclear`: there may be more."""

    conditions: tuple[Changes, ...]
    unclear: bool


def all_conditions(
    survey: Survey, goal: Wanted, conditions: Iterable[Changes], level: Callable[[Powered], int]
) -> Whole:
    """The conditions and those that were missing. `level` says how surely the thing is so in a state."""
    account = _Account(survey, goal, list(conditions), level)
    account.settle(frozenset(), 0)
    return Whole(tuple(account.conditions), account.unclear)


class _Account:
    def __init__(
        self, survey: Survey, goal: Wanted, conditions: list[Changes], level: Callable[[Powered], int]
    ) -> None:
        self.survey, self.goal, self.conditions, self.level = survey, goal, conditions, level
        self.groups = _grouped(conditions)
        self.unclear = False
        self.added = self.looks = 0
        self.seen: set[Never] = set()

    def settle(self, never: Never, split: int) -> None:
        """Account for every state in which none of this happens."""
        while not self.unclear:
            if not self._could_be(never):
                return
            open_groups = [its for its in self.groups if not any(changes <= never for changes in its.values())]
            if open_groups:
                smallest = min(open_groups, key=len)
                for changes in smallest.values():
                    self.settle(never | changes, split)
                return
            if not self._add(never):
                self._split(never, split)
                return

    def _could_be(self, never: Never) -> bool:
        if never in self.seen:
            return False
        self.looks += 1
        if self.looks > _MOST_LOOKS or self.survey.effort.used_up:
            self.unclear = True
            return False
        side, net = self.goal
        found = hopeful(self.survey, never)
        if net in (found.supply if side == "supply" else found.ground):
            return True
        self.seen.add(never)
        return False

    def _add(self, never: Never) -> bool:
        """One more condition, without what never happens."""
        changes = several_changes(self.survey, [self.goal], self.level, never, hopeful(self.survey, never).closes)
        if not changes:
            return False
        self.added += 1
        if self.added > _MOST_ADDED:
            self.unclear = True
            return False
        others = in_other_positions(self.survey, changes, self.level)
        self.conditions += [its for its in (changes, *others) if its not in self.conditions]
        self.groups = _grouped(self.conditions)
        return True

    def _split(self, never: Never, split: int) -> None:
        """Ask about each position of a switch alone: what wants two at once is never so."""
        switch = self._to_split(never) if split < _MOST_SPLIT and not self.unclear else None
        if switch is None:
            self.unclear = True
            return
        kind, name = switch
        left = positions_left(self.survey, name, never)
        for position in left:
            others = {StateChange(kind, name, its) for its in left if its != position}  # type: ignore[arg-type]
            self.settle(never | others, split + 1)

    def _to_split(self, never: Never) -> tuple[str, str] | None:
        key = {its.name for its in self.survey.key_changes}
        between = sorted(switches_between(self.survey, hopeful(self.survey, never)))
        for name in (*key, *(its for its in between if its not in key)):
            if len(positions_left(self.survey, name, never)) > 1:
                return ("key" if name in key else "switch"), name
        return None


def _grouped(conditions: Iterable[Changes]) -> list[Group]:
    groups: list[Group] = [{(its.kind, its.name): frozenset((its,)) for its in changes} for changes in conditions]
    merged = True
    while merged:
        merged = False
        for n, one in enumerate(groups):
            for other in groups[n + 1 :]:
                apart = [thing for thing in one if one[thing] != other.get(thing)]
                if one.keys() == other.keys() and len(apart) < 2:
                    one.update((thing, one[thing] | other[thing]) for thing in apart)
                    groups.remove(other)
                    merged = True
                    break
    return groups

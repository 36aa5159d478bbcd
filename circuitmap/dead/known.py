"""What was worked out for one car and need not be again while only the probe moves: what is dead without each thing,
and the volts everywhere with it interrupted."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from circuitmap.dead.breaks import Break
from circuitmap.dead.on_the_line import OnTheLine
from circuitmap.dead.probes import VoltsWith, volts_with
from circuitmap.dead.watched import WatchedStates
from circuitmap.dead.without import Interrupted, in_all_states

MOST_KEPT = 6
"""Complaints of one car that are kept, the latest ones (judgement: a step of the next test has two outcomes)."""


@dataclass
class TriedInterruptions:
    """All things interrupted one after another in the states of one complaint; volts are worked out when asked for."""

    watched: WatchedStates
    found: Interrupted
    on_line: OnTheLine
    _volts: dict[Break, VoltsWith] = field(default_factory=dict)

    def volts(self, breaks: Iterable[Break]) -> Mapping[Break, VoltsWith]:
        """The volts everywhere with each of these interrupted, while what is watched in the first state is on."""
        wanted = list(breaks)
        on = self.watched.switched_on
        self._volts.update(volts_with(self.found, on, [its for its in wanted if its not in self._volts]))
        return {its: self._volts[its] for its in wanted if its in self._volts}

    def is_of(self, watched: WatchedStates) -> bool:
        """Whether it holds for these: the same circuit, states and things, with the same said of them: who answers
        decides which part of a line still talks."""
        if self.watched.main.circuit is not watched.main.circuit:
            return False
        mine, others = ([one.powered.state for one in its.states] for its in (self.watched, watched))
        return mine == others and _things(self.watched) == _things(watched)


def _things(watched: WatchedStates) -> list[tuple[str, str, bool, int, int, bool]]:
    return sorted(
        (its.told.name, its.told.network, its.told.works, its.number, its.state, its.lacking) for its in watched.items
    )


@dataclass
class KnownInterruptions:
    """Those of one car, the latest ones."""

    _kept: list[TriedInterruptions] = field(default_factory=list)

    def of(self, watched: WatchedStates) -> TriedInterruptions:
        """What is known of these, worked out if it is not known yet."""
        for its in self._kept:
            if its.is_of(watched):
                return its
        on_line = OnTheLine(watched)
        interrupted = in_all_states(watched)
        interrupted = interrupted._replace(without=on_line.added_to(interrupted.without))
        found = TriedInterruptions(watched, interrupted, on_line)
        self._kept = [*self._kept[1 - MOST_KEPT :], found]
        return found

"""What is seen of a vehicle while it settles, and its state at the end."""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.power.reach import Reach


class Standing(NamedTuple):
    """How each relay is pulled in, and each sleeper fed and awake."""

    relays: Sequence[int]
    fed: Sequence[int]
    awake: Sequence[int]


class Seen(NamedTuple):
    """One look at the vehicle with its relays as they are; `woken` is how each sleeper's wake pins are."""

    standing: Standing
    lines: Sequence[int]
    reach: Reach
    woken: Sequence[int]


class Look(NamedTuple):
    """How each gate conducts, and what is seen with the gates so."""

    levels: Sequence[int]
    seen: Seen


class Settled(NamedTuple):
    """The end of the iteration. `levels` is how each gate conducts.

    `buzzing` are relays that keep switching themselves on and off; `racing` those whose end depends on which of
    them is quicker; `unsettled` those that were still moving after more looks than are taken. All of them are taken
    as "may be pulled in".
    """

    standing: Standing
    lines: Sequence[int]
    levels: Sequence[int]
    reach: Reach
    buzzing: frozenset[int] = frozenset()
    racing: frozenset[int] = frozenset()
    unsettled: frozenset[int] = frozenset()


class Touched:
    """What was looked at again, in numbers: gates, nets, takers, sleepers, lines, and `floating`, the nets, neither
    live nor grounded, that are joined with a change. `falls`: something no longer conducts or is no longer live, or
    less surely so. `work` counts the looking."""

    def __init__(self) -> None:
        self.gates: set[int] = set()
        self.nets: set[int] = set()
        self.takers: set[int] = set()
        self.sleepers: set[int] = set()
        self.lines: set[int] = set()
        self.floating: set[int] = set()
        self.falls = False
        self.work = 0

    def add(self, other: "Touched") -> None:
        self.gates |= other.gates
        self.nets |= other.nets
        self.takers |= other.takers
        self.sleepers |= other.sleepers
        self.lines |= other.lines

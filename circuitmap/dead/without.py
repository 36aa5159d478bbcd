"""What no longer works without each thing: settled anew with that thing interrupted, relays and modules and all."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.dead.breaks import Break, breaks_in, rows_of
from circuitmap.dead.may_matter import MayMatter
from circuitmap.effort import Effort
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.nets import NO, YES

MOST_WORK = 1_500_000
"""Work for all things interrupted one after another, in links looked at; beyond, the rest is left out and said (`cut
off`; judgement: some fifteen seconds)."""


class DeadWithout(NamedTuple):
    """What is dead with something interrupted: `kills` surely; `weakens`: it may be, because what is left is not known
    for sure. Loads by their number in the plan."""

    powered: Powered
    kills: frozenset[int]
    weakens: frozenset[int]


class Interrupted(NamedTuple):
    """For each thing that may be interrupted, what then is dead. Only things that kill or weaken anything are there."""

    sound: Powered
    without: Mapping[Break, DeadWithout]
    settled: int
    cut_off: bool


MOST_ROWS = 60
"""Rows up to which every one is settled; of more only those that may matter to the loads that are asked about
(judgement)."""


def interrupted_one_by_one(sound: Powered, loads: Sequence[str]) -> Interrupted:
    """Everything that may be interrupted in this state, one after another, and may matter to these loads; one of each
    row without a branch is settled for the whole row."""
    effort = Effort(MOST_WORK)
    found: dict[Break, DeadWithout] = {}
    settled = 0
    rows = rows_of(sound, breaks_in(sound))
    if len(rows) > MOST_ROWS:
        matter = MayMatter(sound, loads)
        own = set(loads)
        rows = tuple(
            row
            for row in rows
            if any(
                matter.may(its.links) if its.kind != "load" else its.name in own or its.name in matter.asked
                for its in row
            )
            or row[0].network
        )
    for row in rows:
        if not effort.spend(len(sound.circuit.links)):
            break
        settled += 1
        its = without(sound, row[0])
        if its.kills or its.weakens:
            found.update(dict.fromkeys(row, its))
    return Interrupted(sound, found, settled, effort.used_up)


def without(sound: Powered, *breaks: Break) -> DeadWithout:
    """The state with these things interrupted."""
    state = sound.state
    silent = {its.network for its in breaks if its.network}
    if silent:
        state = replace(state, awake=state.awake - silent)
    opened = frozenset(i for its in breaks for i in its.links)
    powered = evaluate(sound.circuit, state, opened=opened)
    before, after = sound.draws, powered.draws
    kills = frozenset(n for n, level in enumerate(before) if level != NO and after[n] == NO)
    weakens = frozenset(n for n, level in enumerate(before) if level == YES and NO < after[n] < YES)
    return DeadWithout(powered, kills, weakens)

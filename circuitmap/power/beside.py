"""A state that differs a little from a settled one: only what the difference touches is looked at again.

The answer is the same as from evaluating it from nothing. Look by look, the other state is derived from the settled
state's look at the same moment plus what has changed; where that look was not kept, from its own look before. Where
that is not known to hold (bridged points, other equipment, relays that buzz) there is no answer, and the state is
evaluated from nothing.
"""

from collections.abc import Mapping
from copy import copy
from functools import cached_property
from typing import NamedTuple

from circuitmap.power.again import Again, by_net, different
from circuitmap.power.looks import Look, Settled, Standing, Touched
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.ready import Touching
from circuitmap.power.settle import MOST_LOOKING, Run
from circuitmap.power.state import VehicleState

_KEPT_LOOKS = 4
"""How many looks of the settled state are kept to start from."""


class Recorded:
    """A settled state with the first looks at it, from which its neighbours are derived.

    A state that buzzes or has bridged points is not `usable`. `whole`: the last look kept is the settled state.
    """

    def __init__(self, run: Run, settled: Settled) -> None:
        self.run, self.settled = run, settled
        self.usable = not (settled.buzzing or settled.racing or settled.unsettled or run.bridges)
        self.touching = run.wiring.touching
        self.looks: list[Look] = []
        self.whole = False
        self._moved: dict[int, Touched] = {}
        if self.usable:
            self._record()

    def _record(self) -> None:
        levels = self.run.levels(self.run.at_rest)
        while len(self.looks) < _KEPT_LOOKS and not self.whole:
            seen = self.run.look(levels)
            self.looks.append(Look(levels, seen))
            after = self.run.levels(seen.standing)
            self.whole = after == levels
            levels = after

    def at(self, moment: int) -> Look:
        return self.looks[min(moment, len(self.looks) - 1)]

    @cached_property
    def starts(self) -> tuple[Mapping[int, int], ...]:
        return by_net(self.run.starts)

    def moved_after(self, moment: int) -> Touched:
        """How the settled state differs from the look at this moment."""
        moment = min(moment, len(self.looks) - 1)
        touched = self._moved.get(moment)
        if touched is None:
            touched = self._moved[moment] = Touched()
            if moment < len(self.looks) - 1 or not self.whole:
                self._compare(self.looks[moment], touched)
        return touched

    def _compare(self, look: Look, touched: Touched) -> None:
        end, seen = self.settled, look.seen
        touched.gates.update(different(look.levels, end.levels))
        for one, other in zip(seen.reach[:4], end.reach[:4], strict=True):
            touched.nets.update(different(one, other))
        touched.takers.update(seen.reach.in_series ^ end.reach.in_series)
        for ours, theirs in zip(seen.standing[1:], end.standing[1:], strict=True):
            touched.sleepers.update(different(ours, theirs))
        touched.lines.update(different(seen.lines, end.lines))


class Neighbour(NamedTuple):
    """A state settled by way of another, and everything in which it may differ from that one, at its end or on the
    way."""

    run: Run
    settled: Settled
    touched: Touched


def beside(recorded: Recorded, state: VehicleState) -> Neighbour | None:
    """Settle a state that differs from the recorded one in switches, the key, what is awake, stuck or driven."""
    before = recorded.run.state
    if not recorded.usable or _kept_from(before) != _kept_from(state):
        return None
    if not (before.awake <= state.awake and before.driven <= state.driven):
        return None
    return _Search(recorded, state).settle()


def _kept_from(state: VehicleState) -> tuple[object, ...]:
    """What must be the same in both states."""
    its = (state.fitting, state.unplugged, state.pulled, state.inserted, state.bridged)
    return (*its, state.minutes, state.stood, state.feeding, state.released, state.was_in)


class _Search:
    """The looks at the other state, as long as each can be derived from the recorded state's look at the same
    moment."""

    def __init__(self, recorded: Recorded, state: VehicleState) -> None:
        self.recorded, base = recorded, recorded.run
        self.run, self.first_gates = _other_run(base, recorded.touching, state)
        same_starts = self.run.starts is base.starts
        self.again = Again(self.run, recorded.touching, recorded.starts if same_starts else None)
        self.again.said_before = base.said
        if self.run.said is not base.said:
            self.again.newly_said = different(self.run.said[0], base.said[0])
        if not same_starts:
            pairs = zip(recorded.starts, self.again.starts, strict=True)
            self.again.restarted = [_different_keys(one, other) for one, other in pairs]

    def settle(self) -> Neighbour | None:
        recorded, again = self.recorded, self.again
        kept = len(recorded.looks)
        levels, moved = again.levels(recorded.at(0).levels, self.run.at_rest, self.first_gates)
        look = again.again(recorded.at(0), levels, moved, True)
        before = look
        seen_levels = {bytes(levels)}
        moment = 0
        beside_base = True
        while True:
            moment += 1
            if moment < kept or (recorded.whole and moment <= kept + 1):
                start = recorded.at(moment)
                gates = self.first_gates | again.gates_of(*again.standing_moved)
            else:
                start = look
                if beside_base:
                    gates = again.gates_of(*_standing_difference(look.seen.standing, before.seen.standing))
                    gates |= self.first_gates if moment == 1 else set()
                    beside_base = False
                else:
                    gates = again.gates_of(*again.standing_moved)
            levels, moved = again.levels(start.levels, look.seen.standing, gates)
            if levels == list(look.levels):
                return self._settled(look, kept if not beside_base else moment - 1)
            now = bytes(levels)
            if now in seen_levels or again.touched.work > MOST_LOOKING:
                return None
            seen_levels.add(now)
            before, look = look, again.again(start, levels, moved, beside_base)

    def _settled(self, look: Look, moment: int) -> Neighbour:
        seen = look.seen
        standing = Standing(*map(tuple, seen.standing))
        self.again.touched.add(self.recorded.moved_after(moment))
        settled = Settled(standing, tuple(seen.lines), tuple(look.levels), seen.reach)
        return Neighbour(self.run, settled, self.again.touched)


def _different_keys(one: Mapping[int, int], other: Mapping[int, int]) -> set[int]:
    return {net for net in {*one, *other} if one.get(net) != other.get(net)}


def _standing_difference(one: Standing, other: Standing) -> tuple[set[int], set[int]]:
    """The relays and the sleepers that stand differently."""
    return different(one.relays, other.relays), different(one.fed, other.fed) | different(one.awake, other.awake)


def _other_run(base: Run, touching: Touching, state: VehicleState) -> tuple[Run, set[int]]:
    """The other state ready to be iterated, and the gates that it holds differently."""
    run, before = copy(base), base.state
    run.state = state
    gates: set[int] = set()
    held_open: set[int] = set()
    if state.stuck != before.stuck:
        held_open = run.decide(state.stuck)
        gates |= run.decided | base.decided
    for name in {*state.switches, *before.switches}:
        if state.switches.get(name) != before.switches.get(name):
            gates.update(touching.gates_of_switch.get(name, ()))
    if run.key_position != base.key_position or state.key != before.key:
        gates.update(touching.gates_of_key)
        if run.plan.stated:
            run.starts = run.starts_here()
    run.fixed = base.fixed.copy()
    for gate in gates:
        if gate in held_open:
            run.fixed[gate] = NO
        elif gate in run.decided or gate not in touching.switch_gates:
            run.fixed[gate] = run.nets.ceiling[gate]
        else:
            run.fixed[gate] = run.switch_level(gate, touching.switch_gates[gate])
    if state.awake != before.awake:
        sleepers, lines = (its.copy() for its in base.said)
        for name in state.awake - before.awake:
            number = run.plan.sleeper_number.get(name)
            if number is not None and name not in state.unplugged:
                sleepers[number] = YES
            for n in touching.lines_of_network.get(name, ()):
                lines[n] = max(lines[n], MAY_BE if run.lines.lines[n].is_split else YES)
        run.said = sleepers, lines
    if state.driven != before.driven:
        run.driven = run.driven_here()
    return run, gates

"""A state that differs a little from one that is settled: only what the difference touches is looked at again.

The answer is that of evaluating it from nothing. Look by look, the other state is the settled one at that moment with
what has changed; where the settled one was not kept, it is its own look before. Where that is not known to hold
(bridged points, other equipment, relays that buzz) there is no answer, and the state is evaluated from nothing.
"""

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from functools import cached_property
from typing import NamedTuple

from circuitmap.power.differences import by_net, different, different_keys, standing_difference
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.reach import Reach
from circuitmap.power.respread import Certain, Moved, respread, respread_further
from circuitmap.power.settle import Run, Seen, Settled, Standing
from circuitmap.power.state import VehicleState
from circuitmap.power.touching import Touching
from circuitmap.power.waking import Awake, awake_again

_KEPT_LOOKS = 4
"""So many looks of the settled state are kept to start from."""


class _Look(NamedTuple):
    """How each gate conducts, and what is seen then."""

    levels: Sequence[int]
    seen: Seen


class Recorded:
    """A settled state with the first looks at it, from which its neighbours are found.

    Nothing is `usable` of one that buzzes or has bridged points. `whole`: the last look kept is the settled state.
    """

    def __init__(self, run: Run, settled: Settled) -> None:
        self.run, self.settled = run, settled
        self.usable = not (settled.buzzing or settled.racing or run.bridges)
        self.touching = Touching(run.wiring, run.coils)
        self.looks: list[_Look] = []
        self.whole = False
        self._moved: dict[int, Touched] = {}
        if self.usable:
            self._record()

    def _record(self) -> None:
        levels = self.run.levels(self.run.at_rest)
        while len(self.looks) < _KEPT_LOOKS and not self.whole:
            seen = self.run.look(levels)
            self.looks.append(_Look(levels, seen))
            after = self.run.levels(seen.standing)
            self.whole = after == levels
            levels = after

    def at(self, moment: int) -> _Look:
        return self.looks[min(moment, len(self.looks) - 1)]

    @cached_property
    def starts(self) -> tuple[Mapping[int, int], ...]:
        return by_net(self.run.starts)

    def moved_after(self, moment: int) -> "Touched":
        """In what the settled state is different from the look at this moment."""
        moment = min(moment, len(self.looks) - 1)
        touched = self._moved.get(moment)
        if touched is None:
            touched = self._moved[moment] = Touched()
            if moment < len(self.looks) - 1 or not self.whole:
                self._compare(self.looks[moment], touched)
        return touched

    def _compare(self, look: _Look, touched: "Touched") -> None:
        end, seen = self.settled, look.seen
        touched.gates.update(different(look.levels, end.levels))
        for one, other in zip(seen.reach[:4], end.reach[:4], strict=True):
            touched.nets.update(different(one, other))
        touched.takers.update(seen.reach.in_series ^ end.reach.in_series)
        for ours, theirs in zip(seen.standing[1:], end.standing[1:], strict=True):
            touched.sleepers.update(different(ours, theirs))
        touched.lines.update(different(seen.lines, end.lines))


class Touched:
    """What was looked at again, in numbers: gates, nets, takers, sleepers, lines, and `floating`, the nets neither live
    nor grounded that hang together with a change. `falls`: something conducts or is live no more, or less surely.
    `work` counts it."""

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


class Neighbour(NamedTuple):
    """A state settled by way of another, and all in which it may differ from that one, at its end or on the way."""

    run: Run
    settled: Settled
    touched: Touched


def beside(recorded: Recorded, state: VehicleState) -> Neighbour | None:
    """Settle a state that differs from the recorded one in switches, the key, what is awake, stuck or driven."""
    before = recorded.run.state
    same = (before.fitting, before.unplugged, before.pulled, before.bridged, before.minutes)
    if not recorded.usable or same != (state.fitting, state.unplugged, state.pulled, state.bridged, state.minutes):
        return None
    if not (before.awake <= state.awake and before.driven <= state.driven):
        return None
    return _Search(recorded, state).settle()


class _Search:
    def __init__(self, recorded: Recorded, state: VehicleState) -> None:
        self.recorded, self.touching = recorded, recorded.touching
        self.base = recorded.run
        self.run, self.first_gates = _other_run(recorded.run, self.touching, state)
        same_starts = self.run.starts is self.base.starts
        self.starts = recorded.starts if same_starts else by_net(self.run.starts)
        self.restarted = [
            () if same_starts else tuple(different_keys(one, other))
            for one, other in zip(recorded.starts, self.starts, strict=True)
        ]
        self.newly_said = set() if self.run.said is self.base.said else set(
            different(self.run.said[0], self.base.said[0])
        )  # fmt: skip
        self.key = self.run.key_position
        self.touched = Touched()
        self._standing_moved: tuple[set[int], set[int]] = (set(), set())
        """Relays and sleepers in which the last look differs from the one that it was found from."""

    def settle(self) -> Neighbour | None:
        recorded = self.recorded
        kept = len(recorded.looks)
        levels, moved = self._levels(recorded.at(0).levels, self.run.at_rest, self.first_gates)
        look = self._again(recorded.at(0), levels, moved, True)
        before = look
        seen_levels = {tuple(levels)}
        moment = 0
        beside_base = True
        while True:
            moment += 1
            if moment < kept or (recorded.whole and moment <= kept + 1):
                start = recorded.at(moment)
                gates = self.first_gates | self._gates_of(*self._standing_moved)
            else:
                start = look
                if beside_base:
                    gates = self._gates_of(*standing_difference(look.seen.standing, before.seen.standing))
                    gates |= self.first_gates if moment == 1 else set()
                    beside_base = False
                else:
                    gates = self._gates_of(*self._standing_moved)
            levels, moved = self._levels(start.levels, look.seen.standing, gates)
            if levels == list(look.levels):
                return self._settled(look, kept if not beside_base else moment - 1)
            now = tuple(levels)
            if now in seen_levels:
                return None
            seen_levels.add(now)
            before, look = look, self._again(start, levels, moved, beside_base)

    def _settled(self, look: _Look, moment: int) -> Neighbour:
        seen = look.seen
        standing = Standing(*map(tuple, seen.standing))
        self.touched.add(self.recorded.moved_after(moment))
        settled = Settled(standing, tuple(seen.lines), tuple(look.levels), seen.reach)
        return Neighbour(self.run, settled, self.touched)

    def _levels(
        self, levels_before: Sequence[int], standing: Standing, gates: Iterable[int]
    ) -> tuple[list[int], list[int]]:
        """How all gates conduct where these are looked at again, and which of them moved."""
        levels = list(levels_before)
        moved = []
        for gate in gates:
            level = self._gate_level(gate, standing)
            if level != levels[gate]:
                levels[gate] = level
                moved.append(gate)
        self.touched.gates.update(gates)
        return levels, moved

    def _gate_level(self, gate: int, standing: Standing) -> int:
        run, touching = self.run, self.touching
        most = run.fixed[gate]
        if most == NO or gate in run.decided:
            return most
        if gate in touching.relay_gates:
            relay, pulled_in = touching.relay_gates[gate]
            level = standing.relays[relay]
            return min(most, level if pulled_in else YES - level)
        if gate in touching.output_gates:
            sleeper, output = touching.output_gates[gate]
            return min(most, run.output_level(sleeper, output, standing, self.key))
        return most

    def _gates_of(self, relays: Iterable[int], sleepers: Iterable[int]) -> set[int]:
        """The gates that these relays and sleepers move."""
        touching = self.touching
        found = {gate for relay in relays for gate in touching.gates_of_relay.get(relay, ())}
        found.update(gate for sleeper in sleepers for gate in touching.gates_of_sleeper.get(sleeper, ()))
        return found

    def _again(self, start: _Look, levels: list[int], moved: list[int], of_base: bool) -> _Look:
        """The look with these gates, found from another one: that of the settled state at the same moment
        (`of_base`), or the one before."""
        reach = self._reach_again(start, levels, moved, of_base)
        changed = {
            net
            for net in self._nets
            if any(one[net] != other[net] for one, other in zip(reach[:4], start.seen.reach[:4], strict=True))
        }
        takers = reach.in_series ^ start.seen.reach.in_series
        relays, relays_moved = self._relays_again(start.seen.standing.relays, reach, changed, takers)
        seen, sleepers_moved = self._sleepers_again(start.seen, reach, changed, takers, of_base)
        touched = self.touched
        touched.takers |= takers
        touched.work += 10 + len(levels) // 40 + len(moved) + 4 * len(self._nets)
        self._standing_moved = relays_moved, sleepers_moved
        return _Look(levels, seen._replace(standing=seen.standing._replace(relays=relays)))

    def _reach_again(self, start: _Look, levels: list[int], gates: list[int], of_base: bool) -> Reach:
        touching, starts = self.touching, self.starts
        restarted = self.restarted if of_base else [()] * 4
        moved = Moved(start.levels, levels, gates, touching.edges)
        before = start.seen.reach
        supply, ground = before.supply.copy(), before.ground.copy()
        its = respread(supply, touching.supply, moved, False, starts[0], restarted[0])
        of_ground = respread(ground, touching.ground, moved, True, starts[1], restarted[1])
        live = Certain(before.supply, supply, its)
        grounded = Certain(before.ground, ground, of_ground)
        perhaps_supply, perhaps_ground = before.perhaps_supply.copy(), before.perhaps_ground.copy()
        nets = its | of_ground
        nets |= respread_further(
            perhaps_supply, touching.supply, moved, False, starts[2], restarted[2], live, grounded
        )  # fmt: skip
        nets |= respread_further(
            perhaps_ground, touching.ground, moved, True, starts[3], restarted[3], grounded, live
        )  # fmt: skip
        self._nets = nets
        self.touched.nets |= nets
        in_series = self._in_series_again(start, levels, gates, supply, ground, its | of_ground)
        self.touched.falls = self.touched.falls or any(levels[gate] < start.levels[gate] for gate in gates)
        return Reach(supply, ground, perhaps_supply, perhaps_ground, in_series)

    def _in_series_again(
        self, start: _Look, levels: list[int], gates: list[int], supply: list[int], ground: list[int], nets: set[int]
    ) -> frozenset[int]:
        """The takers that carry current through one another, of the pieces that a change touches looked at again."""
        takers, touching, before = self.run.takers, self.touching, start.seen.reach
        crossed = [g for g in gates if (levels[g] == YES) != (start.levels[g] == YES)]
        pieces = {net for gate in crossed for edge in touching.edges[gate] for net in edge}
        for net in nets:
            if bool(supply[net]) != bool(before.supply[net]) or bool(ground[net]) != bool(before.ground[net]):
                pieces.add(net)
                pieces.update(other for _, other in takers.at.get(net, ()))
                for side in (touching.supply.out, touching.supply.into):
                    pieces.update(other for other, _ in side[net])
        if not pieces:
            return before.in_series
        now = takers.floating(pieces, levels, supply, ground)
        then = takers.floating(pieces, start.levels, before.supply, before.ground)
        self.touched.floating |= now | then
        self.touched.work += len(now) + len(then)
        stays = before.in_series
        if stays:
            stays = stays - {n for net in now | then for n, _ in takers.at.get(net, ())}
        return stays | takers.carrying_among(now, levels, supply, ground)

    def _relays_again(
        self, relays: Sequence[int], reach: Reach, nets: set[int], takers: Iterable[int]
    ) -> tuple[Sequence[int], set[int]]:
        run, touching = self.run, self.touching
        coils = {n for net in nets for n in touching.coils_at.get(net, ())}
        coils.update(touching.coil_of_taker[n] for n in takers if n in touching.coil_of_taker)
        if not coils and not run.driven:
            return relays, set()
        after = list(relays)
        looked_at = set()
        for n in coils:
            after[run.coils[n][0]] = run.coil_level(run.coils[n], reach)
            looked_at.add(run.coils[n][0])
        for relay, ceiling in run.driven:
            after[relay] = ceiling
            looked_at.add(relay)
        return after, {relay for relay in looked_at if after[relay] != relays[relay]}

    def _sleepers_again(
        self, start: Seen, reach: Reach, nets: set[int], takers: Iterable[int], of_base: bool
    ) -> tuple[Seen, set[int]]:
        run, touching, before = self.run, self.touching, start.standing
        paths = {path for net in nets for path in touching.paths_at.get(net, ())}
        paths.update(n for n in takers if n < run.takers.first_coil)
        hungry = {touching.sleeper_of_path[path] for path in paths if path in touching.sleeper_of_path}
        wakened = {s for net in nets for s in touching.sleepers_at.get(net, ())}
        fed, woken = before.fed, start.woken
        if hungry:
            fed = list(fed)
            for sleeper in hungry:
                fed[sleeper] = run.fed_level(sleeper, reach)
        if wakened:
            woken = list(woken)
            for sleeper in wakened:
                woken[sleeper] = run.woken_level(sleeper, reach)
        changed = {s for s in hungry | wakened if fed[s] != before.fed[s] or woken[s] != start.woken[s]}
        said_before = self.base.said if of_base else run.said
        if of_base:
            changed |= self.newly_said
        self.touched.work += len(hungry) + len(wakened)
        if not changed and said_before is run.said:
            return Seen(before, start.lines, reach, woken), set()
        up, sleepers, lines = awake_again(
            run.lines,
            _awake_of(start),
            (said_before, start.woken, before.fed),
            (run.said, woken, fed),
            changed,
        )
        self.touched.sleepers |= sleepers
        self.touched.lines |= lines
        self.touched.work += len(sleepers) + len(lines)
        self.touched.falls = self.touched.falls or any(
            fed[s] < before.fed[s] or up.sleepers[s] < before.awake[s] for s in sleepers
        )
        moved = {s for s in sleepers if fed[s] != before.fed[s] or up.sleepers[s] != before.awake[s]}
        return Seen(Standing(before.relays, fed, up.sleepers), up.lines, reach, woken), moved


def _other_run(base: Run, touching: Touching, state: VehicleState) -> tuple[Run, set[int]]:
    """The other state ready to be iterated, and the gates that it holds otherwise."""
    run, before = copy(base), base.state
    run.state = state
    gates: set[int] = set()
    held_open: set[int] = set()
    if state.stuck != before.stuck:
        run.decided, held_open = run.decided_by(state.stuck)
        gates |= run.decided | base.decided
        for kept in ("by_relay", "by_output"):
            run.__dict__.pop(kept, None)
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


def _awake_of(seen: Seen) -> Awake:
    return Awake(seen.standing.awake, seen.lines)

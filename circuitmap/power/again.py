"""One more look at a vehicle, derived from a look that differs little: only what the difference touches is looked
at."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from circuitmap.power.in_series import Takers
from circuitmap.power.looks import Look, Seen, Standing, Touched
from circuitmap.power.nets import NO, YES
from circuitmap.power.reach import Reach, Starts
from circuitmap.power.ready import CoilEnds, Touching
from circuitmap.power.respread import Certain, Moved, respread, respread_further
from circuitmap.power.waking import Awake, DataLines, awake_again
from circuitmap.wiring.platform import Output

Said = tuple[list[int], list[int]]
_A_LOOK = 60
"""Units of work that any look takes, however little it looks at."""


class State(Protocol):
    """What a look asks of the state."""

    fixed: list[int]
    decided: set[int]
    said: Said
    starts: Starts
    driven: tuple[tuple[int, int], ...]
    coils: tuple[CoilEnds, ...]
    takers: Takers
    lines: DataLines

    @property
    def key_position(self) -> str: ...

    def coil_level(self, coil: CoilEnds, seen: Reach) -> int: ...

    def fed_level(self, number: int, seen: Reach) -> int: ...

    def held_on(self, relay: int) -> int: ...

    def woken_level(self, number: int, seen: Reach) -> int: ...

    def output_level(self, sleeper: int, output: Output, standing: Standing, key: str) -> int: ...


class Again:
    """Looks at one state. `standing_moved` are the relays and sleepers in which the last look differs from the one it
    was derived from; `touched` is everything that was looked at.

    Where the other looks belong to another state, `said_before`, `newly_said` and `restarted` are how the two states
    differ: what was said to keep things awake there, the sleepers for which that has changed, and the nets where supply
    and ground begin differently.
    """

    def __init__(self, run: State, touching: Touching, starts: Sequence[Mapping[int, int]] | None = None) -> None:
        self.run, self.touching = run, touching
        self.starts = by_net(run.starts) if starts is None else starts
        self.key = run.key_position
        self.touched = Touched()
        self.standing_moved: tuple[set[int], set[int]] = (set(), set())
        self.said_before = run.said
        self.newly_said: set[int] = set()
        self.restarted: Sequence[Iterable[int]] = ((), (), (), ())

    def levels(
        self, levels_before: Sequence[int], standing: Standing, gates: Iterable[int]
    ) -> tuple[list[int], list[int]]:
        """How all gates conduct once these have been looked at again, and which of them moved."""
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

    def gates_of(self, relays: Iterable[int], sleepers: Iterable[int]) -> set[int]:
        """The gates that these relays and sleepers move."""
        touching = self.touching
        found = {gate for relay in relays for gate in touching.gates_of_relay.get(relay, ())}
        found.update(gate for sleeper in sleepers for gate in touching.gates_of_sleeper.get(sleeper, ()))
        return found

    def again(self, start: Look, levels: list[int], moved: list[int], of_base: bool) -> Look:
        """The look with these gates, derived from another one: the settled state's look at the same moment (`of_base`),
        or the look before."""
        reach = self._reach_again(start, levels, moved, of_base)
        supply, ground, perhaps_supply, perhaps_ground, _ = reach
        before = start.seen.reach
        changed = {
            net
            for net in self._nets
            if supply[net] != before.supply[net]
            or ground[net] != before.ground[net]
            or perhaps_supply[net] != before.perhaps_supply[net]
            or perhaps_ground[net] != before.perhaps_ground[net]
        }
        takers = reach.in_series ^ start.seen.reach.in_series
        relays, relays_moved = self._relays_again(start.seen.standing.relays, reach, changed, takers)
        seen, sleepers_moved = self._sleepers_again(start.seen, reach, changed, takers, of_base)
        touched = self.touched
        touched.takers |= takers
        touched.work += _A_LOOK + len(levels) // 40 + len(moved) + 4 * len(self._nets)
        self.standing_moved = relays_moved, sleepers_moved
        return Look(levels, seen._replace(standing=seen.standing._replace(relays=relays)))

    def _reach_again(self, start: Look, levels: list[int], gates: list[int], of_base: bool) -> Reach:
        touching, starts = self.touching, self.starts
        restarted = self.restarted if of_base else [()] * 4
        moved = Moved(start.levels, levels, gates, touching.edges, touching.passes)
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
        self, start: Look, levels: list[int], gates: list[int], supply: list[int], ground: list[int], nets: set[int]
    ) -> frozenset[int]:
        """The takers that carry current through one another; only pieces of wiring that a change touches are looked
        at."""
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
            after[run.coils[n][0]] = max(run.coil_level(run.coils[n], reach), run.held_on(run.coils[n][0]))
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
        hungry = {s for path in paths for s in touching.sleepers_of_path.get(path, ())}
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
        said_before = self.said_before if of_base else run.said
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


def _awake_of(seen: Seen) -> Awake:
    return Awake(seen.standing.awake, seen.lines)


def by_net(starts: Starts) -> tuple[Mapping[int, int], ...]:
    """For each of the four kinds, the bits that begin at each net."""
    found: list[dict[int, int]] = []
    for pairs in starts:
        bits: dict[int, int] = {}
        for net, its in pairs:
            bits[net] = bits.get(net, 0) | its
        found.append(bits)
    return tuple(found)


def different(one: Sequence[int], other: Sequence[int]) -> set[int]:
    """The indices at which two lists differ."""
    return {n for n, (a, b) in enumerate(zip(one, other, strict=True)) if a != b}

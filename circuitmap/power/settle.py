"""Contacts to a fixed point: closed contacts make nodes live, live coils move contacts, awake modules conduct."""

from collections.abc import Sequence
from typing import assert_never

from circuitmap.power.again import Again
from circuitmap.power.for_a_time import still_on
from circuitmap.power.looks import Look, Seen, Settled, Standing
from circuitmap.power.nets import MAY_BE, NO, YES, every_source, unknown_bit
from circuitmap.power.plan import SwitchContact
from circuitmap.power.reach import Bridge, Reach, Starts, reach
from circuitmap.power.ready import CoilEnds, Wiring
from circuitmap.power.state import VehicleState, charging_alternators, rest_position
from circuitmap.power.wake_pins import WakePin
from circuitmap.power.waking import Awake, awake, said_awake
from circuitmap.wiring.fitting import holds
from circuitmap.wiring.platform import Output

MOST_LOOKING = 600_000
"""How many nets and gates are looked at until a state has settled (judgement: more than a second; even the longest
possible chain of relays takes less). What has not come to rest by then is told as such."""
_FEWEST_LOOKS = 64


class Run:
    """One state of one vehicle, ready to be iterated.

    `requests`: how surely an output that conducts on request is taken to conduct: perhaps (1) or not (0).
    """

    def __init__(self, wiring: Wiring, state: VehicleState, requests: int = MAY_BE) -> None:
        self.wiring = wiring
        self.plan, self.nets, self.gates, self.paths = wiring.plan, wiring.nets, wiring.gates, wiring.paths
        self.lines, self.takers, self.coils = wiring.lines, wiring.takers, wiring.coils
        self.state, self.requests = state, requests
        self.gives = charging_alternators(wiring.plan.circuit.platform, state)
        plan, nets, lines = self.plan, self.nets, self.lines
        self.fixed = list(nets.ceiling)
        for gate in self.decide(state.stuck):  # those that are held open
            self.fixed[gate] = NO
        for gate, contact in self.gates.switches:
            if gate not in self.decided:
                self.fixed[gate] = self.switch_level(gate, contact)
        self.said = said_awake(plan, lines, state)
        for n, sleeper in enumerate(plan.sleepers):
            if sleeper.name in state.unplugged:
                self.said[0][n] = NO
        self.starts, self.bridges, self.driven = self.starts_here(), self._bridges(), self.driven_here()
        self.released = frozenset(plan.relay_number[name] for name in state.released)

    def decide(self, stuck: frozenset[str]) -> set[int]:
        """Take these contacts as stuck: sets the gates that they decide, and thereby what relays and outputs still
        move. Returns the gates that are held open: the other throws."""
        self.decided, held_open = self._decided_by(stuck)
        relays, outputs = self.gates.relays, self.gates.outputs
        self.by_relay: tuple[tuple[int, int, bool], ...] = relays
        """Gates that a relay moves, each with its relay and whether it is closed while the relay is pulled in."""
        self.by_output: tuple[tuple[int, int, Output], ...] = outputs
        """Gates that are outputs, each with its module."""
        if self.decided:
            self.by_relay = tuple(its for its in relays if its[0] not in self.decided)
            self.by_output = tuple(its for its in outputs if its[0] not in self.decided)
        return held_open

    def _decided_by(self, stuck: frozenset[str]) -> tuple[set[int], set[int]]:
        plan, gate_of = self.plan, self.nets.gate_of_link
        closed: set[int] = set()
        held_open: set[int] = set()
        for name in stuck:
            for link in plan.circuit.contacts.get(name, ()):
                if link in gate_of:
                    closed.add(gate_of[link])
                    if link in plan.relay_contacts:
                        opposite = plan.relay_contacts[link].opposite
                        held_open.update(gate_of[its] for its in opposite if its in gate_of)
        return closed | held_open, held_open - closed

    def switch_level(self, gate: int, contact: SwitchContact) -> int:
        """How a contact of a switch conducts in this state."""
        ceiling = self.nets.ceiling[gate]
        said = self.state.switches.get(contact.switch, "")
        if contact.is_key:
            said = self.state.key or said
        if not contact.closed_in:  # its positions were not understood
            return min(MAY_BE, ceiling)
        return ceiling if (said or contact.rest) in contact.closed_in else NO

    def driven_here(self) -> tuple[tuple[int, int], ...]:
        """The relays whose coils are held in this state, with the most that each pulls."""
        plan, nets, driven = self.plan, self.nets, self.state.driven
        its = ((n, coil.relay) for n, coil in enumerate(plan.coils if driven else ()) if coil.relay in driven)
        return tuple((plan.relay_number[relay], nets.coils[n][2]) for n, relay in its)

    def starts_here(self) -> Starts:
        """Where supply and ground begin in this state."""
        plan, nets = self.plan, self.nets
        worlds = nets.worlds
        unknown = unknown_bit(plan) * worlds.fields
        supply, ground, perhaps_supply, perhaps_ground = [], [], [], []
        for cell, source in every_source(plan, nets, self.state):
            if source.level == YES:
                supply.append((source.plus, source.bit))
                ground.append((source.minus, source.bit | unknown))
            elif source.level == MAY_BE:
                perhaps_supply.append((source.plus, source.bit))
                there = worlds.passing(plan.circuit.links[cell.link].condition)
                perhaps_ground.append((source.minus, source.bit | (unknown & there)))
        ground += [(net, unknown) for net in nets.return_nets]
        labelled = set()
        for node, stated in plan.stated:
            level = int(holds(stated.condition, self.state.fitting))
            net = nets.net_of[node]
            if level == NO:
                continue
            labelled.add(net)
            if stated.always or self.key_position in stated.positions:
                its = unknown & worlds.passing(stated.condition)
                (supply if level == YES else perhaps_supply).append((net, its))
        every = ((1 << worlds.width) - 1) * worlds.fields
        perhaps_supply += [(net, unknown) for net in nets.unknown_supply_nets if net not in labelled]
        perhaps_ground += [(net, every) for net in nets.unknown_ground_nets]
        return Starts(tuple(supply), tuple(ground), tuple(perhaps_supply), tuple(perhaps_ground))

    @property
    def key_position(self) -> str:
        if self.state.key:
            return self.state.key
        if not self.plan.keys:
            return ""
        key = self.plan.keys[0]
        return self.state.switches.get(key.name, "") or rest_position(key)

    def _bridges(self) -> tuple[Bridge, ...]:
        number, net_of = self.plan.circuit.number, self.nets.net_of
        found = {Bridge(a, b, level) for a, b, level in self.nets.bleeders if a != b and level != NO}
        for a, b in self.state.bridged:
            if a in number and b in number and net_of[number[a]] != net_of[number[b]]:
                found.add(Bridge(net_of[number[a]], net_of[number[b]], YES))
        return tuple(sorted(found))

    def levels(self, standing: Standing) -> tuple[int, ...]:
        """How each gate conducts while relays and modules stand so."""
        levels = self.fixed.copy()
        relays = standing.relays
        for gate, relay, energised in self.by_relay:
            level = relays[relay] if energised else YES - relays[relay]
            if level < levels[gate]:
                levels[gate] = level
        key = self.key_position
        for gate, sleeper, output in self.by_output:
            level = self.output_level(sleeper, output, standing, key)
            if level < levels[gate]:
                levels[gate] = level
        return tuple(levels)

    def output_level(self, sleeper: int, output: Output, standing: Standing, key: str) -> int:
        """How far a module has an output on."""
        when, most = output.when, still_on(output.lasts, self.state.stood)
        if when in ("awake", "live"):
            return min(most, standing.awake[sleeper])
        if when == "always" or (when == "in" and key in output.positions):
            return min(most, standing.fed[sleeper])
        if when == "request":
            return YES if output.module in self.gives else min(self.requests, standing.fed[sleeper])
        return NO

    def look(self, levels: tuple[int, ...]) -> Seen:
        """What follows from the gates: what is live, hence which coils pull, and who is fed and awake."""
        seen = reach(self.nets, levels, self.starts, self.bridges)
        in_series = self.takers.carrying(levels, seen.supply, seen.ground)
        if in_series:
            seen = seen._replace(in_series=in_series)
        relays = [NO] * len(self.plan.relays)
        for coil in self.coils:
            relays[coil[0]] = max(self.coil_level(coil, seen), self.held_on(coil[0]))
        for relay, ceiling in self.driven:
            relays[relay] = ceiling
        sleepers = range(len(self.plan.sleepers))
        fed = [self.fed_level(sleeper, seen) for sleeper in sleepers]
        woken = [self.woken_level(sleeper, seen) for sleeper in sleepers]
        up: Awake = awake(self.lines, self.said, woken, fed)
        return Seen(Standing(tuple(relays), tuple(fed), up.sleepers), up.lines, seen, woken)

    def coil_level(self, coil: CoilEnds, seen: Reach) -> int:
        """How surely a coil pulls."""
        supply, ground, perhaps_supply, perhaps_ground, in_series = seen
        relay, plus, minus, ceiling, taker, passes = coil
        if relay in self.released:
            return NO
        if supply[plus] & ground[minus] or supply[minus] & ground[plus]:
            return ceiling
        if (
            perhaps_supply[plus] & perhaps_ground[minus] & passes
            or perhaps_supply[minus] & perhaps_ground[plus] & passes
            or taker in in_series
        ):
            return MAY_BE
        return NO

    def held_on(self, relay: int) -> int:
        """How far a relay may still be pulled in because its timer runs, as long after locking as it is."""
        return MAY_BE if self.state.minutes < self.plan.holds[relay] else NO

    def fed_level(self, number: int, seen: Reach) -> int:
        """How surely a sleeper has supply and ground, or feeds; not known of one whose pins nobody typed."""
        its, state = self.plan.sleepers[number], self.state
        level = YES if its.name in state.feeding else NO if its.paths or its.name in state.unplugged else MAY_BE
        for path in its.paths:
            drawn = self.drawn(path, seen)
            if drawn > level:
                level = drawn
        return level

    def woken_level(self, number: int, seen: Reach) -> int:
        """How surely one of its wake pins wakes it, or all of them switch it."""
        its = self.plan.sleepers[number]
        levels = [min(still_on(pin.lasts, self.state.stood), self.pin_wakes(pin, seen)) for pin in its.wake_pins]
        return (min if its.needs_all else max)(levels, default=NO)

    def pin_wakes(self, pin: WakePin, seen: Reach) -> int:
        """How surely a wake pin has what wakes."""
        if pin.absent:
            return YES - self.pin_wakes(pin._replace(absent=False), seen)
        net = self.nets.net_of[pin.node]
        match self.plan.wakes.by(pin, self.state.fitting):
            case "plus":
                return _side(seen.supply[net], seen.perhaps_supply[net])
            case "ground":
                return _side(seen.ground[net], seen.perhaps_ground[net])
            case "opening":
                return YES - _side(seen.ground[net], seen.perhaps_ground[net])
            case _:
                assert_never(pin.by)

    def drawn(self, path: int, seen: Reach) -> int:
        """Whether current flows through a load on one of its paths."""
        if self.state.feeding and self.plan.loads[self.plan.paths[path].load] in self.state.feeding:
            return NO
        level, (controls, needs) = self.flowing(path, seen), self.paths[path][5:7]
        if needs and level:
            level = min(level, *(_side(seen.supply[net], seen.perhaps_supply[net]) for net in needs))
        return min(level, max(_control_level(its, seen) for its in controls)) if level and controls else level

    def flowing(self, path: int, seen: Reach) -> int:
        """The same, as far as its supply and its ground go: whether it waits for more or not."""
        supply, ground, ceiling, both_known, either_way, _, _, passes = self.paths[path]
        if ceiling == NO:
            return NO
        if not both_known:
            return self._drawn_one_sided(path, seen)
        certain_supply, certain_ground, perhaps_supply, perhaps_ground, in_series = seen
        # What is certain is in what may be, too: most loads of a parked vehicle are done with here.
        if not perhaps_supply[supply] & perhaps_ground[ground] & passes and not (
            either_way and perhaps_supply[ground] & perhaps_ground[supply] & passes
        ):
            return MAY_BE if path in in_series else NO
        if certain_supply[supply] & certain_ground[ground]:
            return ceiling
        if either_way and certain_supply[ground] & certain_ground[supply]:
            return ceiling
        return MAY_BE

    def turned(self, path: int, seen: Reach) -> bool:
        """Whether a load that works either way is fed at its ground pin: a motor that runs backwards."""
        supply, ground, _, both_known, either_way, *_ = self.paths[path]
        _, _, live, grounded, _ = seen
        forwards = live[supply] & grounded[ground]
        return both_known and either_way and not forwards and bool(live[ground] & grounded[supply])

    def _drawn_one_sided(self, path: int, seen: Reach) -> int:
        """The same for a load with a side that was not transcribed: that side is taken to be as good as assumed."""
        supply, ground, ceiling = self.nets.paths[path]
        its = self.plan.paths[path]
        live = _side(seen.supply[supply], seen.perhaps_supply[supply] & self.nets.path_passes[path])
        if not its.supply_known:
            live = max(live, MAY_BE)
            if its.ground_known and seen.supply[supply] and not seen.supply[supply] & seen.ground[ground]:
                live = MAY_BE
        return min(live, self.ground_level(path, seen), ceiling)

    def ground_level(self, path: int, seen: Reach, turned: bool = False) -> int:
        """How surely the ground side of a load is complete; one that nobody typed is taken to be complete, unless the
        sheets that show the load are whole. `turned`: current comes in at its ground pin."""
        its = self.plan.paths[path]
        if not its.ground_known:
            return YES if self.plan.assumes_ground[its.load] else MAY_BE
        ground = self.nets.paths[path][0 if turned else 1]
        return _side(seen.ground[ground], seen.perhaps_ground[ground])

    @property
    def at_rest(self) -> Standing:
        """All relays at rest, everything asleep."""
        nobody = (NO,) * len(self.plan.sleepers)
        return Standing((NO,) * len(self.plan.relays), nobody, nobody)

    def from_rest(self) -> Settled:
        """From rest until nothing moves."""
        return self.settle(self.at_rest)

    def from_pulled_in(self) -> Settled:
        """Starts with all relays pulled in and everything awake: what holds itself stays."""
        everybody = (YES,) * len(self.plan.sleepers)
        return self.settle(Standing((YES,) * len(self.plan.relays), everybody, everybody))

    def settle(self, start: Standing) -> Settled:
        pinned: set[int] = set()
        buzzing: set[int] = set()
        racing: set[int] = set()
        unsettled: set[int] = set()
        standing = start
        while True:
            end, levels, moving, comes_back = self._iterate(standing, pinned)
            if not moving:
                return Settled(
                    end.standing, end.lines, levels, end.reach,
                    frozenset(buzzing), frozenset(racing), frozenset(unsettled),
                )  # fmt: skip
            settles = self._settles_one_by_one(start, pinned) if comes_back else None
            (unsettled if settles is None else racing if settles else buzzing).update(moving)
            pinned |= moving
            standing = end.standing

    def _iterate(self, standing: Standing, pinned: set[int]) -> tuple[Seen, tuple[int, ...], set[int], bool]:
        """Moves everything at once until nothing changes (then nothing is moving) or a situation comes back; and how
        each gate conducts then. After very much work, the relays that moved lately count as moving and no situation as
        coming back."""
        history: dict[bytes, Sequence[int]] = {}
        again = Again(self, self.wiring.touching)
        levels = self.levels(_pin(standing, pinned))
        look = Look(levels, self.look(levels))
        again.standing_moved = set(range(len(self.plan.relays))), set(range(len(self.plan.sleepers)))
        work = 0
        while True:
            after = _pin(look.seen.standing, pinned)
            history[bytes(look.levels)] = after.relays
            gates = again.gates_of(*again.standing_moved)
            levels_after, moved = again.levels(look.levels, after, gates)
            seen = look.seen._replace(standing=after)
            if not moved:
                return seen, tuple(look.levels), set(), True
            comes_back = bytes(levels_after) in history
            if comes_back or again.touched.work + work > MOST_LOOKING:
                situations = list(history)
                since = situations.index(bytes(levels_after)) if comes_back else len(situations) // 2
                turns = [history[its] for its in situations[since:]]
                moving = {r for r in range(len(after.relays)) if len({turn[r] for turn in turns}) > 1}
                left = set(range(len(after.relays))) - pinned
                return seen, tuple(levels_after), moving - pinned or left, comes_back
            if self.bridges:
                look = Look(levels_after, self.look(tuple(levels_after)))
                again.standing_moved = set(range(len(self.plan.relays))), set(range(len(self.plan.sleepers)))
                work += self.nets.count + len(levels_after)
            else:
                look = again.again(look, levels_after, moved, of_base=False)

    def _settles_one_by_one(self, standing: Standing, pinned: set[int]) -> bool | None:
        """Whether it comes to rest when one relay moves at a time, in name order; None if that takes too much."""
        before: set[bytes] = set()
        standing = _pin(standing, pinned)
        levels = self.levels(standing)
        for _ in range(max(_FEWEST_LOOKS, MOST_LOOKING // (self.nets.count + len(levels) + len(self.coils) + 1))):
            wanted = _pin(self.look(levels).standing, pinned)
            relays = list(standing.relays)
            moves = next((r for r, level in enumerate(wanted.relays) if level != relays[r]), None)
            if moves is not None:
                relays[moves] = wanted.relays[moves]
            standing = Standing(tuple(relays), wanted.fed, wanted.awake)
            after = self.levels(standing)
            if moves is None and after == levels:
                return True
            if moves is not None:
                key = bytes((*after, *standing.relays))
                if key in before:
                    return False
                before.add(key)
            levels = after
        return None


def _pin(standing: Standing, pinned: set[int]) -> Standing:
    if not pinned:
        return standing
    relays = tuple(MAY_BE if n in pinned else level for n, level in enumerate(standing.relays))
    return standing._replace(relays=relays)


def _control_level(control: tuple[int, bool, bool], seen: Reach) -> int:
    """How surely a control pin switches its load on."""
    net, by_ground, known = control
    if not known:
        return MAY_BE
    if by_ground:
        return _side(seen.ground[net], seen.perhaps_ground[net])
    return _side(seen.supply[net], seen.perhaps_supply[net])


def _side(certain: int, perhaps: int) -> int:
    return YES if certain else MAY_BE if perhaps else NO

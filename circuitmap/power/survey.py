"""All states one change away from the parked vehicle, each evaluated: every question about feeds needs them."""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Literal, NamedTuple

from circuitmap.circuit.blocks import Block, blocks_from
from circuitmap.circuit.links import Circuit
from circuitmap.derived import Derives
from circuitmap.effort import Effort
from circuitmap.power.evaluate import Beside, Powered, evaluate, evaluate_beside
from circuitmap.power.interplay import ANYTHING, Effect, effect_of, partners_of
from circuitmap.power.plan import plan_of
from circuitmap.power.state import VehicleState, keys_of
from circuitmap.wiring.fitting import Answer, Fitting
from circuitmap.wiring.parts import Switch


class StateChange(NamedTuple):
    """One thing that differs from the vehicle parked and asleep.

    `key` in `position`; `switch` `name` in `position`; a `network` awake; a `module` awake; an `output` that is on at
    the request of its module.
    """

    kind: Literal["key", "switch", "network", "module", "output"]
    name: str
    position: str = ""

    def __str__(self) -> str:
        return f"{self.name}={self.position}" if self.position else self.name


Side = Literal["supply", "ground"]
Changes = tuple[StateChange, ...]
_KEPT = 12
MOST_WORK = 1_200_000
"""Units of work for the questions about one circuit; looking once at a net, gate or load is one unit (judgement: about
two seconds; the truck of the samples takes a seventh of it)."""
_A_SURVEY_COSTS = 15
"""Units of work, for each link, that it takes to begin with other equipment (measured where there are many options)."""
_LEAST_KEPT, _NUMBERS_KEPT = 16, 2_000_000
"""How many states are kept: at least this many, and more as long as they hold no more nets than this."""


class Survey(Derives):
    """The parked vehicle and its neighbours. Outputs on request are off here, so that each can be turned on alone."""

    def __init__(self, circuit: Circuit, fitting: Fitting) -> None:
        self.circuit, self.fitting = circuit, fitting
        self.plan = plan_of(circuit)
        self.effort = effort_of(circuit)
        self._seen: dict[Changes, Beside] = {}
        self._effects: dict[StateChange, Effect] = {}

    @cached_property
    def parked(self) -> Powered:
        return evaluate(self.circuit, VehicleState(fitting=self.fitting), requests=Answer.NO)

    def after(self, changes: Changes) -> Powered:
        """The vehicle after these changes, from parked and asleep."""
        return self.beside(changes).powered if changes else self.parked

    def has(self, changes: Changes) -> bool:
        """Whether the state after these changes is known or can still be worked out."""
        return not changes or changes in self._seen or not self.effort.used_up

    def beside(self, changes: Changes) -> Beside:
        """The same, with everything in which it may differ from the parked vehicle. The latest ones are kept."""
        found = self._seen.pop(changes, None)
        if found is None:
            found = evaluate_beside(self.parked, _state_after(self.fitting, changes))
            self.effort.spend(found.work)
            while len(self._seen) >= max(_LEAST_KEPT, _NUMBERS_KEPT // (self.parked.nets.count + 1)):
                del self._seen[next(iter(self._seen))]
            if len(changes) == 1:
                self._effects[changes[0]] = effect_of(found, self.parked.recorded.touching)
                self.effort.spend(self._effects[changes[0]].size // 8)
        self._seen[changes] = found
        return found

    def partners(self, changes: Sequence[StateChange]) -> Mapping[StateChange, Sequence[StateChange]] | None:
        """For each of these changes, all tried alone, the later ones with which it can do more than both do alone. None
        where finding them takes too much."""
        found = partners_of([self._effects.get(change, ANYTHING) for change in changes], self.effort)
        if found is None:
            return None
        return {changes[one]: [changes[other] for other in others] for one, others in found.items()}

    @cached_property
    def key_changes(self) -> tuple[StateChange, ...]:
        platform = self.circuit.platform
        keys = keys_of(platform)
        found: dict[StateChange, None] = {}
        for key in keys:
            found.update((StateChange("key", key.name, position), None) for position in key.positions[1:])
        rest = {key.positions[0] for key in keys if key.positions}
        typed = {change.position for change in found} | rest
        name = keys[0].name if keys else "key"
        for output in platform.outputs:
            found.update((StateChange("key", name, its), None) for its in output.positions if its not in typed)
        return tuple(found)

    @cached_property
    def other_changes(self) -> tuple[StateChange, ...]:
        """Every switch position, network, module that wakes by itself and output on request."""
        platform = self.circuit.platform
        found: list[StateChange] = []
        for part in platform.parts.values():
            if isinstance(part, Switch) and not part.is_key:
                found += [StateChange("switch", part.name, position) for position in part.positions[1:]]
        found += [StateChange("network", name) for name in platform.networks]
        requested: dict[str, None] = {}
        alone: dict[str, None] = {}
        woken = {m.part for network in platform.networks.values() for m in network.members if m.waking != "drives"}
        for _, output in self.plan.outputs.values():
            if output.when == "request":
                requested[output.contact] = None
            elif output.when == "awake" and output.module not in woken:
                alone[output.module] = None
        found += [StateChange("module", name) for name in alone]
        found += [StateChange("output", name) for name in requested]
        return tuple(found)

    @cached_property
    def singles(self) -> tuple[StateChange, ...]:
        return (*self.key_changes, *self.other_changes)

    @cached_property
    def ways_between(self) -> Mapping[Side, Sequence[Block | None]]:
        """For each side and each net that is dead (or not grounded) when parked, the block of gates next on its ways to
        what is live (or grounded): every gate of it is on some way, and no other gate is."""
        return self._ways(perhaps=False)

    @cached_property
    def ways_perhaps(self) -> Mapping[Side, Sequence[Block | None]]:
        """The same, with the ways to what may be live (or grounded) as well."""
        return self._ways(perhaps=True)

    def _ways(self, perhaps: bool) -> Mapping[Side, Sequence[Block | None]]:
        nets, reach = self.parked.nets, self.parked.settled.reach
        found: dict[Side, Sequence[Block | None]] = {}
        sides: tuple[tuple[Side, list[int], list[int]], ...] = (
            ("supply", reach.supply, reach.perhaps_supply),
            ("ground", reach.ground, reach.perhaps_ground),
        )
        for side, bits, may_be in sides:
            top = nets.count
            neighbours: list[list[tuple[int, int]]] = [[] for _ in range(top + 1)]

            def join(link: int, a: int, b: int, neighbours: list[list[tuple[int, int]]] = neighbours) -> None:
                neighbours[a].append((link, b))
                neighbours[b].append((link, a))

            leads = {(net, gate) for net, around in enumerate(nets.towards_load) for _, gate in around}
            for net, around in enumerate(nets.towards_load):
                for other, gate in around:
                    # A gate that also leads back is seen from both ends.
                    if not (bits[net] and bits[other]) and (net < other or (other, gate) not in leads):
                        a, b = (top if bits[its] else its for its in (net, other))
                        join(gate, a, b)
            if perhaps:
                for net, its in enumerate(may_be):
                    if its and not bits[net]:
                        join(-1 - net, net, top)
            found[side] = blocks_from(top, neighbours).above
        return found

    @cached_property
    def within_reach(self) -> frozenset[int]:
        """Nets that a battery, or a place nobody transcribed, could feed if every contact were closed; not those that
        are one piece of copper with a battery's minus."""
        nets, starts = self.parked.nets, self.parked.run.starts
        found = {net for net, _ in (*starts.supply, *starts.perhaps_supply)}
        found |= {nets.net_of[node] for node, _ in self.plan.stated}
        stack = list(found)
        while stack:
            for other, _ in nets.towards_load[stack.pop()]:
                if other not in found and not nets.keeps_supply_out[other]:
                    found.add(other)
                    stack.append(other)
        return frozenset(found)

    def contacts_to(self, side: Side, net: int) -> tuple[str, ...] | None:
        """The contacts on the shortest way from what is live (or grounded) when parked to a net, whatever it takes to
        close them; None if there is no such way."""
        nets, reach = self.parked.nets, self.parked.settled.reach
        bits = reach.perhaps_supply if side == "supply" else reach.perhaps_ground
        neighbours = nets.towards_supply if side == "supply" else nets.towards_load
        kept_out = nets.keeps_supply_out if side == "supply" else nets.keeps_ground_out
        queue = deque([net])
        towards: dict[int, tuple[int, int]] = {}
        seen = {net}
        while queue:
            at = queue.popleft()
            if bits[at]:
                contacts = []
                while at != net:
                    gate, at = towards[at]
                    contacts.append(self.circuit.links[nets.gate_link[gate]].contact)
                return tuple(contact for contact in contacts if contact)
            for other, gate in neighbours[at]:
                if other not in seen and (bits[other] or not kept_out[other]):
                    seen.add(other)
                    towards[other] = gate, at
                    queue.append(other)
        return None


def _state_after(fitting: Fitting, changes: Changes) -> VehicleState:
    state = VehicleState(fitting=fitting)
    for change in changes:
        if change.kind == "key":
            state = replace(state, key=change.position)
        elif change.kind == "switch":
            state = replace(state, switches={**state.switches, change.name: change.position})
        elif change.kind == "output":
            state = replace(state, stuck=state.stuck | {change.name})
        else:
            state = replace(state, awake=state.awake | {change.name})
    return state


class _Surveys:
    """The last few surveys of one circuit, and the work that is left for all of them."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self.effort = Effort(MOST_WORK)
        self._kept: dict[frozenset[tuple[str, bool]], Survey] = {}

    def of(self, fitting: Fitting) -> Survey:
        circuit, kept = self._circuit, self._kept
        key = frozenset(fitting.items())
        found = kept.get(key)
        if found is None:
            self.effort.spend(_A_SURVEY_COSTS * len(circuit.links))
            while len(kept) >= _KEPT:
                kept.pop(next(iter(kept)))
            found = kept[key] = Survey(circuit, fitting)
        return found


def effort_of(circuit: Circuit) -> Effort:
    """The work that is left for the questions about one circuit."""
    return circuit.derived(_Surveys).effort


def survey_of(circuit: Circuit, fitting: Fitting) -> Survey:
    """The survey for one set of equipment."""
    return circuit.derived(_Surveys).of(fitting)

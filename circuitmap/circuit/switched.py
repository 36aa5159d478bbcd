"""What a part turns on and off: the loads that its contacts and outputs feed or ground, at once, over the coil of a
relay, or by telling a load to run.

Found by the circuit alone, in any state: whatever stands there while the vehicle is parked, somebody who switches,
unplugs or measures it may set in motion what hangs on it. Other switches than those that are closed at rest are not
passed: what stands behind them is theirs.
"""

from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property
from types import MappingProxyType

from circuitmap.circuit.link import BODY, NEVER_CROSSED, Link
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.fitting import Answer, Fitting, holds, needs_of
from circuitmap.wiring.parts import Ground, Load, Switch, Terminal

_TELLS = ("control", "wake", "sense")
"""Pins by which a load is told to run, without being fed by them."""
_BY_ITSELF = ("awake", "always")
"""Outputs that are on as soon as their module is fed, or awake."""
_SUPPLY, _GROUND = True, False
_Far = dict[int, int]
"""How many contacts lie at least between each node and what feeds it, or what grounds it."""


class Switching:
    """Asked part by part, and kept: of many parts nobody asks."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._known: dict[str, Mapping[str, bool]] = {}

    def by(self, name: str) -> Mapping[str, bool]:
        """The loads that a switch, relay, module, fuse or connector turns on or off, without itself, or that hang on a
        terminal which is not always live or ground; each with whether it loses its supply or ground by it, or is only
        told to stop."""
        if name not in self._known:
            its = {load: fed for load, fed in self._loads(name).items() if load != name}
            self._known[name] = MappingProxyType(its)
        return self._known[name]

    def _loads(self, name: str) -> dict[str, bool]:
        circuit = self._circuit
        own = circuit.opened_by(name) if name in circuit.platform.parts else frozenset[int]()
        found: dict[str, bool] = {}
        gates = {i for i in own if circuit.links[i].is_gate}
        todo: deque[tuple[int, bool]] = deque(self._behind_gates(gates, own))
        if not gates:
            todo.extend(self._behind_metal(own))
        if name not in circuit.platform.parts:
            owner, _, pin = name.rpartition(".")
            node = circuit.number.get(Terminal(owner, pin), -1)
            todo.extend((node, side) for side in (_SUPPLY, _GROUND) if self._far[side].get(node, 0) > 0)
        done: set[tuple[int, bool]] = set()
        while todo:
            start = todo.popleft()
            for at in self._piece(*start, own) if start not in done else ():
                done.add(at)
                todo.extend(self._behind_gates(self._taken_at(at[0], found), own))
        return found

    def _taken_at(self, node: int, found: dict[str, bool]) -> Iterator[int]:
        """Notes the load at a node; gives the contacts and outputs that follow what comes or goes there."""
        circuit = self._circuit
        terminal = circuit.nodes[node]
        part = circuit.platform.parts.get(terminal.part)
        if isinstance(part, Load):
            pins = circuit.loads.get(part.name)
            fed = pins is not None and terminal in (*pins.supplies, *pins.grounds)
            wakes = fed or part.roles.get(terminal.pin) in _TELLS
            if wakes:
                found[part.name] = found.get(part.name, False) or fed
            for i in circuit.inside.get(part.name, ()):
                output = circuit.links[i].output
                if output is not None and (terminal.pin in output.inputs or (wakes and output.when in _BY_ITSELF)):
                    yield i
        for i in circuit.at[node]:
            if circuit.links[i].kind == "coil":
                yield from (its for its in circuit.inside[circuit.links[i].part] if circuit.links[its].is_gate)

    def _behind_gates(self, gates: Iterable[int], own: frozenset[int]) -> Iterator[tuple[int, bool]]:
        """The node behind each contact, seen from what feeds it, and from what grounds it; not where it is fed, or
        grounded, without it, too: over a main switch that is on."""
        for i in gates:
            a, b = self._circuit.ends[i]
            for side in (_SUPPLY, _GROUND):
                far = self._far[side]
                if a not in far or b not in far or far[a] == far[b]:
                    continue
                behind = a if far[a] > far[b] else b
                if not self._is_reached(behind, side, own | {i}):
                    yield behind, side

    def _is_reached(self, node: int, side: bool, but: frozenset[int]) -> bool:
        """Whether a node is fed, or grounded, over metal and contacts that are closed at rest, without these links."""
        seen, todo = {node}, [node]
        while todo:
            here = todo.pop()
            if here in self._roots[side]:
                return True
            for i in self._circuit.at[here]:
                link, (a, b) = self._circuit.links[i], self._circuit.ends[i]
                there = b if a == here else a
                if i in but or there in seen or there in self._near[not side] or not self._leads(link, a != here, side):
                    continue
                if not link.is_gate or self._rests_closed(link):
                    seen.add(there)
                    todo.append(there)
        return False

    def _behind_metal(self, own: frozenset[int]) -> Iterator[tuple[int, bool]]:
        """The nodes behind a fuse, or a plug: those from which nothing comes back to what feeds or grounds it."""
        for i in own:
            link = self._circuit.links[i]
            if link.kind not in PROTECTIVE and link.kind != "cavity":
                continue
            for node in self._circuit.ends[i]:
                for side in (_SUPPLY, _GROUND):
                    far = self._far[side]
                    its = far.get(node)
                    if its is not None and not self._comes_from(node, side, own):
                        yield node, side

    def _comes_from(self, node: int, side: bool, but: frozenset[int]) -> bool:
        """Whether a piece of metal is fed, or grounded, without these links: it has a root, or a contact leads to it
        from what is nearer."""
        far = self._far[side]
        return any(
            at in self._roots[side] or any(far.get(n, far[at]) < far[at] for n in self._next(at, but))
            for at, _ in self._piece(node, side, but)
        )

    def _next(self, node: int, but: frozenset[int]) -> Iterator[int]:
        for i in self._circuit.at[node]:
            if i not in but and self._circuit.links[i].kind not in NEVER_CROSSED:
                a, b = self._circuit.ends[i]
                yield b if a == node else a

    def _piece(self, start: int, side: bool, but: frozenset[int]) -> list[tuple[int, bool]]:
        """All that goes with a node: what lies as far from its feed or ground, over metal, or further, over contacts
        that are closed at rest."""
        far = self._far[side]
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            for i in self._circuit.at[here]:
                link, (a, b) = self._circuit.links[i], self._circuit.ends[i]
                there = b if a == here else a
                if i in but or there in seen or there not in far or not self._leads(link, a == here, side):
                    continue
                if (far[there] == far[here] and not link.is_gate) or (
                    far[there] > far[here] and self._rests_closed(link)
                ):
                    seen.add(there)
                    todo.append(there)
        return [(node, side) for node in seen]

    def _leads(self, link: Link, from_a: bool, side: bool) -> bool:
        return link.kind not in NEVER_CROSSED and (not link.one_way or from_a is side)

    def _rests_closed(self, link: Link) -> bool:
        part = self._circuit.platform.parts.get(link.part)
        if isinstance(part, Switch):
            return not part.is_key and part.positions[:1] == link.closed_in[:1]
        return link.energised is False

    @cached_property
    def _roots(self) -> Mapping[bool, set[int]]:
        circuit = self._circuit
        grounds = {n for n, node in enumerate(circuit.nodes) if self._is_ground(node.part) or node == BODY}
        supplies = (*circuit.supplies, *circuit.unknown_supplies)
        returns = (*circuit.returns, *circuit.unknown_grounds)
        number = circuit.number
        return {
            _SUPPLY: {number[end] for end in supplies if end in number},
            _GROUND: {number[end] for end in returns if end in number} | grounds,
        }

    def _is_ground(self, part: str) -> bool:
        return isinstance(self._circuit.platform.parts.get(part), Ground)

    @cached_property
    def _near(self) -> Mapping[bool, _Far]:
        """What is always live, or always ground."""
        return {side: self._counted(side, set(), over_gates=False) for side in (_SUPPLY, _GROUND)}

    @cached_property
    def _far(self) -> Mapping[bool, _Far]:
        near = self._near
        return {side: self._counted(side, {*near[not side]}, over_gates=True) for side in (_SUPPLY, _GROUND)}

    def _counted(self, side: bool, without: set[int], *, over_gates: bool) -> _Far:
        """Nothing is fed over what is always ground, nor grounded over what is always live."""
        found: _Far = {}
        todo = deque((root, 0) for root in self._roots[side])
        while todo:
            here, count = todo.popleft()
            if here in found:
                continue
            found[here] = count
            for i in self._circuit.at[here]:
                link, (a, b) = self._circuit.links[i], self._circuit.ends[i]
                there = b if a == here else a
                if there in found or there in without or not self._leads(link, a == here, side):
                    continue
                if not link.is_gate:
                    todo.appendleft((there, count))
                elif over_gates:
                    todo.append((there, count + 1))
        return found


class _OnOneVehicle(Switching):
    """The same on a vehicle of which it is known what is not there: that neither starts nor stops."""

    def __init__(self, circuit: Circuit, fitting: Fitting, absent: Collection[str]) -> None:
        super().__init__(circuit)
        self._all, self._fitting, self._absent = circuit.derived(Switching), fitting, absent

    def by(self, name: str) -> Mapping[str, bool]:
        return {load: fed for load, fed in self._all.by(name).items() if self._may_be_there(load)}

    def _may_be_there(self, load: str) -> bool:
        if load in self._absent:
            return False
        return holds(needs_of(self._circuit.platform, load), self._fitting) != Answer.NO


def switching_of(circuit: Circuit, fitting: Fitting | None = None, absent: Collection[str] = ()) -> Switching:
    """What each part of a circuit turns on and off; without what is surely not fitted by `fitting`, and without parts
    that are `absent`."""
    return _OnOneVehicle(circuit, fitting or {}, absent) if fitting or absent else circuit.derived(Switching)

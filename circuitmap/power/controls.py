"""Which changes could affect a net: what it would take to make it live, followed back to its controls.

What a net, a relay or a module waits for is a graph. Things that wait for one another, such as modules that wake each
other in a ring, have the same controls: these are found all at once, by strongly connected components.
"""

from collections.abc import Iterable, Iterator
from typing import Literal

from circuitmap.circuit.blocks import Block
from circuitmap.power.survey import Side, Survey
from circuitmap.power.wake_pins import WakePin
from circuitmap.power.why import why

Wanted = tuple[Side, int]
_Kind = Literal["supply", "ground", "relay", "module", "line", "block"]
_Node = tuple[_Kind, int]
"""What may be waited for: a net to be live or grounded, a relay, a module, a network, all the gates of a block."""


def controls_in(survey: Survey, nearby: bool = False, perhaps: bool = False) -> "Controls":
    """The controls of everything in a survey, kept with it; with `perhaps`, also those of ways to what only may be
    live."""
    return survey.derived(_ControlsOf).found(nearby, perhaps)


class _ControlsOf:
    """The controls of one survey, each kind worked out when it is asked for."""

    def __init__(self, survey: Survey) -> None:
        self._survey = survey
        self._kept: dict[tuple[bool, bool], Controls] = {}

    def found(self, nearby: bool, perhaps: bool) -> "Controls":
        if (nearby, perhaps) not in self._kept:
            self._kept[nearby, perhaps] = Controls(self._survey, nearby, perhaps)
        return self._kept[nearby, perhaps]


class Controls:
    """For each net, its controls as a number with one bit for each of the survey's other changes."""

    def __init__(self, survey: Survey, nearby: bool, perhaps: bool) -> None:
        self.plan, self.parked, self.nearby = survey.plan, survey.parked, nearby
        self.nets = survey.parked.nets
        self.above = survey.ways_perhaps if perhaps else survey.ways_between
        self._blocks: dict[int, tuple[Block, Side]] = {}
        self._known: dict[_Node, int] = {}
        self._switches: dict[str, int] = {}
        self._outputs: dict[str, int] = {}
        self._awake: dict[str, int] = {}
        for number, change in enumerate(survey.other_changes):
            kinds = {"switch": self._switches, "output": self._outputs}
            its = kinds.get(change.kind, self._awake)
            its[change.name] = its.get(change.name, 0) | 1 << number

    def of(self, wanted: Iterable[Wanted]) -> int:
        """The controls of all these nets together."""
        bits = 0
        for node in wanted:
            if node not in self._known:
                self._find(node)
            bits |= self._known[node]
        return bits

    def _find(self, root: _Node) -> None:
        """Tarjan's search for strongly connected components (1972), without recursion."""
        seen_at: dict[_Node, int] = {root: 0}
        lowest: dict[_Node, int] = {root: 0}
        bits: dict[_Node, int] = {root: self._own(root)}
        open_nodes: list[_Node] = [root]
        is_open = {root}
        stack: list[tuple[_Node, Iterator[_Node]]] = [(root, self._waits_for(root))]
        while stack:
            node, rest = stack[-1]
            for other in rest:
                if other in self._known:
                    bits[node] |= self._known[other]
                elif other not in seen_at:
                    seen_at[other] = lowest[other] = len(seen_at)
                    bits[other] = self._own(other)
                    open_nodes.append(other)
                    is_open.add(other)
                    stack.append((other, self._waits_for(other)))
                    break
                elif other in is_open:
                    lowest[node] = min(lowest[node], seen_at[other])
            else:
                stack.pop()
                if stack:
                    before = stack[-1][0]
                    lowest[before] = min(lowest[before], lowest[node])
                if lowest[node] == seen_at[node]:
                    its = bits[node]
                    members = []
                    while True:
                        member = open_nodes.pop()
                        is_open.discard(member)
                        members.append(member)
                        its |= bits[member]
                        if member == node:
                            break
                    self._known.update(dict.fromkeys(members, its))
                if stack and node in self._known:
                    bits[stack[-1][0]] |= self._known[node]

    def _own(self, node: _Node) -> int:
        """The changes that act on this thing itself."""
        kind, number = node
        if kind == "module":
            its = self.plan.sleepers[number]
            return self._awake.get(its.name, 0) | self._opening(its.wake_pins)
        if kind == "line":
            return self._awake.get(self.parked.run.lines.lines[number].network, 0)
        if kind == "block":
            bits = 0
            for link in self._links(number):
                if link in self.plan.switch_contacts:
                    bits |= self._switches.get(self.plan.switch_contacts[link].switch, 0)
                elif link in self.plan.outputs:
                    bits |= self._outputs.get(self.plan.outputs[link][1].contact, 0)
            return bits
        return 0

    def _opening(self, pins: Iterable[WakePin]) -> int:
        """What opens a contact by which a pin is grounded that wakes when its ground goes."""
        run, bits = self.parked.run, 0
        for pin in pins:
            if self.plan.wakes.by(pin, run.state.fitting) == "opening":
                for contact in why(self.parked, self.parked.circuit.nodes[pin.node], "ground").contacts:
                    for link in self.parked.circuit.contacts[contact]:
                        if link in self.plan.switch_contacts:
                            bits |= self._switches.get(self.plan.switch_contacts[link].switch, 0)
        return bits

    def _waits_for(self, node: _Node) -> Iterator[_Node]:
        kind, number = node
        if kind == "supply" or kind == "ground":
            reach = self.parked.settled.reach
            if not (reach.supply if kind == "supply" else reach.ground)[number]:
                yield from self._block(kind, number)
        elif kind == "block":
            block, side = self._blocks[number]
            for link in self._links(number):
                if link in self.plan.relay_contacts:
                    yield "relay", self.plan.relay_contacts[link].relay
                elif link in self.plan.outputs:
                    yield "module", self.plan.outputs[link][0]
            yield from self._block(side, block.entry)
        elif kind == "relay":
            for coil in self.plan.coils_of[number]:
                for net in self.nets.coils[coil][:2]:
                    yield "supply", net
                    yield "ground", net
        elif kind == "module":
            yield from self._of_module(number)
        elif not self.nearby:
            lines = self.parked.run.lines
            for member, _ in lines.lines[number].members:
                yield "module", member
            for start, _, _ in lines.crossings_to[number]:
                yield "line", start

    def _links(self, block: int) -> Iterator[int]:
        """The links of the gates in a block."""
        return (self.nets.gate_link[gate] for gate, _, _ in self._blocks[block][0].links if gate >= 0)

    def _of_module(self, number: int) -> Iterator[_Node]:
        its = self.plan.sleepers[number]
        for path in its.paths:
            supply, ground, _ = self.nets.paths[path]
            yield "supply", supply
            yield "ground", ground
        for pin in its.wake_pins:
            yield "supply" if pin.by == "plus" else "ground", self.nets.net_of[pin.node]
        for line, _ in self.parked.run.lines.lines_of[number]:
            yield "line", line

    def _block(self, side: Side, net: int) -> Iterator[_Node]:
        """The block of gates next on the ways from a net to what is live or grounded."""
        block = self.above[side][net]
        if block is not None:
            self._blocks[id(block)] = block, side
            yield "block", id(block)

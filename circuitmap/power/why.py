"""Why a terminal is live or grounded: the way from the source, or the contacts that keep it away."""

from collections.abc import Iterator
from heapq import heappop, heappush
from typing import Literal, NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED, Circuit, Link
from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay, Terminal

Side = Literal["supply", "ground"]
Origin = Literal["battery", "body", "not drawn", "label"]
"""Where a way ends: at a battery's post, at the body, at a place nobody transcribed, or at a label on the sheet that
says the feed is hot."""

_NO_BATTERY_IS_LONGER = 500
_A_MAY_BE_IS_LONGER = 100_000
"""A way with one uncertain step is only shown when there is no certain one, however long."""


class Step(NamedTuple):
    """One link on the way, from the source towards the terminal, with how surely it conducts.

    `because` says what closes a contact: `KEY=run`, `K4` (its relay pulled in), `not K4` (at rest), `awake`,
    `on request`, `stuck`, `always`; empty for what is no contact. `bridge`: two points touch here that should not.
    """

    start: Terminal
    end: Terminal
    link: Link | None
    answer: Answer
    because: str = ""

    @property
    def bridge(self) -> bool:
        return self.link is None


class Reason(NamedTuple):
    """Why a terminal is live (`side` supply) or grounded. `steps` lead from `source` to it.

    Where the answer is no, there are no steps, and `open_contacts` are those that would make it so by closing:
    one side of them is live (or grounded), the other joined to the terminal. `backfed_by` are loads and relays
    through which a meter reads a voltage (or ground) there all the same: that is no supply.
    """

    terminal: Terminal
    side: Side
    answer: Answer
    source: Terminal | None = None
    origin: Origin | None = None
    steps: tuple[Step, ...] = ()
    open_contacts: tuple[str, ...] = ()
    backfed_by: tuple[str, ...] = ()

    @property
    def contacts(self) -> tuple[str, ...]:
        """The contacts and outputs that the way leads through, source first."""
        return tuple(step.link.contact for step in self.steps if step.link is not None and step.link.contact)

    @property
    def parts(self) -> tuple[str, ...]:
        """Fuses, connectors, splices and contacts on the way, source first, each once."""
        return tuple(dict.fromkeys(step.link.part for step in self.steps if step.link is not None and step.link.part))


def why(powered: Powered, terminal: Terminal, side: Side = "supply") -> Reason:
    """The shortest most certain way from a source to a terminal, or the contacts that keep it away."""
    circuit = powered.circuit
    node = circuit.number.get(terminal)
    if node is None:
        return Reason(terminal, side, Answer.NO)
    answer = (powered.supply if side == "supply" else powered.ground)[terminal]
    if answer == Answer.NO:
        contacts, loads = _kept_away_by(powered, node, side)
        return Reason(terminal, side, answer, open_contacts=tuple(sorted(contacts)), backfed_by=tuple(sorted(loads)))
    nodes, links = _way(powered, node, side)
    source = nodes[0]
    steps = tuple(
        _step(powered, circuit, start, end, link, side)
        for start, end, link in zip(nodes, nodes[1:], links, strict=False)
    )
    return Reason(terminal, side, answer, circuit.nodes[source], _origin(powered, source, side), steps)


def level_of(powered: Powered, link: int) -> int:
    """How surely a link conducts in this state."""
    gate = powered.nets.gate_of_link.get(link)
    if gate is not None:
        return powered.settled.levels[gate]
    return NO if powered.circuit.links[link].kind in NEVER_CROSSED else powered.nets.link_level[link]


def _sources(powered: Powered, side: Side) -> dict[int, int]:
    """Nodes that a way may start from, with what it costs to believe in them."""
    nets, starts = powered.nets, powered.run.starts
    certain = starts.supply if side == "supply" else starts.ground
    certain_nets = {net for net, _ in certain}
    found: dict[int, int] = {}
    for node in powered.plan.unknown_supplies if side == "supply" else powered.plan.unknown_grounds:
        found[node] = _A_MAY_BE_IS_LONGER
    for node, _ in powered.plan.stated if side == "supply" else ():
        if nets.net_of[node] in certain_nets:
            found[node] = 0
    for cell, source in zip(powered.plan.cells, nets.sources, strict=True):
        if source.level != NO:
            found[cell.plus if side == "supply" else cell.minus] = 0 if source.level == YES else _A_MAY_BE_IS_LONGER
    if side == "ground":
        # The body is ground even while no battery is joined to it; a battery's post is the better end of a way.
        found.update(dict.fromkeys(powered.plan.returns, _NO_BATTERY_IS_LONGER))
    return found


def _way(powered: Powered, node: int, side: Side) -> tuple[list[int], list[int]]:
    """Nodes from a source to `node`, and the links between them (-1: a bridge)."""
    sources = _sources(powered, side)
    seen = powered.settled.reach
    bits = seen.perhaps_supply if side == "supply" else seen.perhaps_ground
    certain = seen.supply if side == "supply" else seen.ground
    needs_certainty = bool(certain[powered.nets.net_of[node]])
    before: dict[int, tuple[int, int]] = {}
    done: set[int] = set()
    queue: list[tuple[int, int, int, int]] = [(0, node, -1, -1)]
    while queue:
        cost, at, link, towards = heappop(queue)
        if at < 0:
            nodes, links = [towards], []
            while nodes[-1] != node:
                by, nearer = before[nodes[-1]]
                links.append(by)
                nodes.append(nearer)
            return nodes, links
        if at in done:
            continue
        done.add(at)
        if at != node:
            before[at] = (link, towards)
        if at in sources and not (needs_certainty and sources[at] >= _A_MAY_BE_IS_LONGER):
            heappush(queue, (cost + sources[at], -1, -1, at))
        for other, by, level in _beyond(powered, at, side):
            net = powered.nets.net_of[other]
            if other not in done and (certain[net] if needs_certainty else bits[net]):
                heappush(queue, (cost + 1 + (0 if level == YES else _A_MAY_BE_IS_LONGER), other, by, at))
    raise AssertionError("a terminal is live and nothing feeds it")


def _beyond(powered: Powered, at: int, side: Side) -> Iterator[tuple[int, int, int]]:
    """Nodes one conducting link nearer to the source, against the current for supply and with it for ground."""
    circuit = powered.circuit
    for i in circuit.at[at]:
        link = circuit.links[i]
        level = level_of(powered, i)
        if level == NO:
            continue
        a, b = circuit.ends[i]
        if link.kind == "battery":
            if powered.nets.link_level[i] != NO and at == (a if side == "supply" else b):
                yield (b if at == a else a), i, level
        elif not link.one_way or at == (b if side == "supply" else a):
            yield (b if at == a else a), i, level
    for start, end in powered.state.bridged:
        for here, there in ((start, end), (end, start)):
            if circuit.number.get(here) == at and there in circuit.number:
                yield circuit.number[there], -1, YES


def _step(powered: Powered, circuit: Circuit, start: int, end: int, link: int, side: Side) -> Step:
    a, b = circuit.nodes[start], circuit.nodes[end]
    if link < 0:
        # Across a bridge to a place that may be on the other side as well: a short circuit, perhaps.
        certain = powered.settled.reach.supply if side == "supply" else powered.settled.reach.ground
        return Step(a, b, None, Answer.YES if certain[powered.nets.net_of[end]] else Answer.MAY_BE)
    its = circuit.links[link]
    return Step(a, b, its, ANSWERS[level_of(powered, link)], _because(powered, its))


def _because(powered: Powered, link: Link) -> str:
    if not link.contact:
        return ""
    state = powered.state
    if link.contact in state.stuck:
        return "stuck"
    if link.output is not None:
        when = link.output.when
        return {"awake": "awake", "always": "always", "request": "on request"}.get(
            when, f"key={powered.run.key_position}"
        )
    if isinstance(powered.circuit.platform.parts[link.part], Relay):
        return link.part if link.energised else f"not {link.part}"
    position = state.switches.get(link.part, "")
    contact = powered.plan.switch_contacts[powered.circuit.contacts[link.contact][0]]
    if contact.is_key:
        position = powered.run.key_position
    return f"{link.part}={position or contact.rest}"


def _origin(powered: Powered, source: int, side: Side) -> Origin:
    plan = powered.plan
    if any(source == (cell.plus if side == "supply" else cell.minus) for cell in plan.cells):
        return "battery"
    if side == "supply" and any(source == node for node, _ in plan.stated):
        return "label"
    if side == "ground" and source in plan.returns:
        return "body"
    return "not drawn"


def _kept_away_by(powered: Powered, node: int, side: Side) -> tuple[set[str], set[str]]:
    """Open contacts, and loads and coils, between what is joined to a dead node and what is live (or grounded)."""
    nets, levels = powered.nets, powered.settled.levels
    seen = powered.settled.reach
    bits = seen.perhaps_supply if side == "supply" else seen.perhaps_ground
    neighbours = nets.towards_supply if side == "supply" else nets.towards_load
    start = nets.net_of[node]
    joined, stack, contacts = {start}, [start], set()
    while stack:
        net = stack.pop()
        for other, gate in neighbours[net]:
            contact = powered.circuit.links[nets.gate_link[gate]].contact
            if levels[gate] == NO and bits[other] and contact:
                contacts.add(contact)
            elif levels[gate] >= MAY_BE and other not in joined:
                joined.add(other)
                stack.append(other)
    takers = powered.run.takers
    beside = {n for net in joined for n, other in takers.at.get(net, ()) if bits[other]}
    return contacts, {powered.name_of_taker(n) for n in beside}

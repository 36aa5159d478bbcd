"""What is one piece of copper for a given equipment and a given set of parts taken out.

Everything that always conducts is melted into *nets*, so that a state only has to consider what can change: contacts,
outputs, diodes, cells, and links that an option makes uncertain.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from typing import NamedTuple

from circuitmap.circuit.inside import both
from circuitmap.circuit.links import NEVER_CROSSED, Link
from circuitmap.power.plan import Cell, Plan
from circuitmap.power.state import VehicleState
from circuitmap.power.worlds import Worlds, worlds_of
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Condition, Fuse, Joint, Load

NO, MAY_BE, YES = int(Answer.NO), int(Answer.MAY_BE), int(Answer.YES)
Neighbours = tuple[tuple[int, int], ...]
"""Pairs of a net and the gate that leads to it."""


class Source(NamedTuple):
    """A cell in this state: its bit in each world that has it, the nets of its plus and minus, and whether it is
    fitted."""

    bit: int
    plus: int
    minus: int
    level: int


@dataclass(frozen=True, slots=True)
class Nets:
    """Nets and the gates between them; a gate is what may or may not conduct, numbered from 0.

    `net_of[node]` is a node's net. `gate_link[g]` is the link of a gate, `ceiling[g]` the most it can conduct.
    `towards_load[n]` are the gates through which supply spreads from a net, `towards_supply[n]` those through which
    ground does. `feeders` are like sources, but there only while they feed.
    `paths[p]` are (supply net, ground net, ceiling) of the load paths, ceiling NO for one taken out.
    `bleeders` are (net, net, ceiling) of resistors that take a current of their own. `opened` are the links that do not
    conduct because something is unplugged or pulled. `metal` are (link, node, node) of all that was melted.
    `worlds` are what equipment that nobody mentioned parts; `passes`, `path_passes` and `coil_passes` the bits that
    each gate, path and coil lets pass.
    """

    count: int
    net_of: tuple[int, ...]
    gate_link: tuple[int, ...]
    gate_of_link: Mapping[int, int]
    ceiling: tuple[int, ...]
    towards_load: tuple[Neighbours, ...]
    towards_supply: tuple[Neighbours, ...]
    sources: tuple[Source, ...]
    feeders: tuple[Source, ...]
    keeps_supply_out: tuple[int, ...]
    keeps_ground_out: tuple[int, ...]
    return_nets: tuple[int, ...]
    unknown_supply_nets: tuple[int, ...]
    unknown_ground_nets: tuple[int, ...]
    paths: tuple[tuple[int, int, int], ...]
    coils: tuple[tuple[int, int, int], ...]
    bleeders: tuple[tuple[int, int, int], ...]
    opened: frozenset[int]
    link_level: tuple[int, ...]
    metal: tuple[tuple[int, int, int], ...]
    worlds: Worlds
    passes: tuple[int, ...]
    path_passes: tuple[int, ...]
    coil_passes: tuple[int, ...]


def opened_links(plan: Plan, state: VehicleState) -> frozenset[int]:
    """Links that no longer conduct because something is unplugged or pulled."""
    opened: set[int] = set()
    for name in (*state.unplugged, *state.pulled):
        opened |= plan.circuit.opened_by(name)
    return frozenset(opened)


def nets_without(plan: Plan, whole: Nets, opened: frozenset[int]) -> Nets:
    """The same car with more links interrupted. Where none of them was melted into a net, nothing has to be melted
    anew."""
    circuit = plan.circuit
    levels = list(whole.link_level)
    for i in opened:
        levels[i] = NO
    link_level = tuple(levels)
    links = [(circuit.links[i], i in whole.gate_of_link, whole.link_level[i]) for i in opened]
    unmelted = (
        level == NO or its.kind in ("load", "coil") or (gate and its.kind != "battery") for its, gate, level in links
    )
    if not all(unmelted):
        gates = [i for i in whole.gate_link if i not in opened and circuit.links[i].kind != "battery"]
        return _melted(
            plan, link_level, whole.opened | opened, gates, [its for its in whole.metal if its[0] not in opened],
            whole.worlds,
        )  # fmt: skip
    return replace(
        whole,
        ceiling=tuple(link_level[i] for i in whole.gate_link),
        paths=tuple((*its[:2], link_level[p.link]) for its, p in zip(whole.paths, plan.paths, strict=True)),
        coils=tuple((*its[:2], link_level[c.link]) for its, c in zip(whole.coils, plan.coils, strict=True)),
        bleeders=tuple((*its[:2], link_level[i]) for its, i in zip(whole.bleeders, plan.bleeders, strict=True)),
        opened=whole.opened | opened,
        link_level=link_level,
    )


def nets_of(
    plan: Plan, fitting: Fitting, opened: frozenset[int], inserted: frozenset[str] = frozenset()
) -> Nets:  # fmt: skip
    """Melt what always conducts; linear in the number of links. `inserted` are fuses that are there whatever is
    fitted."""
    circuit = plan.circuit
    link_level = _link_levels(plan, fitting, opened, inserted)
    worlds = _worlds_here(plan, fitting, link_level)
    gates: list[int] = []
    metal: list[tuple[int, int, int]] = []
    for i, link in enumerate(circuit.links):
        level = link_level[i]
        if level == NO or link.kind in NEVER_CROSSED or (link.kind == "resistor" and link.part in circuit.loads):
            continue
        if level == YES and not link.contact and not link.one_way:
            metal.append((i, *circuit.ends[i]))
        else:
            gates.append(i)
    return _melted(plan, link_level, opened, gates, metal, worlds)


def _melted(
    plan: Plan,
    link_level: tuple[int, ...],
    opened: frozenset[int],
    gates: list[int],
    metal: list[tuple[int, int, int]],
    worlds: Worlds,
) -> Nets:
    """The nets that these links of metal leave, with these gates between them."""
    circuit = plan.circuit
    leader = list(range(len(circuit.nodes)))

    def find(node: int) -> int:
        while leader[node] != node:
            leader[node] = leader[leader[node]]
            node = leader[node]
        return node

    for _, a, b in metal:
        root_a, root_b = find(a), find(b)
        if root_a != root_b:
            leader[root_b] = root_a
    numbers: dict[int, int] = {}
    net_of = tuple(numbers.setdefault(find(node), len(numbers)) for node in range(len(leader)))

    everywhere = worlds.fields

    def passing(link: int) -> int:
        return worlds.passing(circuit.links[link].condition)

    sources = tuple(
        _source(
            (everywhere << n) & passing(cell.link), net_of[cell.plus], net_of[cell.minus], link_level[cell.link]
        )
        for n, cell in enumerate(plan.cells)
    )  # fmt: skip
    unknown = unknown_bit(plan) * everywhere
    supply_out, ground_out = [0] * len(numbers), [0] * len(numbers)
    for source in sources:
        if source.level == YES:
            supply_out[source.minus] |= source.bit | unknown
            ground_out[source.plus] |= source.bit | unknown
    for upper in sources:
        # Of cells in a row, the lowest minus keeps out the plus of all of them, and the highest plus their ground.
        for lower in _in_a_row_below(upper, sources):
            supply_out[lower.minus] |= upper.bit
            ground_out[upper.plus] |= lower.bit
    feeders = tuple(
        _source((unknown << n) & passing(cell.link), net_of[cell.plus], net_of[cell.minus], link_level[cell.link])
        for n, cell in enumerate(plan.feeders, start=1)
    )
    for node in plan.bodies:
        supply_out[net_of[node]] |= unknown
    towards_load: list[list[tuple[int, int]]] = [[] for _ in numbers]
    towards_supply: list[list[tuple[int, int]]] = [[] for _ in numbers]
    gate_link: list[int] = []
    ceiling: list[int] = []
    for i in (*gates, *(cell.link for cell in plan.cells if link_level[cell.link] != NO)):
        link = circuit.links[i]
        a, b = (net_of[node] for node in circuit.ends[i])
        if link.kind == "battery":  # inside a battery, current flows from minus to plus
            a, b = b, a
        gate = len(gate_link)
        gate_link.append(i)
        ceiling.append(link_level[i])
        if a == b:
            continue
        towards_load[a].append((b, gate))
        towards_supply[b].append((a, gate))
        if not link.one_way and link.kind != "battery":
            towards_load[b].append((a, gate))
            towards_supply[a].append((b, gate))
    return Nets(
        count=len(numbers),
        net_of=net_of,
        gate_link=tuple(gate_link),
        gate_of_link={link: gate for gate, link in enumerate(gate_link)},
        ceiling=tuple(ceiling),
        towards_load=tuple(tuple(its) for its in towards_load),
        towards_supply=tuple(tuple(its) for its in towards_supply),
        sources=sources,
        feeders=feeders,
        keeps_supply_out=tuple(supply_out),
        keeps_ground_out=tuple(ground_out),
        return_nets=tuple(sorted({net_of[node] for node in plan.returns})),
        unknown_supply_nets=tuple(sorted({net_of[node] for node in plan.unknown_supplies})),
        unknown_ground_nets=tuple(sorted({net_of[node] for node in plan.unknown_grounds})),
        paths=tuple((net_of[p.supply], net_of[p.ground], link_level[p.link]) for p in plan.paths),
        coils=tuple((net_of[c.plus], net_of[c.minus], link_level[c.link]) for c in plan.coils),
        bleeders=tuple((net_of[circuit.ends[i][0]], net_of[circuit.ends[i][1]], link_level[i]) for i in plan.bleeders),
        opened=opened,
        link_level=link_level,
        metal=tuple(metal),
        worlds=worlds,
        passes=tuple(map(passing, gate_link)),
        path_passes=tuple(passing(p.link) for p in plan.paths),
        coil_passes=tuple(passing(c.link) for c in plan.coils),
    )


def _in_a_row_below(upper: Source, sources: tuple[Source, ...]) -> list[Source]:
    """The cells whose plus is the minus of the one above, this one the highest; only those that surely are there."""
    found: list[Source] = []
    at = upper
    while at.level == YES:
        below = next((its for its in sources if its.plus == at.minus and its.level == YES), None)
        if below is None or below is upper or below in found:
            break
        found.append(below)
        at = below
    return found


def _source(bit: int, plus: int, minus: int, level: int) -> Source:
    """A cell whose plus and minus are typed as one piece of copper is a slip: it is left out, or else everything would
    be live and grounded at once."""
    return Source(bit, plus, minus, level if plus != minus else NO)


def every_source(plan: Plan, nets: Nets, state: VehicleState) -> Iterator[tuple[Cell, Source]]:
    """The cells of batteries, and the alternators and chargers that feed in a state."""
    yield from zip(plan.cells, nets.sources, strict=True)
    for cell, source in zip(plan.feeders, nets.feeders, strict=True):
        if cell.battery in state.feeding:
            yield cell, source


def unknown_bit(plan: Plan) -> int:
    """The bit of a supply when nobody knows which battery it comes from."""
    return 1 << len(plan.cells)


def _link_levels(
    plan: Plan, fitting: Fitting, opened: frozenset[int], inserted: frozenset[str]
) -> tuple[int, ...]:  # fmt: skip
    """The most that each link can conduct: what is fitted, not taken out, and typed in."""
    known: dict[Condition, int] = {(): YES}
    levels = []
    for i, link in enumerate(plan.circuit.links):
        if i in opened:
            levels.append(NO)
            continue
        condition = _with_inserted(plan, link, inserted) if inserted else link.condition
        level = known.get(condition)
        if level is None:
            level = known[condition] = int(holds(condition, fitting))
        if level == YES and (link.assumed == "terminal" or (link.kind == "chart" and not _feeds_directly(plan, i))):
            level = MAY_BE
        levels.append(level)
    return tuple(levels)


def _with_inserted(plan: Plan, link: Link, inserted: frozenset[str]) -> Condition:
    """The condition of a link where these fuses are there whatever is fitted: a wire that ends at one still needs what
    it is drawn with, and what the part at its other end needs."""
    parts = plan.circuit.platform.parts
    if link.part in inserted:
        return ()
    ends = {link.a.part, link.b.part}
    if link.wire is None or ends.isdisjoint(inserted):
        return link.condition
    others = (parts[name].condition for name in sorted(ends - inserted) if name in parts)
    return reduce(both, others, link.wire.condition)


def _worlds_here(plan: Plan, fitting: Fitting, link_level: tuple[int, ...]) -> Worlds:
    """What the equipment that nobody mentioned parts, of what may conduct."""
    width = len(plan.cells) + 1 + len(plan.feeders)
    links = (link for link, level in zip(plan.circuit.links, link_level, strict=True) if level == MAY_BE)
    return worlds_of(plan.circuit.platform, (link.condition for link in links if link.condition), fitting, width)


def _feeds_directly(plan: Plan, link: int) -> bool:
    """Whether a row of a fuse chart stands for plain wire. Fuses and modules hang directly on their row's fuse, while a
    switch or relay that nobody typed in may sit between a fuse and a lamp or motor (common practice, no source)."""
    part = plan.circuit.platform.parts.get(plan.circuit.links[link].b.part)
    return isinstance(part, Fuse | Joint) or (isinstance(part, Load) and part.kind == "module")

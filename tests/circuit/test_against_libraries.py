"""The searches against general libraries on random platforms.

Oracles: scipy.sparse.csgraph for reach, igraph for dominators, networkx for blocks and for the list of all simple
paths. They see the links only; nothing of the code under test is used to build their graphs.
"""

from collections.abc import Iterable

import igraph
import networkx as nx
import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import breadth_first_order, connected_components

from circuitmap.circuit.blocks import blocks_from
from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.isolation import SOURCE, SupplyPoint, common_supply, dominators_of, supply_graph
from circuitmap.circuit.links import Circuit, Link, circuit_of
from circuitmap.circuit.ways import Ways
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Ground, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform
from tests.always import always

from .random_circuits import random_platform

METAL = {"wire", "copper", "chart", "cavity", "joint", "body", "fuse", "link", "breaker"}
NEVER = {"load", "coil", "battery"}
FITTINGS = ({}, {"TOW": True}, {"TOW": False})


def joined_by_metal(circuit: Circuit, fitting: dict[str, bool]) -> np.ndarray:
    """The label of the metal piece that each node belongs to."""
    pairs = [
        circuit.ends[i]
        for i, link in enumerate(circuit.links)
        if link.kind in METAL and holds(link.condition, fitting) == Answer.YES
    ]
    n = len(circuit.nodes)
    rows, columns = zip(*pairs, strict=True) if pairs else ((), ())
    matrix = coo_matrix((np.ones(len(pairs)), (rows, columns)), shape=(n, n))
    return connected_components(matrix, directed=False)[1]


def fitted(circuit: Circuit, terminals: Iterable[Terminal], fitting: dict[str, bool]) -> list[int]:
    parts = circuit.platform.parts
    return [
        circuit.number[t]
        for t in terminals
        if t.part not in parts or holds(parts[t.part].condition, fitting) != Answer.NO
    ]


def usable(circuit: Circuit, fitting: dict[str, bool], side: str) -> tuple[list[int], list[int], set[int]]:
    """The links of one side, its roots, and the nodes that no way on it may pass."""
    pieces = joined_by_metal(circuit, fitting)
    supplies, returns = (fitted(circuit, ends, fitting) for ends in (circuit.supplies, circuit.returns))
    far = returns if side == "supply" else supplies
    taboo = {n for n in range(len(circuit.nodes)) if pieces[n] in {pieces[f] for f in far}}
    roots = supplies if side == "supply" else returns
    assert not taboo & set(roots)
    unknown = circuit.unknown_supplies if side == "supply" else circuit.unknown_grounds
    roots = [*roots, *(circuit.number[t] for t in unknown if circuit.number[t] not in taboo)]
    links = [
        i
        for i, link in enumerate(circuit.links)
        if link.kind not in NEVER
        and holds(link.condition, fitting) != Answer.NO
        and not taboo & set(circuit.ends[i])
        and circuit.ends[i][0] != circuit.ends[i][1]
    ]
    return links, roots, taboo


def shorted(circuit: Circuit, fitting: dict[str, bool]) -> bool:
    """A plus that is one piece of metal with ground: such a platform is a slip and is answered differently."""
    pieces = joined_by_metal(circuit, fitting)
    plus, minus = ({pieces[circuit.number[t]] for t in ends} for ends in (circuit.supplies, circuit.returns))
    return bool(plus & minus)


@pytest.mark.parametrize("first", always(4, range(0, 1000, 100)))
def test_reach_agrees_with_csgraph(first: int) -> None:
    for seed in range(first, first + 100):
        circuit = circuit_of(random_platform(seed))
        fitting = FITTINGS[seed % 3]
        if shorted(circuit, fitting):
            continue
        for side in ("supply", "ground"):
            links, roots, _ = usable(circuit, fitting, side)
            n = len(circuit.nodes)
            rows = [circuit.ends[i][0] for i in links] + [n] * len(roots)
            columns = [circuit.ends[i][1] for i in links] + roots
            matrix = coo_matrix((np.ones(len(rows)), (rows, columns)), shape=(n + 1, n + 1))
            reached = set(breadth_first_order(matrix.tocsr(), n, directed=False, return_predecessors=False)) - {n}
            ways = Ways(circuit, fitting, side)
            found = {i for i in range(n) if i in roots or ways.block_above(i) is not None}
            assert found == reached, f"seed {seed}, {side}"


def asked(link: Link, platform: Platform) -> list[tuple[str, set[str]]]:
    """What a link asks for, written again from the meaning of the values."""
    key = next((p.name for p in platform.parts.values() if isinstance(p, Switch) and p.is_key), "")
    found = [(f"option {need.option}", {str(need.fitted)}) for need in link.condition]
    part = platform.parts.get(link.part)
    if link.output:
        found.append((f"output {link.contact}", {link.output.action}))
        if link.output.when == "in":
            found.append((key, set(link.output.positions)))
    elif isinstance(part, Relay) and link.contact:
        found.append((link.part, {"in" if link.energised else "rest"}))
    elif isinstance(part, Switch):
        found.append((link.part, set(link.closed_in)))
    return found


def conducts_at_once(links: Iterable[Link], platform: Platform) -> bool:
    states: dict[str, set[str]] = {}
    for link in links:
        for subject, allowed in asked(link, platform):
            states[subject] = states.get(subject, allowed) & allowed
    return all(states.values())


@pytest.mark.parametrize("first", always(4, range(0, 1000, 100)))
def test_every_way_is_found_and_no_other(first: int) -> None:
    compared = 0
    for seed in range(first, first + 100):
        platform = random_platform(seed, size=4)
        circuit = circuit_of(platform)
        fitting = FITTINGS[seed % 3]
        if shorted(circuit, fitting):
            continue
        for side in ("supply", "ground"):
            links, roots, _ = usable(circuit, fitting, side)
            graph: nx.MultiDiGraph[object] = nx.MultiDiGraph()
            for i in links:
                a, b = circuit.ends[i] if side == "supply" else circuit.ends[i][::-1]
                graph.add_edge(a, b, key=i)
                if not circuit.links[i].one_way:
                    graph.add_edge(b, a, key=i)
            if side == "ground":  # a way ends at the first ground it meets
                graph.remove_edges_from([(a, b, k) for a, b, k in graph.edges(keys=True) if b in roots])
            graph.add_node("root")
            graph.add_edges_from(("root", root, -1) for root in roots)
            ways = Ways(circuit, fitting, side)
            numbers_of = {id(link): i for i, link in enumerate(circuit.links)}
            for load in circuit.loads.values():
                for pin in load.supplies if side == "supply" else load.grounds:
                    node = circuit.number[pin]
                    if node not in graph or (side == "ground" and node in roots):
                        continue
                    wanted = set()
                    for path in nx.all_simple_edge_paths(graph, "root", node, cutoff=40):
                        numbers = tuple(k for _, _, k in path[1:])
                        if side == "ground" and leaves_a_ground_point(circuit, node, numbers[::-1]):
                            continue
                        if conducts_at_once((circuit.links[i] for i in numbers), platform):
                            wanted.add((path[0][1], numbers if side == "supply" else numbers[::-1]))
                    paths, cut_off = ways.to(pin)
                    if cut_off:
                        assert len(wanted) > 64
                        continue
                    got = {
                        (
                            circuit.number[path.start if side == "supply" else path.end],
                            tuple(numbers_of[id(step.link)] for step in path.steps),
                        )
                        for path in paths
                    }
                    assert got == wanted, f"seed {seed} {pin}"
                    compared += len(got)
    assert compared > 300


def leaves_a_ground_point(circuit: Circuit, node: int, numbers: tuple[int, ...]) -> bool:
    """A way to ground that reaches a point of the body and goes on over a wire: it was at ground already."""
    for i in numbers:
        a, b = circuit.ends[i]
        point = isinstance(circuit.platform.parts.get(circuit.nodes[node].part), Ground)
        if point and i != numbers[0] and circuit.platform.body_return and circuit.links[i].kind != "body":
            return True
        node = b if node == a else a
    return False


@pytest.mark.parametrize("first", always(2, range(0, 1000, 250)))
def test_blocks_agree_with_networkx(first: int) -> None:
    for seed in range(first, first + 250):
        circuit = circuit_of(random_platform(seed))
        graph: nx.Graph[int] = nx.Graph()
        neighbours: list[list[tuple[int, int]]] = [[] for _ in circuit.nodes]
        for i, (a, b) in enumerate(circuit.ends):
            if a != b:
                graph.add_edge(a, b)
                neighbours[a].append((i, b))
                neighbours[b].append((i, a))
        root = len(circuit.nodes) - 1
        found = blocks_from(root, neighbours).blocks
        graph.add_node(root)
        there = nx.node_connected_component(graph, root)
        wanted = {frozenset(nodes) for nodes in nx.biconnected_components(graph.subgraph(there))}
        assert {frozenset(n for _, a, b in block.links for n in (a, b)) for block in found} == wanted, f"seed {seed}"
        cuts = set(nx.articulation_points(graph.subgraph(there)))
        assert {block.entry for block in found} - {root} <= cuts


@pytest.mark.parametrize("first", always(4, range(0, 1000, 100)))
def test_dominators_agree_with_igraph(first: int) -> None:
    for seed in range(first, first + 100):
        feeding = feeding_of(circuit_of(random_platform(seed)), FITTINGS[seed % 3])
        graph = supply_graph(feeding)
        numbers = {point: i for i, point in enumerate(graph)}
        points = list(graph)
        other = igraph.Graph(n=len(points), edges=[(numbers[a], numbers[b]) for a, b in graph.edges], directed=True)
        found = other.dominator(numbers[SOURCE])
        wanted = {points[i]: points[above] for i, above in enumerate(found) if above >= 0}
        assert dominators_of(graph) == wanted, f"seed {seed}"


@pytest.mark.parametrize("first", range(0, 300, 100))
def test_cutting_the_nearest_common_supply_kills_all_and_nothing_nearer_does(first: int) -> None:
    """The meaning of `common_supply`, by taking points out of a graph built from the links alone."""
    shared = 0
    for seed in range(first, first + 100):
        platform = random_platform(seed, conditions=False)
        circuit = circuit_of(platform)
        if shorted(circuit, {}):
            continue
        feeding = feeding_of(circuit)
        links, _, _ = usable(circuit, {}, "supply")
        fuses = [f.name for f in platform.fuses][: 2 + seed % 2]
        fed = {fuse: {path.end.pin for path in feeding.feeds_of(fuse)} for fuse in (f.name for f in platform.fuses)}
        if any(pins - {"1"} for pins in fed.values()):
            continue  # a fuse that is fed from both sides
        graph: nx.DiGraph[object] = nx.DiGraph()
        for i in links:
            link, (a, b) = circuit.links[i], circuit.ends[i]
            if link.kind == "fuse":
                nx.add_path(graph, (a, link.part, b))
            elif link.contact:
                nx.add_path(graph, (a, link.contact, b))
                if not link.one_way:
                    nx.add_path(graph, (b, link.contact, a))
            else:
                graph.add_edge(a, b)
                if not link.one_way:
                    graph.add_edge(b, a)
        graph.add_edges_from(("all batteries", circuit.number[plus]) for plus in circuit.supplies)

        answer = common_supply(feeding, fuses)
        alive = [fuse for fuse in fuses if fuse not in answer.unfed]
        live = nx.descendants(graph, "all batteries")
        assert set(alive) == {fuse for fuse in fuses if fuse in live}
        if not alive:
            continue
        killing = {n for n in graph if n not in ("all batteries", *alive) and dead(graph, n, fuses) >= set(alive)}
        # Batteries that are joined by wire alone are one place, which this graph has as `all batteries`.
        chain = [node_of(circuit, point) for point in answer.chain if " and " not in point.name]
        if len(alive) == 1:
            killing = {n for n in killing if n in live}
        assert set(chain) == {n for n in killing if n in live}, f"seed {seed}"
        shared += bool(chain) and len(alive) > 1
        for nearer in chain[:-1]:
            left = graph.copy()
            left.remove_node(nearer)
            assert chain[-1] not in nx.descendants(left, "all batteries"), "the chain runs away from the batteries"
    assert shared > 20


def dead(graph: "nx.DiGraph[object]", without: object, fuses: list[str]) -> set[str]:
    """The fuses that no battery reaches once a point is cut."""
    reached: set[object] = {"all batteries", without}
    todo: list[object] = ["all batteries"]
    while todo:
        ahead = set(graph[todo.pop()]) - reached
        reached |= ahead
        todo += ahead
    return {fuse for fuse in fuses if fuse not in reached or fuse == without}


def node_of(circuit: Circuit, point: SupplyPoint) -> object:
    if point.kind != "terminal":
        return point.name
    return next(n for n, t in enumerate(circuit.nodes) if f"{t}{'/' + t.half if t.half else ''}" == point.name)

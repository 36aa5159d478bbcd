"""On random vehicles nothing that lies on a way to a hands-off part may be touched: networkx lists the ways one by one.

The comparison is independent of the search: it lists simple paths (networkx) instead of using blocks.
"""

from random import Random

import networkx as nx
import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.wiring.parts import Load, Terminal
from tests.always import always
from tests.power.random_platforms import platform_from, random_text

MOST_WAYS = 400
"""How many ways to one pin are listed; a vehicle with more is compared only that far."""


def marked(seed: int) -> tuple[Circuit, list[str]]:
    """A random vehicle in which some loads are hands-off, and their names."""
    random = Random(seed)
    lines = random_text(seed).splitlines()
    kinds = ("module ", "lamp ", "motor ")
    loads = [n for n, line in enumerate(lines) if line.startswith(kinds)]
    chosen = random.sample(loads, min(len(loads), random.randint(1, 2)))
    names = [lines[n].split()[1] for n in chosen]
    for n in chosen:
        lines[n] += " hands-off restraint"
    return circuit_of(platform_from("\n".join(lines))), names


def ways_from_supplies(circuit: Circuit, pin: Terminal) -> list[list[str]]:
    """The parts on each way by which current can come to a pin, listed one by one."""
    grounds = {end for end in circuit.nodes if circuit.platform.parts.get(end.part) is not None}
    grounds = {end for end in grounds if circuit.platform.parts[end.part].kind == "ground"} | set(circuit.returns)
    graph = nx.MultiDiGraph()
    for i, link in enumerate(circuit.links):
        if link.kind in ("load", "battery", "body", "coil") or {link.a, link.b} & grounds:
            continue
        graph.add_edge(link.a, link.b, key=i, part=link.part)
        if not link.one_way:
            graph.add_edge(link.b, link.a, key=i, part=link.part)
    sources = [end for end in (*circuit.supplies, *circuit.unknown_supplies) if end in graph]
    for source in sources:
        graph.add_edge("all supplies", source, key=-1, part="")
    if pin not in graph or "all supplies" not in graph:
        return []
    found = []
    for way in nx.all_simple_edge_paths(graph, "all supplies", pin, cutoff=25):
        if sum(a in sources for a, _, _ in way) == 1:  # a way begins at the last supply that it passes
            found.append([graph.edges[edge]["part"] for edge in way])
        if len(found) == MOST_WAYS:
            break
    return found


def needed(circuit: Circuit, pin: Terminal) -> set[str]:
    """Parts without which no listed way is left: whatever else holds, these feed it."""
    ways = [set(way) for way in ways_from_supplies(circuit, pin)]
    return set.intersection(*ways) - {""} if ways else set()


@pytest.mark.parametrize("seed", always(60, range(150)))
def test_what_feeds_a_hands_off_part_is_never_touched(seed: int) -> None:
    circuit, names = marked(seed)
    parts, hands_off = circuit.platform.parts, circuit.hands_off
    for name in names:
        part = parts[name]
        assert isinstance(part, Load) and not hands_off.may_touch(name)
        for pin in part.pins_with("supply"):
            for feeder in needed(circuit, Terminal(name, pin)):
                if parts[feeder].kind in ("fuse", "link", "breaker", "relay", "switch", "connector", "diode"):
                    assert not hands_off.may_touch(feeder), (name, pin, feeder)


def parts_kind(circuit: Circuit, node: Terminal) -> str:
    part = circuit.platform.parts.get(node.part)
    return part.kind if part is not None else ""


@pytest.mark.parametrize("seed", always(60, range(150)))
def test_what_lies_on_no_way_to_it_stays_free(seed: int) -> None:
    """Fuses and relays that no way to any hands-off terminal passes, in either direction, nor to a load that such a
    thing grounds, may be touched."""
    circuit, names = marked(seed)
    graph = nx.Graph()
    for link in circuit.links:
        if link.kind not in ("load", "battery"):
            graph.add_edge(link.a, link.b)
    near: set[Terminal] = set()
    for node in circuit.nodes:
        if node.part in names and node in graph:
            near |= nx.node_connected_component(graph, node)
    wires = graph.subgraph(node for node in graph if node.part != "case" and parts_kind(circuit, node) != "ground")
    own = {node for node in wires if any(node.part in names for node in nx.node_connected_component(wires, node))}
    for link in circuit.links:
        if link.kind == "load" and link.b in own and link.a in graph:  # a load that it grounds
            near |= nx.node_connected_component(graph, link.a)
    for part in circuit.platform.parts.values():
        ends = circuit.terminals_of.get(part.name, ())
        if part.kind in ("fuse", "relay") and ends and not near.intersection(ends):
            assert circuit.hands_off.may_touch(part.name), part.name

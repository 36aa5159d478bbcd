"""The circuit as a networkx graph."""

import networkx as nx

from circuitmap.circuit.graph import graph_of
from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.wiring.parts import Terminal

from .told import circuit


def test_every_link_is_an_edge_with_its_number_as_key() -> None:
    its = circuit("""
option TOW
battery BAT 72Ah
fuse F1 10A
lamp L supply 1 ground 2
lamp T supply 1 ground 2 if TOW
BAT.+ -> F1 -> L.1, T.1
L.2 -> G1
ground G1
""")
    graph = graph_of(its)
    assert graph.number_of_edges() == len(its.links)
    assert {key: data["link"] for _, _, key, data in graph.edges(keys=True, data=True)} == dict(enumerate(its.links))
    bare = graph_of(its, {"TOW": False})
    assert {its.links[k].part or its.links[k].b.part for k in set(graph_keys(graph)) - set(graph_keys(bare))} == {"T"}
    supplied = graph_of(its, keep=lambda link: link.kind not in NEVER_CROSSED)
    assert nx.has_path(supplied, Terminal("BAT", "+"), Terminal("L", "1"))
    assert not nx.has_path(supplied, Terminal("BAT", "+"), Terminal("L", "2"))


def graph_keys(graph: "nx.MultiGraph[Terminal]") -> list[int]:
    return [key for _, _, key in graph.edges(keys=True)]

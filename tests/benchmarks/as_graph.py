"""A circuit as a networkx graph, to compare reading it with networkx's own readers."""

import networkx as nx

from circuitmap.circuit.links import Circuit
from circuitmap.wiring.parts import Terminal


def graph_of(circuit: Circuit) -> "nx.MultiGraph[Terminal]":
    """Terminals as nodes, links as edges: the edge's key is the link's number, its data the `link`."""
    graph: nx.MultiGraph[Terminal] = nx.MultiGraph()
    graph.add_nodes_from(circuit.nodes)
    for i, link in enumerate(circuit.links):
        graph.add_edge(link.a, link.b, key=i, link=link)
    return graph

"""The circuit as a networkx graph, for those who want its algorithms."""

from collections.abc import Callable

import networkx as nx

from circuitmap.circuit.link import Link
from circuitmap.circuit.links import Circuit
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Terminal


def every_link(link: Link) -> bool:
    return True


def graph_of(
    circuit: Circuit, fitting: Fitting | None = None, keep: Callable[[Link], bool] = every_link
) -> "nx.MultiGraph[Terminal]":
    """Terminals as nodes, links as edges: the edge's key is the link's number, its data the `link`.

    With a fitting, what is not fitted is left out. `keep` chooses links; every terminal stays a node.
    """
    graph: nx.MultiGraph[Terminal] = nx.MultiGraph()
    graph.add_nodes_from(circuit.nodes)
    for i, link in enumerate(circuit.links):
        if keep(link) and (fitting is None or holds(link.condition, fitting) != Answer.NO):
            graph.add_edge(link.a, link.b, key=i, link=link)
    return graph

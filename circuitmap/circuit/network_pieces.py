"""Which members of a network its wires still join once a connector, a cavity or a splice on them is taken apart."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Network

NETWORK_METAL = ("wire", "copper", "joint", "cavity")
"""Kinds of link that a network's line runs through."""


class Metal(NamedTuple):
    """What is one piece of metal: its `nodes`, and all fitted `links` at them, also those that lead out of it, by their
    numbers, in the order in which they are met."""

    nodes: tuple[int, ...]
    links: tuple[int, ...]


def pieces_still_joined(
    circuit: Circuit, network: Network, fitting: Fitting, opened: frozenset[int]
) -> Mapping[str, frozenset[int]]:
    """For each member whose wires are typed in, the pieces of line that it is still on; empty where nothing is apart.

    A piece is told by the number of one of its nodes. Two members with the same pieces are joined as before; with none
    in common they are apart; with some in common one wire of the pair is interrupted and the other one is not. `opened`
    are numbers of links that no longer conduct (`Circuit.opened_by`).
    """
    fitted = [member for member in network.members if holds(member.condition, fitting) != Answer.NO]
    ends = {
        (member.part, node)
        for member in fitted
        for pin in member.pins
        if (node := circuit.number.get(Terminal(member.part, pin))) is not None
    }
    whole = _pieces(circuit, {node for _, node in ends}, fitting, lambda i: False)
    on_line: dict[int, set[str]] = {}
    for part, node in ends:
        on_line.setdefault(whole[node], set()).add(part)
    shared = {(part, node) for part, node in ends if len(on_line[whole[node]]) > 1}
    left = _pieces(circuit, {node for _, node in shared}, fitting, opened.__contains__)
    if len({left[node] for _, node in shared}) == len({whole[node] for _, node in shared}):
        return {}
    found: dict[str, set[int]] = {}
    for part, node in shared:
        found.setdefault(part, set()).add(left[node])
    return {part: frozenset(pieces) for part, pieces in found.items()}


def _pieces(circuit: Circuit, starts: set[int], fitting: Fitting, is_open: Callable[[int], bool]) -> dict[int, int]:
    """For each node that metal leads to from these, the node that stands for all that are joined."""
    piece: dict[int, int] = {}
    for start in sorted(starts):
        if start not in piece:
            piece.update(dict.fromkeys(metal_from(circuit, start, fitting, is_open).nodes, start))
    return piece


def metal_from(
    circuit: Circuit, start: int, fitting: Fitting, is_open: Callable[[int], bool] = lambda link: False
) -> Metal:
    """All metal of a network's line that is joined to this node, without the links that are open."""
    nodes: dict[int, None] = {start: None}
    links: dict[int, None] = {}
    todo = [start]
    while todo:
        here = todo.pop()
        for i in circuit.at[here]:
            link = circuit.links[i]
            if holds(link.condition, fitting) == Answer.NO:
                continue
            links[i] = None
            if link.kind not in NETWORK_METAL or is_open(i):
                continue
            a, b = circuit.ends[i]
            there = b if a == here else a
            if there not in nodes:
                nodes[there] = None
                todo.append(there)
    return Metal(tuple(nodes), tuple(links))

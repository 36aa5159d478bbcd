"""Which members of a network its wires still join once a connector, a cavity or a splice on them is taken apart."""

from collections.abc import Mapping

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import metal_from
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Network


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
    whole = _pieces(circuit, {node for _, node in ends}, fitting)
    on_line: dict[int, set[str]] = {}
    for part, node in ends:
        on_line.setdefault(whole[node], set()).add(part)
    shared = {(part, node) for part, node in ends if len(on_line[whole[node]]) > 1}
    left = _pieces(circuit, {node for _, node in shared}, fitting, opened)
    if len({left[node] for _, node in shared}) == len({whole[node] for _, node in shared}):
        return {}
    found: dict[str, set[int]] = {}
    for part, node in shared:
        found.setdefault(part, set()).add(left[node])
    return {part: frozenset(pieces) for part, pieces in found.items()}


def _pieces(
    circuit: Circuit, starts: set[int], fitting: Fitting, opened: frozenset[int] = frozenset()
) -> dict[int, int]:
    """For each node that metal leads to from these, the node that stands for all that are joined."""
    piece: dict[int, int] = {}
    for start in sorted(starts):
        if start not in piece:
            piece.update(dict.fromkeys(metal_from(circuit, start, fitting, opened=opened).nodes, start))
    return piece

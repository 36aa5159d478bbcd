"""Which fuses share a current: those with both sides on the same metal."""

from collections.abc import Mapping

from circuitmap.circuit.one_metal import CHARTED_METAL, metal_from
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import Powered
from circuitmap.wiring.fitting import Answer, holds


def fuses_side_by_side(powered: Powered) -> Mapping[str, tuple[str, ...]]:
    """Fuses with both sides on the same two pieces of metal: each carries a share that nobody knows."""
    circuit, state = powered.circuit, powered.state
    piece = _pieces(powered)
    by_ends: dict[frozenset[int], list[str]] = {}
    for link, (a, b) in zip(circuit.links, circuit.ends, strict=True):
        fitted = link.kind in PROTECTIVE and holds(link.condition, state.fitting) == Answer.YES
        if fitted and link.part not in state.pulled:
            by_ends.setdefault(frozenset((piece[a], piece[b])), []).append(link.part)
    return {name: tuple(names) for names in by_ends.values() if len(names) > 1 for name in names}


def _pieces(powered: Powered) -> list[int]:
    """For each terminal one of those in the same piece of metal, the same for all of them."""
    circuit, state = powered.circuit, powered.state
    piece = [-1] * len(circuit.nodes)
    for start in range(len(piece)):
        if piece[start] < 0:
            for node in metal_from(circuit, start, state.fitting, kinds=CHARTED_METAL).nodes:
                piece[node] = start
    return piece

"""What lies beside a piece of wire: of the wire of a fuse, the piece at the same side of the plugs that part both."""

from collections.abc import Iterable
from functools import cached_property

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.wiring.parts import SECOND, Terminal

HALVES = {"a": "l", "l": "a"}


def pieces_of(parked: Parked, its: Iterable[Terminal], outs: Iterable[frozenset[str]]) -> list[list[Terminal]]:
    """The points of one piece of metal, by what parts them once each of `outs` is out."""
    pieces: dict[tuple[int, ...], list[Terminal]] = {}
    apart = [parked.looked_at(parked.state, out).nets.net_of for out in outs]
    for node in its:
        pieces.setdefault(tuple(net_of[parked.circuit.number[node]] for net_of in apart), []).append(node)
    return list(pieces.values())


class LyingBeside:
    """The wire of a fuse beside another wire, `its`, both in the pieces that are left with each of `outs` out."""

    def __init__(self, parked: Parked, its: list[Terminal], fuse: str, outs: Iterable[frozenset[str]]) -> None:
        self._parked, self._its, self._outs = parked, its, tuple(outs)
        self._start = Terminal(fuse, SECOND)
        self._wire = [node for node in parked.platform.nets.of(self._start) if node in parked.circuit.number]

    def point_beside(self, piece: Iterable[Terminal]) -> Terminal:
        """A point of the piece that shares most plugs with the other wire's; the fuse's own terminal where none
        does."""
        halves = {(node.part, self._as_drawn(node)) for node in piece if node.part in self._plugs}
        shared = {n: len(halves & {(at.part, at.half) for at in own}) for n, own in enumerate(self._pieces)}
        best = max(shared, key=lambda n: shared[n])
        return self._pieces[best][0] if shared[best] and self._start not in self._pieces[best] else self._start

    @cached_property
    def _pieces(self) -> list[list[Terminal]]:
        return pieces_of(self._parked, self._wire, self._outs)

    @cached_property
    def _plugs(self) -> dict[str, bool]:
        """The plugs that both wires run through, each with whether both were drawn through it the same way."""
        parts = self._parked.platform.parts
        plugs = {node.part for node in self._its} & {node.part for node in self._wire}
        return {
            plug: self._drawn_alike(plug) for plug in sorted(plugs) if plug in parts and parts[plug].kind == "connector"
        }

    def _as_drawn(self, node: Terminal) -> str:
        """The half of the fuse's wire that is at the same side of a plug."""
        return node.half if self._plugs[node.part] else HALVES.get(node.half, node.half)

    def _drawn_alike(self, plug: str) -> bool:
        """Told by where the ends of both wires are, or those of the other wires in that plug; taken for so where that
        tells nothing."""
        cavities = _cavities(self._parked, plug)
        own = next(node.pin for node in self._its if node.part == plug)
        other = next(node.pin for node in self._wire if node.part == plug)
        alike, left = {own: True}, {pin for pin in cavities if pin != own}
        while other in left:
            near = {(pin, to): _agree(cavities[pin], cavities[to]) for pin in sorted(left) for to in alike}
            pin, to = max(near, key=lambda pair: abs(near[pair]))
            if near[pin, to] == 0:
                return True
            alike[pin] = alike[to] == (near[pin, to] > 0)
            left.discard(pin)
        return alike[other]


def _agree(one: dict[str, set[str]], other: dict[str, set[str]]) -> int:
    """By how many places more two wires through a plug go the same way than the opposite one."""
    return sum(len(one[half] & other[half]) - len(one[half] & other[HALVES[half]]) for half in HALVES)


def _cavities(parked: Parked, plug: str) -> dict[str, dict[str, set[str]]]:
    """For each cavity of a plug the parts, and their boxes, that its halves reach with the plug parted."""
    platform, nets, number = parked.platform, parked.platform.nets, parked.circuit.number
    apart = parked.looked_at(parked.state, frozenset({plug})).nets.net_of
    found: dict[str, dict[str, set[str]]] = {}
    for node in parked.circuit.terminals_of.get(plug, ()):
        joined = (end for end in nets.of(node) if end in number and apart[number[end]] == apart[number[node]])
        names = {end.part for end in joined} - {plug}
        boxes = {box.name for name in names if (box := platform.box_of(name)) is not None}
        found.setdefault(node.pin, {half: set() for half in HALVES})[node.half] = names | boxes
    return found

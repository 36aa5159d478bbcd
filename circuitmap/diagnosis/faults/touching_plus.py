"""A wire that was found on plus and should be dead: rubbed through to a live wire somewhere on its way.

Once its volts were read with something out, it is told in pieces, by what was out: the plugs that part it, and the
fuses whose wire it may touch.
"""

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.candidates_switching import nets_fed_by_relays, with_those_it_wakes
from circuitmap.diagnosis.faults.fault import Candidate, Fault
from circuitmap.diagnosis.faults.fault_kinds import BESIDE_A_CONTACT, CHAFED_WAKE_WIRE
from circuitmap.diagnosis.faults.input_wires import ending, parts_a_wire
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import SECOND, Fuse, Terminal

MOST_PIECES = 12
MOST_BESIDE = 6
"""Of so many neighbours' fuses each is a fault of its own (judgement: a plug with more is a bulkhead's)."""
BESIDE = 0.8
"""Chance that a wire that touches plus touches one of those that run through the same plugs (judgement)."""


class OnPlus(NamedTuple):
    """Where a wire may touch plus: a point of one of its pieces, the ends of that piece (none: it is in one), the live
    point it touches, and the fuse of that (empty: any other)."""

    at: Terminal
    ends: tuple[str, ...]
    live: Terminal
    fuse: str
    share: float


def touching_plus(parked: Parked) -> Iterator[Candidate]:
    """The wires that were found on plus though nothing feeds them while parked; but control wires of relays, which are
    told as such."""
    nets, circuit = parked.powered.nets, parked.circuit
    seen = _control_nets(parked)
    fed_by_relays = nets_fed_by_relays(parked)
    for point in parked.on_plus:
        net = nets.net_of[circuit.number[point]]
        if net in seen or parked.live(point) != Answer.NO or not parked.may_try(point.part):
            continue
        seen.add(net)
        its = [node for n, node in enumerate(circuit.nodes) if nets.net_of[n] == net]
        module, pin = _woken_by(parked, net)
        weight = CHAFED_WAKE_WIRE * (BESIDE_A_CONTACT if net in fed_by_relays else 1.0)
        wire = f"wake wire of {pin}" if module else f"wire at {point}"
        for touch in _touches(parked, net, its):
            state = replace(parked.state, bridged=frozenset({(touch.at, touch.live)}))
            state, powered = with_those_it_wakes(parked, state)
            brings = parked.brought_by(powered)
            if not brings:
                continue
            own = ending(parked, state, (str(pin),)) if module else frozenset()
            part = f"{wire}, {' to '.join(touch.ends)}" if len(touch.ends) > 1 else wire
            fault = Fault(
                kind="chafed", part=f"{part}, against the wire of {touch.fuse}" if touch.fuse else part,
                about=module or part, odds=0.0, brings=brings, module=module, state=state,
                others=(module, str(pin)) if module else (str(point),),
                wakes=frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES),
                lives_by=tuple(supply | own for supply in parked.supplies_of(module)) if module else (),
            )  # fmt: skip
            yield Candidate(fault, weight * touch.share)


def _woken_by(parked: Parked, net: int) -> tuple[str, Terminal]:
    """The module that a net wakes by plus, and its pin; an empty name for none."""
    for sleeper in parked.plan.sleepers:
        for wake in sleeper.wake_pins:
            if parked.powered.nets.net_of[wake.node] == net and wake.by == "plus":
                return sleeper.name, parked.circuit.nodes[wake.node]
    return "", Terminal("")


def _control_nets(parked: Parked) -> set[int]:
    """The nets of control wires by plus: of coils the other end of which is on ground."""
    powered, nodes = parked.powered, parked.circuit.nodes
    found: set[int] = set()
    for coil in parked.plan.coils:
        for end, other in ((coil.plus, coil.minus), (coil.minus, coil.plus)):
            if powered.ground[nodes[other]] == Answer.YES and coil.relay not in parked.state.released:
                found.add(powered.nets.net_of[end])
    return found


def touches_of(parked: Parked, net: int) -> Iterator[OnPlus]:
    """Where a control wire that nothing feeds may touch plus, be it found there or not: told apart are the wires of the
    fuses that run through the same plugs, and what was out."""
    nodes, nets = parked.circuit.nodes, parked.powered.nets
    its = [node for n, node in enumerate(nodes) if nets.net_of[n] == net]
    apart = (frozenset({name}) for name in sorted(parked.told_apart) if parts_a_wire(parked.platform, name))
    beside = _beside(parked, its, _live_fuses(parked))
    return _touches(parked, net, its, beside[:MOST_BESIDE], tuple(apart))


def _touches(
    parked: Parked, net: int, its: list[Terminal], beside: Sequence[str] = (), apart: Iterable[frozenset[str]] = ()
) -> Iterator[OnPlus]:
    """Each piece of a wire, and each live wire that it may touch, by what was out when its volts were read (and
    `apart`), and the fuses `beside`."""
    nets, number = parked.powered.nets, parked.circuit.number
    points = [point for point in parked.on_plus if nets.net_of[number[point]] == net]
    outs = dict.fromkeys((*(out for point in points for out in parked.on_plus[point] if out), *apart))
    pieces = pieces_of(parked, its, outs)
    names = dict.fromkeys(name for out in outs for name in sorted(out))
    live = _live_fuses(parked)
    fuses = [name for name in dict.fromkeys((*names, *beside)) if name in live]
    post = next((way.places[-1] for fuse in live if (way := _way(parked, fuse)) and way.places), "")
    shares = _shares(parked, its, live)
    left = 1.0 - sum(shares[fuse] for fuse in fuses)
    several = len(pieces) > 1
    for piece in pieces[:MOST_PIECES]:
        ends = ends_of(parked, piece, names) if several else ()
        share = 1.0 / len(pieces)
        if Terminal(post, "+") in number:
            yield OnPlus(piece[0], ends, Terminal(post, "+"), "", share * left)
        for fuse in fuses:
            yield OnPlus(piece[0], ends, Terminal(fuse, SECOND), fuse, share * shares[fuse])


def pieces_of(parked: Parked, its: Iterable[Terminal], outs: Iterable[frozenset[str]]) -> list[list[Terminal]]:
    """The points of one piece of metal, by what parts them once each of `outs` is out."""
    pieces: dict[tuple[int, ...], list[Terminal]] = {}
    apart = [parked.looked_at(parked.state, out).nets.net_of for out in outs]
    for node in its:
        pieces.setdefault(tuple(net_of[parked.circuit.number[node]] for net_of in apart), []).append(node)
    return list(pieces.values())


def ends_of(parked: Parked, piece: Iterable[Terminal], parted: Container[str]) -> tuple[str, ...]:
    """Where a piece of wire ends: at parts, and at the plugs that were `parted`."""
    return tuple(dict.fromkeys(str(node) for node in piece if _is_an_end(parked, node, parted)))


def _shares(parked: Parked, its: list[Terminal], live: list[str]) -> dict[str, float]:
    """How likely a wire touches that of each live fuse: one that runs through the same plugs lies beside it."""
    beside = _beside(parked, its, live)
    rest = 1.0 - BESIDE if beside else 1.0
    return {fuse: BESIDE / len(beside) if fuse in beside else rest / (len(live) - len(beside)) for fuse in live}


def _live_fuses(parked: Parked) -> list[str]:
    return [fuse.name for fuse in parked.platform.fuses if parked.live(Terminal(fuse.name, SECOND)) == Answer.YES]


def _beside(parked: Parked, its: Iterable[Terminal], live: Iterable[str]) -> list[str]:
    """The live fuses whose wire runs through a plug that this one runs through, too."""
    key, parts = parked.platform.nets.key, parked.platform.parts
    plugs = {node.part for node in its if node.part in parts and parts[node.part].kind == "connector"}
    there = {key(node) for plug in plugs for node in parked.circuit.terminals_of[plug]}
    return [fuse for fuse in live if key(Terminal(fuse, SECOND)) in there]


def _way(parked: Parked, fuse: str) -> Way | None:
    part = parked.platform.parts[fuse]
    return parked.way_behind(part) if isinstance(part, Fuse) else None


def _is_an_end(parked: Parked, node: Terminal, parted: Container[str]) -> bool:
    """Whether a piece of wire ends there: no splice, and no plug that was not parted."""
    part = parked.platform.parts.get(node.part)
    return part is not None and (part.kind not in ("splice", "joint", "connector") or node.part in parted)

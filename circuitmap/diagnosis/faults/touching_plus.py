"""A wire, or a bar, that was found on plus, by its volts or by what draws there, and should be dead: rubbed through to
a live wire somewhere on its way.

It is held against the wires of the fuses that run beside it, since what it takes then comes by one of those. Once its
volts, or the draw, were read with something out, it is told in pieces, by what was out: the plugs that part it, and the
fuses whose wire it may touch. A piece behind a plug touches what lies behind that plug of the other wire.
"""

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.candidates_switching import fed_past, nets_fed_by_relays, with_those_it_wakes
from circuitmap.diagnosis.faults.fault import Candidate, Fault
from circuitmap.diagnosis.faults.fault_kinds import BESIDE_A_CONTACT, CHAFED_WAKE_WIRE
from circuitmap.diagnosis.faults.input_wires import ending, parts_a_wire
from circuitmap.diagnosis.faults.lying_beside import LyingBeside, pieces_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import SECOND, Fuse, Terminal

MOST_PIECES = 12
MOST_BESIDE = 6
"""Of so many neighbours' fuses each is a fault of its own (judgement: a plug with more is a bulkhead's)."""
BESIDE = 0.8
"""Chance that a wire that touches plus touches one of those that run beside it (judgement)."""
PLUGS, ENDS = frozenset({"connector"}), frozenset({"module", "relay", "switch"})
"""Where wires lie side by side: in the plugs that they run through, and at the parts that both end at."""


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
    told as such. Which wire it touches is told where another current would flow then, or that fuse was out."""
    nets, circuit = parked.powered.nets, parked.circuit
    seen = _control_nets(parked)
    fed_by_relays = nets_fed_by_relays(parked)
    for point in parked.on_plus:
        net = nets.net_of[circuit.number[point]]
        if net in seen or parked.live(point) != Answer.NO or not parked.may_try(point.part):
            continue
        seen.add(net)
        by_any: dict[tuple[str, ...], tuple[Flow, ...]] = {}
        module, pin = _woken_by(parked, net)
        weight = CHAFED_WAKE_WIRE * (BESIDE_A_CONTACT if net in fed_by_relays else 1.0)
        wire = f"wake wire of {pin}" if module else f"wire at {point}"
        for touch in touches_of(parked, net, (PLUGS, ENDS)):
            state = replace(parked.state, bridged=frozenset({(touch.at, touch.live)}))
            state, powered = with_those_it_wakes(parked, state)
            brings = parked.brought_by(powered)
            if not brings:
                continue
            own = ending(parked, state, (str(pin),)) if module else frozenset()
            if not touch.fuse:
                by_any[touch.ends] = brings
            told = touch.fuse in parked.out_when_probed or brings != by_any.get(touch.ends)
            part = f"{wire}, {' to '.join(touch.ends)}" if len(touch.ends) > 1 else wire
            fault = Fault(
                kind="chafed", part=f"{part}, against the wire of {touch.fuse}" if touch.fuse and told else part,
                about=module or part, odds=0.0, brings=brings, module=module, state=state, against=touch.fuse,
                others=(module, str(pin)) if module else (str(point),),
                wakes=frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES),
                lives_by=tuple(supply | own for supply in parked.supplies_of(module)) if module else (),
                fed_past=fed_past(parked, powered),
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


def touches_of(parked: Parked, net: int, together: tuple[frozenset[str], ...] = (PLUGS,)) -> Iterator[OnPlus]:
    """Where a wire that nothing feeds may touch plus, be it found there or not: told apart are the wires of the fuses
    that run through the same plugs (or to the same parts of the kinds `together`), and what was out."""
    nodes, nets = parked.circuit.nodes, parked.powered.nets
    its = [node for n, node in enumerate(nodes) if nets.net_of[n] == net]
    apart = (frozenset({name}) for name in sorted(parked.told_apart) if parts_a_wire(parked.platform, name))
    beside = _beside(parked, its, _live_fuses(parked), together)
    return _touches(parked, net, its, beside, tuple(apart))


def _touches(
    parked: Parked, net: int, its: list[Terminal], beside: Sequence[str], apart: Iterable[frozenset[str]]
) -> Iterator[OnPlus]:
    """Each piece of a wire, and each live wire that it may touch, by what was out when its volts were read (and
    `apart`), and the fuses `beside`."""
    nets, number = parked.powered.nets, parked.circuit.number
    points = [point for point in parked.on_plus if nets.net_of[number[point]] == net]
    outs = dict.fromkeys((*(out for point in points for out in parked.on_plus[point] if out), *apart))
    pieces = pieces_of(parked, its, outs)
    names = dict.fromkeys(name for out in outs for name in sorted(out))
    live = _live_fuses(parked)
    fuses = [name for name in dict.fromkeys((*names, *beside[:MOST_BESIDE])) if name in live]
    post = next((way.places[-1] for fuse in live if (way := _way(parked, fuse)) and way.places), "")
    shares = _shares(beside, live)
    left = 1.0 - sum(shares[fuse] for fuse in fuses)
    several = len(pieces) > 1
    wires = {fuse: LyingBeside(parked, its, fuse, outs) for fuse in fuses} if several else {}
    for piece in pieces[:MOST_PIECES]:
        ends = ends_of(parked, piece, names) if several else ()
        share = 1.0 / len(pieces)
        if Terminal(post, "+") in number:
            yield OnPlus(piece[0], ends, Terminal(post, "+"), "", share * left)
        for fuse in fuses:
            point = wires[fuse].point_beside(piece) if several else Terminal(fuse, SECOND)
            yield OnPlus(piece[0], ends, point, fuse, share * shares[fuse])


def ends_of(parked: Parked, piece: Iterable[Terminal], parted: Container[str]) -> tuple[str, ...]:
    """Where a piece of wire ends: at parts, and at the plugs that were `parted`."""
    return tuple(dict.fromkeys(str(node) for node in piece if _is_an_end(parked, node, parted)))


def _shares(beside: Sequence[str], live: list[str]) -> dict[str, float]:
    """How likely a wire touches that of each live fuse: one that runs beside it is the likelier."""
    rest = 1.0 - BESIDE if beside else 1.0
    return {fuse: BESIDE / len(beside) if fuse in beside else rest / (len(live) - len(beside)) for fuse in live}


def _live_fuses(parked: Parked) -> list[str]:
    return [fuse.name for fuse in parked.platform.fuses if parked.live(Terminal(fuse.name, SECOND)) == Answer.YES]


def _beside(parked: Parked, its: list[Terminal], live: list[str], together: tuple[frozenset[str], ...]) -> list[str]:
    """The live fuses whose wire runs through a plug, or to a part, of one of these kinds that this one runs through or
    to, too; those first that share what is named first."""
    key, parts = parked.platform.nets.key, parked.platform.parts
    found: dict[str, None] = {}
    for kinds in together:
        shared = {node.part for node in its if node.part in parts and parts[node.part].kind in kinds}
        there = {key(node) for part in shared for node in parked.circuit.terminals_of[part]}
        found |= dict.fromkeys(fuse for fuse in live if key(Terminal(fuse, SECOND)) in there)
    return list(found)


def _way(parked: Parked, fuse: str) -> Way | None:
    part = parked.platform.parts[fuse]
    return parked.way_behind(part) if isinstance(part, Fuse) else None


def _is_an_end(parked: Parked, node: Terminal, parted: Container[str]) -> bool:
    """Whether a piece of wire ends there: no splice, and no plug that was not parted."""
    part = parked.platform.parts.get(node.part)
    return part is not None and (part.kind not in ("splice", "joint", "connector") or node.part in parted)

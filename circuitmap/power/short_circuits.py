"""Plus joined to ground in a state of the vehicle, by contacts or by what touches, with no load in between."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.nets import NO, YES
from circuitmap.power.why import why
from circuitmap.wiring.parts import Fuse, Terminal

_MOST_BLOWN = 4
"""Fuses that are followed for one short circuit (judgement)."""


class Short(NamedTuple):
    """The contact that leads to ground, and the fuse before it, which blows; without a fuse the wire glows."""

    contact: str
    fuse: str


def shorts_in(powered: Powered) -> tuple[Short, ...]:
    """All sure short circuits: a closed contact, live on one side and grounded on the other. Of a chain of contacts the
    last is told, the one from which only wire leads to ground."""
    nets, seen, circuit = powered.nets, powered.settled.reach, powered.circuit
    returns = {net for net, _ in powered.run.starts.ground}
    found: dict[Short, None] = {}
    for gate, level in enumerate(powered.settled.levels):
        link = circuit.links[nets.gate_link[gate]]
        if level != YES or not link.contact or link.kind != "contact":
            continue
        for live, grounded in ((link.a, link.b), (link.b, link.a)):
            a, b = (nets.net_of[circuit.number[end]] for end in (live, grounded))
            if b in returns and a not in returns and seen.supply[a] & seen.ground[b]:
                fuses = [s.link.part for s in why(powered, live).steps if s.link and s.link.kind in PROTECTIVE]
                found[Short(link.contact, fuses[-1] if fuses else "")] = None
    return tuple(found)


class Touch(NamedTuple):
    """Two points that touch, plus at the one and ground at the other, and the fuses that blow, one after another, until
    no current is left; `unfused`: a way without a fuse stays."""

    points: tuple[Terminal, Terminal]
    fuses: tuple[str, ...]
    unfused: bool


def touching_shorts(powered: Powered) -> tuple[Touch, ...]:
    """What touches in this state and is a sure short circuit."""
    return tuple(touch for points in sorted(powered.state.bridged) for touch in _touch(powered, points))


def _touch(powered: Powered, points: tuple[Terminal, Terminal]) -> Iterator[Touch]:
    state = powered.state
    apart = replace(state, bridged=state.bridged - {points})
    blown: list[str] = []
    while True:
        before = evaluate(powered.circuit, replace(apart, pulled=state.pulled | set(blown)))
        live = _live_and_grounded(before, points)
        if live is None or len(blown) >= _MOST_BLOWN:
            break
        fuse = _first_to_blow(before, live)
        if not fuse:
            yield Touch(points, tuple(blown), True)
            return
        blown.append(fuse)
    if blown:
        yield Touch(points, tuple(blown), False)


def unsure_touches(powered: Powered) -> tuple[tuple[Terminal, Terminal], ...]:
    """What touches, plus at the one (told first) and ground at the other, where it is not typed in that this ground
    belongs to the battery that gives the plus."""
    found = []
    for points in sorted(powered.state.bridged):
        before = evaluate(powered.circuit, replace(powered.state, bridged=powered.state.bridged - {points}))
        if _live_and_grounded(before, points) is None:
            for live, grounded in (points, points[::-1]):
                supply, ground = before.supply.get(live, NO), before.ground.get(grounded, NO)
                if supply == YES and ground == YES and before.ground.get(live, NO) != YES:
                    found.append((live, grounded))
    return tuple(found)


def _live_and_grounded(powered: Powered, points: tuple[Terminal, Terminal]) -> Terminal | None:
    """The one that has plus while the other has ground of the same battery."""
    seen, number, net_of = powered.settled.reach, powered.circuit.number, powered.nets.net_of
    for live, grounded in (points, points[::-1]):
        if live in number and grounded in number:
            a, b = net_of[number[live]], net_of[number[grounded]]
            if seen.supply[a] & seen.ground[b] and not seen.supply[b]:
                return live
    return None


def _first_to_blow(powered: Powered, live: Terminal) -> str:
    """The smallest fuse on the way to it; of equal ones, or where a rating is not typed, the last."""
    parts = powered.circuit.platform.parts
    fuses = [s.link.part for s in why(powered, live).steps if s.link and s.link.kind in PROTECTIVE]
    rated = [its for name in fuses if isinstance(its := parts[name], Fuse) and its.rating is not None]
    if len(rated) < len(fuses) or not fuses:
        return fuses[-1] if fuses else ""
    least = min(its.rating or 0.0 for its in rated)
    return [its.name for its in rated if its.rating == least][-1]

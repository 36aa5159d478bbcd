"""How far supply and ground get, given how each gate conducts."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from circuitmap.power.nets import MAY_BE, YES, Neighbours, Nets


class Reach(NamedTuple):
    """Per net, which batteries it is joined to: a bit for each cell, and one for a supply of unknown origin; once for
    each world that equipment which nobody mentioned parts (`Nets.worlds`).

    `supply` and `ground` for certain, `perhaps_supply` and `perhaps_ground` including all that may be. `in_series` are
    numbers of takers through which a little current flows only because it goes on through another.
    """

    supply: list[int]
    ground: list[int]
    perhaps_supply: list[int]
    perhaps_ground: list[int]
    in_series: frozenset[int] = frozenset()


class Starts(NamedTuple):
    """Where supply and ground begin, as (net, bits), certain and possible ones."""

    supply: tuple[tuple[int, int], ...]
    ground: tuple[tuple[int, int], ...]
    perhaps_supply: tuple[tuple[int, int], ...]
    perhaps_ground: tuple[tuple[int, int], ...]


class Bridge(NamedTuple):
    """Two nets joined so that, where one is live and the other grounded, current flows but neither becomes like the
    other: points that touch where they should not, a resistor. `level`: how surely it conducts."""

    a: int
    b: int
    level: int


def reach(nets: Nets, levels: Sequence[int], starts: Starts, bridges: tuple[Bridge, ...]) -> Reach:
    """Spread supply from the plus of every cell and ground from its minus.

    Supply never enters the net of its own cell's minus, nor ground that of its plus: a short circuit stays where it
    is. A bridge between a live and a grounded net carries current but changes neither: it is a load, or else the
    fuse has blown. So supply only crosses a bridge to where no ground may be, and ground to where no supply may be.
    What may be supply stops where there is ground for certain, and the other way round.
    """
    supply, ground = [0] * nets.count, [0] * nets.count
    _spread(supply, starts.supply, nets.towards_load, levels, YES, nets.keeps_supply_out)
    _spread(ground, starts.ground, nets.towards_supply, levels, YES, nets.keeps_ground_out)
    perhaps_supply, perhaps_ground = _perhaps(nets, levels, starts, supply, ground)
    if bridges:
        surely = tuple(its for its in bridges if its.level == YES)
        _cross(supply, perhaps_ground, surely, nets.towards_load, levels, nets.keeps_supply_out)
        _cross(ground, perhaps_supply, surely, nets.towards_supply, levels, nets.keeps_ground_out)
        perhaps_supply, perhaps_ground = _perhaps(nets, levels, starts, supply, ground)
        _cross_perhaps(perhaps_supply, ground, bridges, nets.towards_load, levels, nets.passes)
        _cross_perhaps(perhaps_ground, supply, bridges, nets.towards_supply, levels, nets.passes)
    return Reach(supply, ground, perhaps_supply, perhaps_ground)


def _perhaps(
    nets: Nets, levels: Sequence[int], starts: Starts, supply: list[int], ground: list[int]
) -> tuple[list[int], list[int]]:
    perhaps_supply, perhaps_ground = supply.copy(), ground.copy()
    _spread_further(perhaps_supply, starts.perhaps_supply, nets.towards_load, levels, ground, nets.passes)
    _spread_further(perhaps_ground, starts.perhaps_ground, nets.towards_supply, levels, supply, nets.passes)
    return perhaps_supply, perhaps_ground


def _spread(
    bits: list[int],
    starts: tuple[tuple[int, int], ...],
    neighbours: tuple[Neighbours, ...],
    levels: Sequence[int],
    enough: int,
    kept_out: Sequence[int],
) -> None:
    stack = []
    for net, its in starts:
        bits[net] |= its
        stack.append(net)
    while stack:
        net = stack.pop()
        its = bits[net]
        for other, gate in neighbours[net]:
            if levels[gate] >= enough:
                new = its & ~bits[other] & ~kept_out[other]
                if new:
                    bits[other] |= new
                    stack.append(other)


def _spread_further(
    bits: list[int],
    starts: tuple[tuple[int, int], ...],
    neighbours: tuple[Neighbours, ...],
    levels: Sequence[int],
    certain_opposite: list[int],
    passes: Sequence[int],
) -> None:
    """From everything that is certain and the possible starts, through what may conduct, up to where the other side is
    certain. `passes` are the bits that each gate lets pass."""
    stack = [net for net, its in enumerate(bits) if its]
    for net, its in starts:
        if not certain_opposite[net] and its & ~bits[net]:
            bits[net] |= its
            stack.append(net)
    while stack:
        net = stack.pop()
        its = bits[net]
        for other, gate in neighbours[net]:
            if levels[gate] >= MAY_BE:
                new = its & passes[gate] & ~bits[other]
                if new and not certain_opposite[other]:
                    bits[other] |= new
                    stack.append(other)


def _both_ways(bridges: tuple[Bridge, ...]) -> Iterator[tuple[int, int]]:
    for a, b, _ in bridges:
        yield a, b
    for a, b, _ in bridges:
        yield b, a


def _cross(
    bits: list[int],
    opposite: list[int],
    bridges: tuple[Bridge, ...],
    neighbours: tuple[Neighbours, ...],
    levels: Sequence[int],
    kept_out: Sequence[int],
) -> None:
    changed = True
    while changed:
        changed = False
        for start, end in _both_ways(bridges):
            new = bits[start] & ~bits[end] & ~kept_out[end]
            if new and not opposite[end]:
                _spread(bits, ((end, new),), neighbours, levels, YES, kept_out)
                changed = True


def _cross_perhaps(
    bits: list[int],
    opposite: list[int],
    bridges: tuple[Bridge, ...],
    neighbours: tuple[Neighbours, ...],
    levels: Sequence[int],
    passes: Sequence[int],
) -> None:
    changed = True
    while changed:
        changed = False
        for start, end in _both_ways(bridges):
            new = bits[start] & ~bits[end]
            if new and not opposite[end]:
                bits[end] |= new
                _spread_further(bits, (), neighbours, levels, opposite, passes)
                changed = True

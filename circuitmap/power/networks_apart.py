"""Networks whose wires something taken apart has parted, and who is on which piece."""

from typing import NamedTuple

from circuitmap.power.evaluate import Powered


class NetworkApart(NamedTuple):
    """`pieces` are the members that still hear one another, the piece with most of them first. `one_wire`: between some
    pieces one wire of the pair still leads."""

    network: str
    pieces: tuple[tuple[str, ...], ...]
    one_wire: bool


def networks_apart(powered: Powered) -> tuple[NetworkApart, ...]:
    """Only those that are in more than one piece that has a member."""
    found = []
    lines, sleepers = powered.run.lines.lines, powered.plan.sleepers
    for name, numbers in powered.lines_of_network.items():
        split = [lines[n] for n in numbers if name and lines[n].is_split]
        on = [[sleepers[s].name for s, _ in its.members if s not in its.by_one_wire] for its in split]
        pieces = tuple(tuple(names) for names in on if names)
        if len(pieces) > 1:
            found.append(NetworkApart(name, pieces, any(its.by_one_wire for its in split)))
    return tuple(found)

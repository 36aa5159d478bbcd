"""Batteries whose pluses are joined in a state of the vehicle, and the contacts that join them."""

from collections import deque
from typing import Literal, NamedTuple

from circuitmap.circuit.path import PROTECTIVE
from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO, YES
from circuitmap.wiring.fitting import Answer


class Joined(NamedTuple):
    """Two batteries, the contacts and the fuses between their pluses, and whether these surely conduct. `way`: the
    fuses, contacts, bars and studs from the one to the other, in this order."""

    batteries: tuple[str, str]
    contacts: tuple[str, ...]
    surely: Answer
    fuses: tuple[str, ...] = ()
    way: tuple[str, ...] = ()


def joined_batteries(powered: Powered) -> tuple[Joined, ...]:
    """Batteries side by side with no contact between them are not told: they are always joined."""
    posts: dict[int, str] = {cell.plus: cell.battery for cell in powered.plan.cells}
    found: dict[tuple[str, ...], Joined] = {}
    for post, battery in posts.items():
        for other, passed, level in batteries_reached(powered, post, posts):
            contacts = tuple(name for name, kind in passed if kind == "contact")
            fuses = tuple(name for name, kind in passed if kind == "fuse")
            two = tuple(sorted((battery, other)))
            if len(set(two)) == 2 and contacts and two not in found:
                way = tuple(name for name, _ in (passed if two[0] == battery else reversed(passed)))
                found[two] = Joined((two[0], two[1]), contacts, ANSWERS[level], fuses, way)
    return tuple(found[two] for two in sorted(found))


Passed = tuple[tuple[str, Literal["contact", "fuse", "stud"]], ...]
"""Contacts, fuses, and the bars and studs between them, in the order of the current."""


def batteries_reached(powered: Powered, post: int, posts: dict[int, str]) -> list[tuple[str, Passed, int]]:
    """Other posts that the current of one battery, or of what charges them, reaches, first over what surely
    conducts."""
    circuit = powered.circuit
    found: dict[int, tuple[Passed, int]] = {}
    for least in range(YES, NO, -1):
        ways: dict[int, Passed] = {post: ()}
        queue = deque([post])
        while queue:
            at = queue.popleft()
            if at != post and at in posts:
                found.setdefault(at, (ways[at], least))
                continue
            for i in circuit.at[at]:
                a, b = circuit.ends[i]
                there = b if a == at else a
                link = circuit.links[i]
                converted = link.output is not None and bool(link.output.volts)  # feeds, and joins nothing
                if there in ways or link.kind == "battery" or (link.one_way and at != a) or converted:
                    continue
                if level_of(powered, i) >= least:
                    ways[there] = ways[at]
                    if link.contact or link.kind in PROTECTIVE:
                        kind: Literal["contact", "fuse"] = "contact" if link.contact else "fuse"
                        ways[there] += ((link.contact or link.part, kind),)
                    stud = circuit.platform.parts.get(circuit.nodes[there].part)
                    if stud is not None and stud.kind in ("bar", "terminal"):
                        ways[there] += ((stud.name, "stud"),)
                    queue.append(there)
    return [(posts[at], passed, level) for at, (passed, level) in found.items()]

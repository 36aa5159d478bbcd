"""Batteries whose pluses are joined in a state of the vehicle, and the contacts that join them."""

from collections import deque
from typing import NamedTuple

from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO, YES
from circuitmap.wiring.fitting import Answer


class Joined(NamedTuple):
    """Two batteries, the contacts between their pluses, and whether these surely conduct."""

    batteries: tuple[str, str]
    contacts: tuple[str, ...]
    surely: Answer


def joined_batteries(powered: Powered) -> tuple[Joined, ...]:
    """Batteries side by side with no contact between them are not told: they are always joined."""
    posts: dict[int, str] = {cell.plus: cell.battery for cell in powered.plan.cells}
    found: dict[tuple[str, ...], Joined] = {}
    for post, battery in posts.items():
        for other, contacts, level in _reached(powered, post, posts):
            two = tuple(sorted((battery, other)))
            if len(set(two)) == 2 and contacts and two not in found:
                found[two] = Joined((two[0], two[1]), contacts, ANSWERS[level])
    return tuple(found[two] for two in sorted(found))


def _reached(powered: Powered, post: int, posts: dict[int, str]) -> list[tuple[str, tuple[str, ...], int]]:
    """Other posts that the current of one battery reaches, first over what surely conducts."""
    circuit = powered.circuit
    found: dict[int, tuple[tuple[str, ...], int]] = {}
    for least in range(YES, NO, -1):
        ways: dict[int, tuple[str, ...]] = {post: ()}
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
                if there in ways or link.kind == "battery" or (link.one_way and at != a):
                    continue
                if level_of(powered, i) >= least:
                    ways[there] = (*ways[at], link.contact) if link.contact else ways[at]
                    queue.append(there)
    return [(posts[at], contacts, level) for at, (contacts, level) in found.items()]

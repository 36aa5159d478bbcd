"""Pins on the copper that feeds a hands-off thing: a probe there is a probe at its feed.

Nothing lies between but wires, splices and plugs, so a slip with the probe does there what it would do at the thing
itself. The branch's own plug may be unplugged all the same: that opens nothing of the feed.
"""

from collections.abc import Container, Iterator, Mapping, Sequence

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.circuit.link import Link, LinkKind
from circuitmap.wiring.parts import FIRST, Fuse, Load, Terminal
from circuitmap.wiring.platform import Platform

_COPPER: tuple[LinkKind, ...] = ("wire", "copper", "chart", "cavity", "joint")


def same_copper(
    platform: Platform,
    nodes: Sequence[Terminal],
    links: Sequence[Link],
    ends: Sequence[tuple[int, int]],
    marked: Mapping[int, Untouchable],
    roots: Container[int],
) -> dict[Terminal, Untouchable]:
    """The terminals that only copper joins to a `marked` node, and that are not marked themselves.

    Not so at the `roots`, which are batteries and grounds, nor on the bars that fuses take their feed from: there a
    fuse parts it from what is hands-off. But the thing's own pins keep all their copper to themselves.
    """
    around: dict[int, list[int]] = {}
    for link, (a, b) in zip(links, ends, strict=False):  # an empty fuse slot has ends beyond the links
        if link.kind in _COPPER:
            around.setdefault(a, []).append(b)
            around.setdefault(b, []).append(a)
    found: dict[Terminal, Untouchable] = {}
    seen: set[int] = set()
    for start in marked:
        if start in seen:
            continue
        island = set(_island(start, around))
        seen |= island
        if any(node in roots for node in island):
            continue
        its = _told(platform, nodes, island, marked)
        if its is None:
            continue
        for node in island:
            if node not in marked and nodes[node].part in platform.parts:
                found[nodes[node]] = its._replace(how="same-copper")
    return found


def _island(start: int, around: Mapping[int, Sequence[int]]) -> Iterator[int]:
    seen, todo = {start}, [start]
    while todo:
        here = todo.pop()
        yield here
        for there in around.get(here, ()):
            if there not in seen:
                seen.add(there)
                todo.append(there)


def _told(
    platform: Platform, nodes: Sequence[Terminal], island: set[int], marked: Mapping[int, Untouchable]
) -> Untouchable | None:
    """What makes this copper no place for a probe; None where fuses part it from every such thing, or where it only
    takes its current away."""
    by_how = {its.how: its for node in island if (its := marked.get(node)) is not None}
    own = by_how.get("itself")
    if own is not None and any(
        isinstance(platform.parts.get(nodes[node].part), Load) for node in island if marked.get(node) == own
    ):
        return own
    if any(isinstance(platform.parts.get(nodes[node].part), Fuse) and nodes[node].pin == FIRST for node in island):
        return None
    return next((by_how[how] for how in ("itself", "feeds", "carries", "hangs-on", "may-feed") if how in by_how), None)

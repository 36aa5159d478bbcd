"""What lies behind each fuse, as islands: what metal joins, and contacts that stand in no other's way."""

from collections.abc import Sequence

from circuitmap.circuit.links import METAL, Circuit
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.wiring.parts import FIRST, SECOND, Battery, Fuse, Load, Relay, Switch, Terminal


class FuseIslands:
    """What is joined by metal and by contacts that stand in no other's way: the islands between the fuses. A set of
    them is a number with a bit for each, since a hundred fuses may each feed a thousand."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        joined: list[list[int]] = [[] for _ in circuit.nodes]
        onward: list[tuple[int, int]] = []
        for link, (a, b) in zip(circuit.links, circuit.ends, strict=True):
            if link.condition:
                continue
            if link.kind in PROTECTIVE:
                onward.append((a, b))
            elif link.kind in METAL or (link.kind == "contact" and _closes_for_itself(circuit, link.part)):
                joined[a].append(b)
                joined[b].append(a)
        self._island = _islands(joined)
        self._behind = self._reached([(self._island[a], self._island[b]) for a, b in onward])
        self._fuses = [its for fuse in circuit.platform.fuses if not fuse.empty and (its := self._sides(fuse))]
        self.with_source = 0
        self._loads: dict[int, list[Load]] = {}
        for node, end in enumerate(circuit.nodes):
            here = self._island[node]
            part = circuit.platform.parts.get(end.part)
            if _is_source(circuit, end):
                self.with_source |= 1 << here
            if isinstance(part, Load) and part.running and not part.condition and part.roles.get(end.pin) == "supply":
                self._loads.setdefault(here, []).append(part)

    def _reached(self, onward: Sequence[tuple[int, int]]) -> Sequence[int]:
        """The islands that each feeds by its fuses, itself included. What is fed last is looked at first, so that the
        first round finds everything where the fuses lead in no ring."""
        found = [1 << island for island in range(max(self._island, default=-1) + 1)]
        fed: list[list[int]] = [[] for _ in found]
        for ahead, behind in onward:
            fed[ahead].append(behind)
        order = _last_first(fed)
        changed = True
        while changed:
            changed = False
            for ahead in order:
                its = found[ahead]
                for behind in fed[ahead]:
                    its |= found[behind]
                changed = changed or its != found[ahead]
                found[ahead] = its
        return found

    def _sides(self, fuse: Fuse) -> tuple[Fuse, int, int] | None:
        """A fuse with the islands ahead of it, -1 for none, and behind it."""
        ahead, behind = (self._circuit.number.get(Terminal(fuse.name, pin)) for pin in (FIRST, SECOND))
        return (
            (fuse, self._island[ahead] if ahead is not None else -1, self._island[behind])
            if behind is not None
            else None
        )

    def behind(self, fuse: Fuse) -> int:
        """The islands that a fuse feeds, also through other fuses, but back through none."""
        sides = self._sides(fuse)
        return self._behind[sides[2]] if sides is not None else 0

    def side_by_side(self, islands: int) -> list[Fuse]:
        """The fuses by which current comes to these islands, not those behind one another."""
        return sorted(
            (
                fuse
                for fuse, ahead, behind in self._fuses
                if islands >> behind & 1 and not (ahead >= 0 and islands >> ahead & 1)
            ),
            key=lambda its: its.name,
        )

    def loads_at(self, islands: int) -> list[Load]:
        """The loads whose supply is here, each once, that need no equipment and whose current was typed."""
        return list({load.name: load for n, its in self._loads.items() if islands >> n & 1 for load in its}.values())


def _closes_for_itself(circuit: Circuit, part: str) -> bool:
    its = circuit.platform.parts[part]
    return isinstance(its, Relay | Switch) and len(its.contacts) == 1


def _is_source(circuit: Circuit, end: Terminal) -> bool:
    """Whether current may come from here as well: then the fuses say nothing of how much."""
    part = circuit.platform.parts.get(end.part)
    if isinstance(part, Battery) or end in circuit.unknown_supplies or end in circuit.on_ground:
        return True
    return part is not None and part.kind in ("alternator", "charger", "ground")


def _islands(joined: Sequence[Sequence[int]]) -> list[int]:
    """The number of each node's island."""
    island = [-1] * len(joined)
    count = 0
    for start in range(len(joined)):
        if island[start] >= 0:
            continue
        island[start], todo = count, [start]
        while todo:
            for there in joined[todo.pop()]:
                if island[there] < 0:
                    island[there] = count
                    todo.append(there)
        count += 1
    return island


def _last_first(fed: Sequence[Sequence[int]]) -> list[int]:
    """All islands, each behind those that it feeds, except in a ring."""
    order: list[int] = []
    seen: set[int] = set()
    for start in range(len(fed)):
        todo = [(start, False)]
        while todo:
            here, done = todo.pop()
            if done:
                order.append(here)
            elif here not in seen:
                seen.add(here)
                todo.append((here, True))
                todo += [(there, False) for there in fed[here] if there not in seen]
    return order

"""Which links of a block lie on a way through it at all: one that leads into a dead end does not.

Where current passes some links one way only, or not at all, a block may hold spurs: nodes that the way up comes to, and
from which it gets no further but by the way it came. An edge lies on no way that passes no node twice if all ways from
its upper end go back over its lower one, or all ways to its lower end came over its upper one. Both are questions of
dominators (Cooper, Harvey, Kennedy 2001), so that no way that conducts is ever lost by them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

Edge = tuple[int, int, int]
"""A link, the node that current comes to over it, and the node that it comes from."""


def without_dead_ends(edges: Sequence[Edge], entry: int, start: int) -> list[Edge]:
    """Those of the edges of a block, all come to from `start`, that may lie on a way from there up to `entry`."""
    up: dict[int, list[int]] = {}
    down: dict[int, list[int]] = {}
    for _, here, there in edges:
        up.setdefault(here, []).append(there)
        down.setdefault(there, []).append(here)
    from_above, from_below = _Dominators(down, up, entry), _Dominators(up, down, start)
    return [
        (link, here, there)
        for link, here, there in edges
        if from_above.comes_without(there, here) and from_below.comes_without(here, there)
    ]


class _Dominators:
    """The nodes that are come to from `root`, each with those that every way there passes."""

    def __init__(self, onward: Mapping[int, Iterable[int]], back: Mapping[int, Iterable[int]], root: int) -> None:
        order = list(_last_first(onward, root))
        turn = {node: n for n, node in enumerate(order)}
        above = {root: root}
        changed = True
        while changed:
            changed = False
            for node in order[1:]:
                nearest = -1
                for its in back.get(node, ()):
                    if its in above:
                        nearest = its if nearest < 0 else _meeting(its, nearest, above, turn)
                if above.get(node) != nearest:
                    above[node] = nearest
                    changed = True
        self._above, self._turn, self._root = above, turn, root

    def comes_without(self, node: int, without: int) -> bool:
        """Whether some way comes to a node without passing another one; false for that one itself."""
        if node not in self._above:
            return False
        while self._turn[node] > self._turn.get(without, -1) and node != self._root:
            node = self._above[node]
        return node != without


def _meeting(one: int, other: int, above: Mapping[int, int], turn: Mapping[int, int]) -> int:
    while one != other:
        if turn[one] > turn[other]:
            one = above[one]
        else:
            other = above[other]
    return one


def _last_first(onward: Mapping[int, Iterable[int]], root: int) -> Iterator[int]:
    """All nodes that are come to from `root`, each before those that are come to only by it."""
    seen, done = {root}, []
    stack = [(root, iter(onward.get(root, ())))]
    while stack:
        node, rest = stack[-1]
        following = next((its for its in rest if its not in seen), None)
        if following is None:
            done.append(node)
            stack.pop()
        else:
            seen.add(following)
            stack.append((following, iter(onward.get(following, ()))))
    return reversed(done)

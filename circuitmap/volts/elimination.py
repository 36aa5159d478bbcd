"""Sparse symmetric elimination in pure Python: the harness of a vehicle is nearly a tree, so next to nothing fills in.

The order is that of least degree (Tinney and Walker 1967), worked out once for all values on the same pairs of nodes.
"""

from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush


class Elimination:
    """The order in which the nodes of one net are eliminated; `count` nodes, joined in `pairs`."""

    def __init__(self, count: int, pairs: Iterable[tuple[int, int]]) -> None:
        around: list[set[int]] = [set() for _ in range(count)]
        for a, b in pairs:
            if a != b:
                around[a].add(b)
                around[b].add(a)
        heap = [(len(its), node) for node, its in enumerate(around)]
        heapify(heap)
        gone = [False] * count
        order: list[int] = []
        fill: list[list[int]] = [[] for _ in range(count)]
        while heap:
            degree, node = heappop(heap)
            if gone[node] or degree != len(around[node]):
                continue
            gone[node] = True
            order.append(node)
            its = around[node]
            fill[node] = list(its)
            for other in its:
                beyond = around[other]
                beyond |= its
                beyond.discard(node)
                beyond.discard(other)
                heappush(heap, (len(beyond), other))
        self.order = order
        self.rank = [0] * count
        for rank, node in enumerate(order):
            self.rank[node] = rank
        self._later = [sorted(self.rank[other] for other in fill[node]) for node in order]
        """For each rank, the ranks of the later nodes that it is joined to once those before it are gone."""

    @property
    def entries(self) -> int:
        """How many values the factor has beside its diagonal: what one solution costs."""
        return sum(map(len, self._later))

    def factor(self, diagonal: Sequence[float], between: Iterable[tuple[int, int, float]]) -> "Factor":
        """The factor of a positive definite matrix: its diagonal by node, and its values at pairs of nodes."""
        rank, order = self.rank, self.order
        rows: list[dict[int, float]] = [dict.fromkeys(later, 0.0) for later in self._later]
        pivots = [diagonal[node] for node in order]
        for a, b, value in between:
            i, j = rank[a], rank[b]
            if i < j:
                rows[i][j] += value
            elif j < i:
                rows[j][i] += value
        for i, row in enumerate(rows):
            pivot = pivots[i]
            later = self._later[i]
            for n, j in enumerate(later):
                share = row[j] / pivot
                pivots[j] -= share * row[j]
                if n + 1 < len(later):
                    below = rows[j]
                    for k in later[n + 1 :]:
                        below[k] -= share * row[k]
        return Factor(order, rank, pivots, [list(row.items()) for row in rows])


class Factor:
    """A matrix taken apart, ready for right-hand sides."""

    __slots__ = ("_order", "_pivots", "_rank", "_rows")

    def __init__(
        self, order: list[int], rank: list[int], pivots: list[float], rows: list[list[tuple[int, float]]]
    ) -> None:
        self._order, self._rank, self._pivots, self._rows = order, rank, pivots, rows

    def solve(self, right: Sequence[float]) -> list[float]:
        """The solution for one right-hand side, by node."""
        pivots, rows = self._pivots, self._rows
        found = [right[node] for node in self._order]
        for i, row in enumerate(rows):
            if found[i]:
                share = found[i] / pivots[i]
                for j, value in row:
                    found[j] -= share * value
        for i in range(len(rows) - 1, -1, -1):
            total = found[i]
            for j, value in rows[i]:
                total -= value * found[j]
            found[i] = total / pivots[i]
        rank = self._rank
        return [found[rank[node]] for node in range(len(found))]

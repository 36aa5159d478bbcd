"""Which items of two sequences are the same, found with work that grows no faster than their length.

For small stretches the longest common subsequence is found; in large ones, the items that each holds only once are
matched first and divide them into small ones. A large stretch without such items counts as replaced.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence

MOST_CELLS = 1_000_000
"""Most pairs of items that are compared in one stretch; a row of pairs is one number, compared in one go."""
MOST_ITEMS = 200_000
"""Most items of both sequences together that are matched; with more, only the equal beginning and end are matched."""
MOST_PARTINGS = 8
"""How often stretches are divided by what they hold only once. Each time costs one look at every item."""

Run = tuple[int, int, int]
"""An equal stretch: where it starts in both sequences, and its length."""
Pair = tuple[int, int]


def alignment(a: Sequence[str], b: Sequence[str]) -> list[Run]:
    """The equal stretches in the order of both."""
    runs: list[Run] = []
    for i, j, length in _matches(a, b, 0, len(a), 0, len(b), MOST_PARTINGS if len(a) + len(b) <= MOST_ITEMS else 0):
        if runs and runs[-1][0] + runs[-1][2] == i and runs[-1][1] + runs[-1][2] == j:
            runs[-1] = (runs[-1][0], runs[-1][1], runs[-1][2] + length)
        else:
            runs.append((i, j, length))
    return runs


def _matches(a: Sequence[str], b: Sequence[str], i: int, m: int, j: int, n: int, partings: int) -> Iterator[Run]:
    """The matched stretches of a[i:m] and b[j:n]."""
    start = i
    while i < m and j < n and a[i] == b[j]:
        i, j = i + 1, j + 1
    if start < i:
        yield start, j - (i - start), i - start
    same_end = 0
    while i < m - same_end and j < n - same_end and a[m - same_end - 1] == b[n - same_end - 1]:
        same_end += 1
    m, n = m - same_end, n - same_end
    if i < m and j < n:
        if (m - i) * (n - j) <= MOST_CELLS:
            yield from ((i + x, j + y, 1) for x, y in _longest_common(a[i:m], b[j:n]))
        elif partings:
            for next_i, next_j in (*_single(a, b, i, m, j, n), (m, n)):
                yield from _matches(a, b, i, next_i, j, next_j, partings - 1)
                if next_i < m:
                    yield next_i, next_j, 1
                i, j = next_i + 1, next_j + 1
    if same_end:
        yield m, n, same_end


def _single(a: Sequence[str], b: Sequence[str], i: int, m: int, j: int, n: int) -> list[Pair]:
    """Pairs of items that each stretch holds only once, as many as stand in the same order in both."""
    counts_a, counts_b = Counter(a[i:m]), Counter(b[j:n])
    where = {b[y]: y for y in range(j, n) if counts_b[b[y]] == 1}
    pairs = [(x, where[a[x]]) for x in range(i, m) if counts_a[a[x]] == 1 and a[x] in where]
    tails: list[int] = []
    last: list[int] = []
    before: list[int] = []
    for number, (_, y) in enumerate(pairs):
        at = bisect_left(tails, y)
        tails[at : at + 1] = [y]
        last[at : at + 1] = [number]
        before.append(last[at - 1] if at else -1)
    chain: list[Pair] = []
    number = last[-1] if last else -1
    while number >= 0:
        chain.append(pairs[number])
        number = before[number]
    return chain[::-1]


def _longest_common(a: Sequence[str], b: Sequence[str]) -> list[Pair]:
    """A longest common subsequence, a row at a time: a row of the table is a number with a bit for each item of the
    shorter sequence."""
    if len(b) > len(a):
        return [(x, y) for y, x in _longest_common(b, a)]
    masks = dict.fromkeys(b, 0)
    for y, item in enumerate(b):
        masks[item] |= 1 << y
    full = (1 << len(b)) - 1
    row = full
    rows: list[int] = []
    for item in a:
        matching = row & masks.get(item, 0)
        row = ((row + matching) | (row - matching)) & full
        rows.append(row)
    pairs: list[Pair] = []
    x, y = len(a), len(b)
    while x and y:
        bit = 1 << (y - 1)
        if rows[x - 1] & bit:
            y -= 1
            continue
        x -= 1
        if x and not rows[x - 1] & bit:
            continue
        y -= 1
        pairs.append((x, y))
    return pairs[::-1]

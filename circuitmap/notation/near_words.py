"""Which word of the notation was meant by a word that is not one."""

from collections.abc import Iterable

_LONGEST = 20


def near_word(written: str, known: Iterable[str]) -> str:
    """The known word that was probably meant, or "" when none is near or two are equally near.

    Case is a slip of its own: `Module` and `MODULE` mean `module`; a name in capitals is never taken for a keyword
    that it only resembles.
    """
    if not written.isascii() or len(written) > _LONGEST:
        return ""
    best: dict[int, list[str]] = {}
    for word in known:
        if written != word and written.lower() == word:
            return word
        slips = slips_between(written if written[:1].islower() else written[:1].lower() + written[1:], word)
        if slips <= _allowed(len(written), len(word)):
            best.setdefault(slips, []).append(word)
    if not best:
        return ""
    nearest = best[min(best)]
    return nearest[0] if len(nearest) == 1 else ""


def _allowed(written: int, known: int) -> int:
    if written < 2 or known < 3:
        return 0
    return 1 if min(written, known) < 6 else 2


def slips_between(a: str, b: str) -> int:
    """How many slips of a finger turn one word into the other: a letter missing, added, wrong, or two swapped.

    This is the optimal string alignment distance.
    """
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, letter in enumerate(a, 1):
        above, row, earlier = row, [i], before
        for j, other in enumerate(b, 1):
            cost = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == b[j - 2] and a[i - 2] == other:
                cost = min(cost, earlier[j - 2] + 1)
            row.append(cost)
        before = above
    return row[-1]

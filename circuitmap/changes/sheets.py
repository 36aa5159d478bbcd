"""Which sheet of one version is which of another: by its number or, where that was changed, by what stands on it."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.changes.blocks import SheetSection
from circuitmap.changes.statement_keys import without_comments, words_of

Id = tuple[str, int]


class SheetVersions(NamedTuple):
    """One sheet in three versions; None where a version does not have it.

    `reused_by`: ours (1) or theirs (2) gave its number to what stood on another sheet, and another number to what stood
    here. Then the other side's changes here cannot be placed.
    """

    base: SheetSection | None
    ours: SheetSection | None
    theirs: SheetSection | None
    reused_by: frozenset[int] = frozenset()


class PairedSheets(NamedTuple):
    """`orders` are the sheets of base, ours and theirs in their order there."""

    sheets: dict[Id, SheetVersions]
    orders: tuple[list[Id], list[Id], list[Id]]


def paired_sheets(
    base: Sequence[SheetSection], ours: Sequence[SheetSection], theirs: Sequence[SheetSection]
) -> PairedSheets:
    """The first section of each version, which is on no sheet, always has the first id."""
    ids: list[list[Id]] = [[("base", number) for number in range(len(base))]]
    reused: dict[Id, set[int]] = defaultdict(set)
    for side, sections in ((1, ours), (2, theirs)):
        pairs = _pairs(base, sections)
        seen: Counter[str] = Counter()
        its_ids: list[Id] = []
        for number, section in enumerate(sections):
            if number in pairs:
                its_ids.append(("base", pairs[number]))
            else:
                its_ids.append((f"new {section.name}", seen[section.name]))
                seen[section.name] += 1
        ids.append(its_ids)
        for number in _reused(base, sections, pairs):
            reused["base", number].add(side)
    old, mine, other = (
        dict(zip(its, sections, strict=True)) for its, sections in zip(ids, (base, ours, theirs), strict=True)
    )
    sheets = {
        id_: SheetVersions(old.get(id_), mine.get(id_), other.get(id_), frozenset(reused[id_]))
        for id_ in (old | mine | other)
    }
    return PairedSheets(sheets, (ids[0], ids[1], ids[2]))


def _pairs(base: Sequence[SheetSection], side: Sequence[SheetSection]) -> dict[int, int]:
    """For each section of a side, the number of the base's section that it continues, where there is one."""
    pairs: dict[int, int] = {0: 0}
    by_name: dict[str, tuple[list[int], list[int]]] = defaultdict(lambda: ([], []))
    for which, sections in enumerate((base, side)):
        for number, section in enumerate(sections[1:], 1):
            by_name[section.name][which].append(number)
    for before, now in by_name.values():
        if len(before) == len(now):
            pairs.update(zip(now, before, strict=True))
        else:
            found: dict[int, int] = {}
            for pair in (_alike, _same_heading, _in_order):
                taken = set(found.values())
                left = [number for number in before if number not in taken]
                found |= pair(base, left, side, [number for number in now if number not in found])
            pairs |= found
    taken = set(pairs.values())
    left = [number for number in range(len(base)) if number not in taken]
    return pairs | _alike(base, left, side, [number for number in range(len(side)) if number not in pairs])


def _alike(
    base: Sequence[SheetSection], before: list[int], side: Sequence[SheetSection], now: list[int]
) -> dict[int, int]:
    """Sections that share at least half of what stands on the smaller one; only what stands on no other section
    counts."""
    held_before, held_now = _held_once(base, before), _held_once(side, now)
    shared: Counter[tuple[int, int]] = Counter(
        (held_now[text], number) for text, number in held_before.items() if text in held_now
    )
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for (number_now, number_before), count in sorted(shared.items(), key=lambda item: (-item[1], item[0])):
        smaller = min(len(base[number_before].blocks), len(side[number_now].blocks))
        if 2 * count >= smaller and number_now not in pairs and number_before not in taken:
            pairs[number_now] = number_before
            taken.add(number_before)
    return pairs


def _same_heading(
    base: Sequence[SheetSection], before: list[int], side: Sequence[SheetSection], now: list[int]
) -> dict[int, int]:
    headings: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for number in reversed(before):
        headings[_heading(base[number])].append(number)
    return {number: headings[_heading(side[number])].pop() for number in now if headings[_heading(side[number])]}


def _heading(section: SheetSection) -> tuple[str, ...]:
    return tuple(without_comments(words_of(section.heading.text))) if section.heading is not None else ()


def _in_order(
    base: Sequence[SheetSection], before: list[int], side: Sequence[SheetSection], now: list[int]
) -> dict[int, int]:
    return dict(zip(now, before, strict=False))


def _held_once(sections: Sequence[SheetSection], numbers: Iterable[int]) -> dict[str, int]:
    """Each statement that stands in only one of these sections, with the section's number."""
    where: dict[str, int] = {}
    several: set[str] = set()
    for number in numbers:
        for block in sections[number].blocks:
            if where.setdefault(block.text, number) != number:
                several.add(block.text)
    return {text: number for text, number in where.items() if text not in several}


def _reused(base: Sequence[SheetSection], side: Sequence[SheetSection], pairs: dict[int, int]) -> set[int]:
    """The sections of the base whose number a side keeps while most of what stood there is on another sheet now."""
    where = _held_once(side, range(len(side)))
    found: set[int] = set()
    for now, before in pairs.items():
        if now == 0 or side[now].name != base[before].name:
            continue
        texts = [block.text for block in base[before].blocks]
        still = {block.text for block in side[now].blocks}
        moved = Counter(where[text] for text in texts if text in where and where[text] != now)
        if texts and side[now].blocks and not still & set(texts) and 2 * max(moved.values(), default=0) >= len(texts):
            found.add(before)
    return found

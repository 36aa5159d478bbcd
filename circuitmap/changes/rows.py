"""The statements of one sheet in three versions: which of them are the same one, and what two people made of it."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from circuitmap.changes.blocks import Block
from circuitmap.changes.statement_keys import Key, keys_of, without_comments, words_of

Words = tuple[str, ...]


class Row(NamedTuple):
    """One statement in base, ours and theirs; None where a version has not got it.

    Rows of one `group` speak of the same things, as a list of fuses and one fuse of it do, and are decided together.
    """

    base: Block | None
    ours: Block | None
    theirs: Block | None
    group: int


class Rows(NamedTuple):
    """`orders` are the numbers of the rows in the order of base, ours and theirs; `keys` those of a group, in order."""

    rows: list[Row]
    orders: tuple[list[int], list[int], list[int]]
    keys: dict[int, list[Key]]


Versions = tuple[Sequence[Block], Sequence[Block], Sequence[Block]]


def rows_of(versions: Versions) -> Rows:
    """The rows of a sheet.

    What stands there word for word in all versions is a row of its own. Of the rest, whatever shares a key is one
    group; in it, what says the same is one row, and what is left over goes together in its order.
    """
    numbers: list[dict[int, int]] = [{}, {}, {}]
    rows: list[Row] = []
    for places in _standing(versions):
        for version, place in enumerate(places):
            numbers[version][place] = len(rows)
        rows.append(Row(*(versions[v][place] for v, place in enumerate(places)), -1))  # type: ignore[call-arg]
    keys: dict[int, list[Key]] = {}
    for group, (group_keys, members) in enumerate(_groups(versions, numbers)):
        keys[group] = group_keys
        for places in _rows_of_group(versions, members):
            for version, place in enumerate(places):
                if place is not None:
                    numbers[version][place] = len(rows)
            rows.append(
                Row(*(None if place is None else versions[v][place] for v, place in enumerate(places)), group)  # type: ignore[call-arg]
            )
    orders = [[its[place] for place in range(len(blocks))] for its, blocks in zip(numbers, versions, strict=True)]
    return Rows(rows, (orders[0], orders[1], orders[2]), keys)


def _standing(versions: Versions) -> Iterator[tuple[int, ...]]:
    """The places of each statement that is there, word for word, in all versions: the first with the first."""
    found: list[dict[str, list[int]]] = []
    for blocks in versions:
        places: dict[str, list[int]] = defaultdict(list)
        for place, block in enumerate(blocks):
            places[block.text].append(place)
        found.append(places)
    for text, places_in_base in found[0].items():
        yield from zip(places_in_base, found[1].get(text, ()), found[2].get(text, ()), strict=False)


Members = tuple[list[int], list[int], list[int]]


def _groups(versions: Versions, numbers: list[dict[int, int]]) -> list[tuple[list[Key], Members]]:
    """What is not standing, by keys: the places in each version of what speaks of the same things."""
    find, join = _union()
    nodes: list[tuple[int, int, list[Key]]] = []
    unsure_places: set[Key] = set()
    for version, blocks in enumerate(versions):
        standing_before, behind = -1, 0
        for place, block in enumerate(blocks):
            behind += 1
            if place in numbers[version]:
                standing_before, behind = numbers[version][place], 0
                continue
            words = without_comments(words_of(block.text))
            keys = keys_of(words)
            if not keys:
                keys = [("words", *words)]
                by_place: Key = ("place", str(standing_before), str(behind))
                if version == 0:
                    unsure_places.add(by_place)
                if by_place in unsure_places:
                    keys.append(by_place)
            nodes.append((version, place, keys))
            for key in keys[1:]:
                join(keys[0], key)
    groups: dict[Key, tuple[dict[Key, None], Members]] = {}
    for version, place, keys in nodes:
        named, members = groups.setdefault(find(keys[0]), ({}, ([], [], [])))
        members[version].append(place)
        named.update(dict.fromkeys(keys))
    return [(list(named), members) for named, members in groups.values()]


def _union() -> tuple[Callable[[Key], Key], Callable[[Key, Key], None]]:
    leader: dict[Key, Key] = {}

    def find(key: Key) -> Key:
        while (up := leader.setdefault(key, key)) != key:
            leader[key] = leader[up]
            key = up
        return key

    def join(a: Key, b: Key) -> None:
        leader[find(b)] = find(a)

    return find, join


def _rows_of_group(versions: Versions, members: Members) -> list[list[int | None]]:
    """The places of each row of a group in the three versions."""
    said = [[words_of(versions[v][place].text) for place in places] for v, places in enumerate(members)]
    rows: list[list[int | None]] = [[place, None, None] for place in members[0]]
    added: tuple[list[int], list[int]] = ([], [])
    for side in (1, 2):
        pairs = _pairs(said[0], said[side])
        for at, place in enumerate(members[side]):
            if at in pairs:
                rows[pairs[at]][side] = place
            else:
                added[side - 1].append(at)
    both = _pairs([said[1][at] for at in added[0]], [said[2][at] for at in added[1]])
    first_added = len(rows)
    rows += ([None, members[1][at], None] for at in added[0])
    for number, at in enumerate(added[1]):
        if number in both:
            rows[first_added + both[number]][2] = members[2][at]
        else:
            rows.append([None, None, members[2][at]])
    return rows


def _pairs(first: list[Words], second: list[Words]) -> dict[int, int]:
    """For places in `second` their places in `first`: the same words with the same, first with comments and then
    without, and what is left in its order."""
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for form in (tuple, lambda words: tuple(without_comments(words)), lambda _: ()):
        by_words: dict[Words, list[int]] = defaultdict(list)
        for at in reversed(range(len(first))):
            if at not in taken:
                by_words[form(first[at])].append(at)
        for at, words in enumerate(second):
            if at not in pairs and by_words[form(words)]:
                pairs[at] = by_words[form(words)].pop()
                taken.add(pairs[at])
    return pairs

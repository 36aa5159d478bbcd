"""The statements of one sheet in three versions: which of them are the same statement, and what goes together."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from circuitmap.changes.blocks import StatementBlock
from circuitmap.changes.statement_keys import Key, keys_of, without_comments, words_of

Words = tuple[str, ...]
Versions = tuple[Sequence[StatementBlock], Sequence[StatementBlock], Sequence[StatementBlock]]
BASE, OURS, THEIRS = 0, 1, 2


class ChangedStatement(NamedTuple):
    """One statement in base, ours and theirs; None where a version does not have it.

    Rows of one `group` speak of the same things, as a list of fuses and one fuse of it do, and are decided together.
    """

    base: StatementBlock | None
    ours: StatementBlock | None
    theirs: StatementBlock | None
    group: int

    def of(self, version: int) -> StatementBlock | None:
        return (self.base, self.ours, self.theirs)[version]


class Rows(NamedTuple):
    """`standing` are the rows that nobody changed, by number, `grouped` those of each group; `keys` tell what a group
    speaks of. `orders` are the numbers of the rows in the order of base, ours and theirs."""

    standing: dict[int, ChangedStatement]
    grouped: dict[int, dict[int, ChangedStatement]]
    keys: dict[int, list[Key]]
    orders: tuple[list[int], list[int], list[int]]


_Places = tuple[int | None, int | None, int | None]


def rows_of(versions: Versions) -> Rows:
    """The rows of a sheet.

    What stands word for word in all versions is a row of its own. Of the rest, whatever shares a key is one group; in
    it, what says the same is one row, and what is left over is paired in order.
    """
    numbers: list[dict[int, int]] = [{}, {}, {}]
    count = 0

    def row(places: _Places, group: int) -> tuple[int, ChangedStatement]:
        nonlocal count
        for its, place in zip(numbers, places, strict=True):
            if place is not None:
                its[place] = count
        count += 1
        base, ours, theirs = (None if p is None else its[p] for its, p in zip(versions, places, strict=True))
        return count - 1, ChangedStatement(base, ours, theirs, group)

    standing = dict(row(places, -1) for places in _standing(versions))
    grouped: dict[int, dict[int, ChangedStatement]] = {}
    keys: dict[int, list[Key]] = {}
    for group, (group_keys, members) in enumerate(_groups(versions, numbers)):
        keys[group] = group_keys
        grouped[group] = dict(row(places, group) for places in _rows_of_group(versions, members))
    base, ours, theirs = ([its[place] for place in sorted(its)] for its in numbers)
    return Rows(standing, grouped, keys, (base, ours, theirs))


def _standing(versions: Versions) -> Iterator[_Places]:
    """The places of each statement that is there word for word in all versions; its first place is paired with its
    first, and so on."""
    found: list[dict[str, list[int]]] = []
    for blocks in versions:
        places: dict[str, list[int]] = defaultdict(list)
        for place, block in enumerate(blocks):
            places[block.text].append(place)
        found.append(places)
    for text, places_in_base in found[BASE].items():
        yield from zip(places_in_base, found[OURS].get(text, ()), found[THEIRS].get(text, ()), strict=False)


_Members = tuple[list[int], list[int], list[int]]


def _groups(versions: Versions, standing: Sequence[dict[int, int]]) -> list[tuple[list[Key], _Members]]:
    """The rest, by keys: the places in each version of statements that speak of the same things.

    Where the words do not tell what a statement is about, its key is what it says, and how far after the last unchanged
    statement it stands.
    """
    find, join = _union()
    nodes: list[tuple[int, int, list[Key]]] = []
    places_of_unsure: set[Key] = set()
    for version, blocks in enumerate(versions):
        before, behind = -1, 0
        for place, block in enumerate(blocks):
            behind += 1
            if place in standing[version]:
                before, behind = standing[version][place], 0
                continue
            words = without_comments(words_of(block.text))
            keys = keys_of(words)
            if not keys:
                keys = [("words", *words)]
                by_place: Key = ("place", str(before), str(behind))
                if version == BASE:
                    places_of_unsure.add(by_place)
                if by_place in places_of_unsure:
                    keys.append(by_place)
            nodes.append((version, place, keys))
            for key in keys[1:]:
                join(keys[0], key)
    groups: dict[Key, tuple[dict[Key, None], _Members]] = {}
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


def _rows_of_group(versions: Versions, members: _Members) -> Iterator[_Places]:
    """The places of each row of a group in the three versions."""
    if max(map(len, members)) == 1:
        base_place, ours_place, theirs_place = (its[0] if its else None for its in members)
        yield base_place, ours_place, theirs_place
        return
    base, ours, theirs = (
        [words_of(blocks[place].text) for place in places] for blocks, places in zip(versions, members, strict=True)
    )
    of_ours, of_theirs = _pairs(base, ours), _pairs(base, theirs)
    in_ours, in_theirs = ({pair: at for at, pair in pairs.items()} for pairs in (of_ours, of_theirs))
    for at, place in enumerate(members[BASE]):
        yield place, _place(members[OURS], in_ours.get(at)), _place(members[THEIRS], in_theirs.get(at))
    added_ours = [at for at in range(len(ours)) if at not in of_ours]
    added_theirs = [at for at in range(len(theirs)) if at not in of_theirs]
    both = _pairs([ours[at] for at in added_ours], [theirs[at] for at in added_theirs])
    by_ours = {pair: added_theirs[at] for at, pair in both.items()}
    for number, at in enumerate(added_ours):
        yield None, members[OURS][at], _place(members[THEIRS], by_ours.get(number))
    for number, at in enumerate(added_theirs):
        if number not in both:
            yield None, None, members[THEIRS][at]


def _place(places: list[int], at: int | None) -> int | None:
    return None if at is None else places[at]


def _pairs(first: list[Words], second: list[Words]) -> dict[int, int]:
    """For places in `second`, their places in `first`: equal words are paired, first with their comments and then
    without, and what is left is paired in order."""
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    forms: tuple[Callable[[Words], Words], ...] = (tuple, lambda words: tuple(without_comments(words)), lambda _: ())
    for form in forms:
        by_words: dict[Words, list[int]] = defaultdict(list)
        for at in reversed(range(len(first))):
            if at not in taken:
                by_words[form(first[at])].append(at)
        for at, words in enumerate(second):
            if at not in pairs and by_words[form(words)]:
                pairs[at] = by_words[form(words)].pop()
                taken.add(pairs[at])
    return pairs

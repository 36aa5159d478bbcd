"""What becomes of each sheet, and of each statement on it, when the changes of two people are put together."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from circuitmap.changes.blocks import SheetSection, StatementBlock
from circuitmap.changes.conflict_names import changed_by_both, conflict_name
from circuitmap.changes.ordering import merged_order
from circuitmap.changes.pieces import Marked, Piece
from circuitmap.changes.rows import BASE, OURS, THEIRS, ChangedStatement, Rows, Words, rows_of
from circuitmap.changes.sheets import SheetVersions, paired_sheets
from circuitmap.changes.statement_keys import Key, words_of
from circuitmap.changes.statement_merge import WordByWord
from circuitmap.changes.three_way import merge_lines

Numbered = Mapping[int, ChangedStatement]


def merged_sheets(
    base: Sequence[SheetSection], ours: Sequence[SheetSection], theirs: Sequence[SheetSection]
) -> Iterator[Piece]:
    """The merged file, piece by piece."""
    paired = paired_sheets(base, ours, theirs)
    rows = {
        id_: rows_of((_blocks(sheet.base), _blocks(sheet.ours), _blocks(sheet.theirs)))
        for id_, sheet in paired.sheets.items()
    }
    merging = _Merging(
        frozenset(key for its in rows.values() for key in _keys_deleted_by_both(its)),
        frozenset(words for its in rows.values() for words in _words_gone_from_both(its)),
    )
    pieces = {id_: list(merging.sheet(sheet, rows[id_])) for id_, sheet in paired.sheets.items()}
    for id_ in merged_order(*paired.orders):
        yield from pieces[id_]


def _blocks(section: SheetSection | None) -> Sequence[StatementBlock]:
    return section.blocks if section is not None else ()


def _keys_deleted_by_both(rows: Rows) -> Iterator[Key]:
    for group, numbered in rows.grouped.items():
        if all(row.ours is None and row.theirs is None for row in numbered.values()):
            yield from (key for key in rows.keys[group] if key[0] != "place")


def _words_gone_from_both(rows: Rows) -> Iterator[Words]:
    for numbered in rows.grouped.values():
        old, mine, other = (_said(_version(numbered, version)) for version in (BASE, OURS, THEIRS))
        yield from old.keys() - mine.keys() - other.keys()


class _Merging:
    """What both took away somewhere is in conflict where one of them put it back: one moved it, the other no longer
    wanted it. `gone_keys` is what such statements speak of, `gone` what they say."""

    def __init__(self, gone_keys: frozenset[Key], gone: frozenset[Words]) -> None:
        self._gone_keys = gone_keys
        self._gone = gone
        self._word_by_word = WordByWord()

    def sheet(self, sheet: SheetVersions, rows: Rows) -> Iterator[Piece]:
        name = next(its for its in (sheet.ours, sheet.theirs, sheet.base) if its is not None).name.strip('"')
        heading = self._heading(sheet)
        statements = self._statements(rows, name)
        if sheet.base is not None and _cannot_be_placed(sheet, [*heading.values(), *statements.values()]):
            yield Piece("", marked=Marked(_all_of(sheet.ours), _all_of(sheet.theirs), f"sheet {name}"))
            return
        yield from heading.values()
        yield from (statements[number] for number in merged_order(*rows.orders) if number in statements)
        tails = (
            None if its is None else StatementBlock(its.tail, "") for its in (sheet.base, sheet.ours, sheet.theirs)
        )
        yield Piece(_above(*tails))

    def _heading(self, sheet: SheetVersions) -> dict[int, Piece]:
        base, ours, theirs = (None if its is None else its.heading for its in (sheet.base, sheet.ours, sheet.theirs))
        return self._group({0: ChangedStatement(base, ours, theirs, 0)}, [], "") if base or ours or theirs else {}

    def _statements(self, rows: Rows, sheet: str) -> dict[int, Piece]:
        pieces: dict[int, Piece] = {}
        for number, row in rows.standing.items():
            if row.ours is not None:
                pieces[number] = Piece(_above(row.base, row.ours, row.theirs), row.ours.text)
        for group, numbered in rows.grouped.items():
            pieces |= self._group(numbered, rows.keys[group], sheet)
        return pieces

    def _group(self, numbered: Numbered, keys: Sequence[Key], sheet: str) -> dict[int, Piece]:
        """What becomes of the rows of a group, by their numbers; what is gone without a trace is left out."""
        base, ours, theirs = (_version(numbered, version) for version in (BASE, OURS, THEIRS))
        old, mine, other = _said(base), _said(ours), _said(theirs)
        if mine != other and not self._gone.isdisjoint((mine | other).keys() - old.keys()):
            return _marked(numbered, sheet)
        if not old and (not mine or not other) and not self._gone_keys.isdisjoint(keys):
            return _marked(numbered, sheet)
        if len(base) == len(ours) == len(theirs) == 1:
            merged = self._word_by_word.merged(base[0].text, ours[0].text, theirs[0].text)
            if merged is not None:
                return {next(iter(numbered)): Piece(_above(base[0], ours[0], theirs[0]), merged)}
        if mine == other or other == old:
            return dict(_taken(numbered, OURS))
        if mine == old:
            return dict(_taken(numbered, THEIRS))
        return _marked(numbered, sheet)


def _version(numbered: Numbered, version: int) -> list[StatementBlock]:
    return [block for row in numbered.values() if (block := row.of(version)) is not None]


def _said(blocks: Sequence[StatementBlock]) -> Counter[Words]:
    return Counter(words_of(block.text) for block in blocks)


def _cannot_be_placed(sheet: SheetVersions, pieces: Sequence[Piece]) -> bool:
    """Whether one side took the sheet away, or gave its number to another sheet, and the other side changed it."""
    if sheet.ours is None or sheet.theirs is None:
        return any(piece.text or piece.marked is not None for piece in pieces)
    other = {OURS: sheet.theirs, THEIRS: sheet.ours}
    return any(_all_of(other[side]) != _all_of(sheet.base) for side in sheet.reused_by)


def _marked(numbered: Numbered, sheet: str) -> dict[int, Piece]:
    """The whole group in conflict, at the place of our first row, or of theirs if we have none."""
    base, ours, theirs = (_version(numbered, version) for version in (BASE, OURS, THEIRS))
    what = conflict_name(changed_by_both(*([block.text for block in its] for its in (base, ours, theirs))), sheet)
    side = OURS if ours else THEIRS
    number = next(number for number, row in numbered.items() if row.of(side) is not None)
    if len(ours) != 1 or len(theirs) != 1:
        return {number: Piece("", marked=Marked(ours, theirs, what))}
    above = _above(base[0] if len(base) == 1 else None, ours[0], theirs[0])
    return {
        number: Piece(
            above, marked=Marked([StatementBlock("", ours[0].text)], [StatementBlock("", theirs[0].text)], what)
        )
    }


def _taken(numbered: Numbered, side: int) -> Iterator[tuple[int, Piece]]:
    """The rows as one side has them; where it has none, what the other wrote above is kept."""
    for number, row in numbered.items():
        block = row.of(side)
        if block is not None:
            yield number, Piece(_above(row.base, row.ours, row.theirs), block.text)
        elif kept := _orphans(row.base, row.ours, row.theirs):
            yield number, Piece(kept)


def _above(base: StatementBlock | None, ours: StatementBlock | None, theirs: StatementBlock | None) -> str:
    """Comments and empty lines: where both changed them, those of both."""
    old, mine, other = ("" if block is None else block.above for block in (base, ours, theirs))
    if other in (old, mine):
        return mine
    if mine == old:
        return other
    return "".join(merge_lines(_lines(old), _lines(mine), _lines(other)))


def _orphans(base: StatementBlock | None, ours: StatementBlock | None, theirs: StatementBlock | None) -> str:
    """The comments that a side put above what the other one deleted."""
    kept: list[str] = []
    for block in (ours, theirs):
        left = Counter(_lines(base.above) if base is not None else ())
        for line in _lines(block.above) if block is not None else ():
            if left[line]:
                left[line] -= 1
            elif line.strip(" \t\r\n"):
                kept.append(line)
    return "".join(kept)


def _lines(text: str) -> list[str]:
    return [line + "\n" for line in text.split("\n")[:-1]]


def _all_of(section: SheetSection | None) -> list[StatementBlock]:
    if section is None:
        return []
    heading = [section.heading] if section.heading is not None else []
    return [*heading, *section.blocks, *([StatementBlock(section.tail, "")] if section.tail else [])]

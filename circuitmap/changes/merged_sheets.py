"""What becomes of each sheet, and of each statement on it, when the changes of two people are put together."""

from collections import Counter
from collections.abc import Iterator, Sequence

from circuitmap.changes.blocks import Block, Section, heading_name
from circuitmap.changes.conflict_names import changed_by_both, conflict_name
from circuitmap.changes.ordering import merged_order
from circuitmap.changes.pieces import Marked, Piece
from circuitmap.changes.rows import Row, Rows, Words, rows_of
from circuitmap.changes.sheets import SheetVersions, paired_sheets
from circuitmap.changes.statement_keys import Key, words_of
from circuitmap.changes.statement_merge import WordByWord
from circuitmap.changes.three_way import merge_lines


def merged_sheets(base: Sequence[Section], ours: Sequence[Section], theirs: Sequence[Section]) -> Iterator[Piece]:
    """The merged file, piece by piece."""
    paired = paired_sheets(base, ours, theirs)
    rows = {id_: rows_of(tuple(_blocks(version) for version in sheet[:3])) for id_, sheet in paired.sheets.items()}  # type: ignore[arg-type]
    gone = [(key, words) for its in rows.values() for key, words in _deleted_by_both(its)]
    merging = _Merging(frozenset(key for key, _ in gone), frozenset(words for _, words in gone))
    for id_ in merged_order(*paired.orders):
        yield from merging.sheet(paired.sheets[id_], rows[id_])


def _blocks(section: Section | None) -> Sequence[Block]:
    return section.blocks if section is not None else ()


def _deleted_by_both(rows: Rows) -> Iterator[tuple[Key, Words]]:
    """Each key of what neither side has any more, and what it said."""
    living = {row.group for row in rows.rows if row.ours is not None or row.theirs is not None}
    for row in rows.rows:
        if row.group not in living and row.base is not None:
            yield from ((key, words_of(row.base.text)) for key in rows.keys[row.group] if key[0] != "place")


class _Merging:
    """What both deleted somewhere is in conflict where one of them put it again: one moved it, the other one did not
    want it any more. `gone_keys` is what it speaks of, `gone` what it says."""

    def __init__(self, gone_keys: frozenset[Key], gone: frozenset[Words]) -> None:
        self._gone_keys = gone_keys
        self._gone = gone
        self._word_by_word = WordByWord()

    def sheet(self, sheet: SheetVersions, rows: Rows) -> Iterator[Piece]:
        present = [version for version in sheet[:3] if version is not None]
        name = (sheet.ours or sheet.theirs or present[0]).name.strip('"')
        statements = self._statements(rows, name)
        heading = self._heading(sheet)
        if sheet.base is not None and self._cannot_be_placed(sheet, heading, statements):
            marked = Marked(_all_blocks(sheet.ours), _all_blocks(sheet.theirs), f"sheet {name}")
            yield Piece("", marked=marked)
            return
        if heading is not None:
            yield heading
        for number in merged_order(*rows.orders):
            if number in statements:
                yield statements[number]
        tails = [Block(version.tail, "") if version is not None else None for version in sheet[:3]]
        yield Piece(_above(*tails) if None not in tails[1:] or tails[0] is None else _orphans(*tails))

    def _cannot_be_placed(self, sheet: SheetVersions, heading: Piece | None, statements: dict[int, Piece]) -> bool:
        """Whether one side took the sheet away, or gave its number to another one, and the other changed it."""
        if sheet.ours is None or sheet.theirs is None:
            pieces = [*statements.values(), *([heading] if heading is not None else [])]
            return any(piece.text or piece.marked is not None for piece in pieces)
        other = {1: sheet.theirs, 2: sheet.ours}
        return any(_all_blocks(other[side]) != _all_blocks(sheet.base) for side in sheet.reused_by)

    def _heading(self, sheet: SheetVersions) -> Piece | None:
        headings = [version.heading if version is not None else None for version in sheet[:3]]
        if not any(headings):
            return None
        name = heading_name(next(heading for heading in headings if heading is not None).text).strip('"')
        row = Row(*headings, group=0)
        return self._group([(0, row)], [("sheet", name)], "").get(0)

    def _statements(self, rows: Rows, sheet: str) -> dict[int, Piece]:
        pieces: dict[int, Piece] = {}
        groups: dict[int, list[tuple[int, Row]]] = {}
        for number, row in enumerate(rows.rows):
            if row.group < 0:
                assert row.ours is not None
                pieces[number] = Piece(_above(row.base, row.ours, row.theirs), row.ours.text)
            else:
                groups.setdefault(row.group, []).append((number, row))
        for group, numbered in groups.items():
            pieces |= self._group(numbered, rows.keys[group], sheet)
        return pieces

    def _group(self, numbered: list[tuple[int, Row]], keys: list[Key], sheet: str) -> dict[int, Piece]:
        """What becomes of the rows of a group, by their numbers; what is gone without a trace is left out."""
        versions = [[row[version] for _, row in numbered if row[version] is not None] for version in range(3)]
        said = [Counter(words_of(block.text) for block in blocks) for blocks in versions]
        old, mine, other = said
        if mine != other and not self._gone.isdisjoint((mine | other).keys() - old.keys()):
            return self._marked(numbered, versions, sheet)
        if not old and (not mine or not other) and not self._gone_keys.isdisjoint(keys):
            return self._marked(numbered, versions, sheet)
        if [len(blocks) for blocks in versions] == [1, 1, 1]:
            base, ours, theirs = (blocks[0] for blocks in versions)
            merged = self._word_by_word.merged(base.text, ours.text, theirs.text)
            if merged is not None:
                return {numbered[0][0]: Piece(_above(base, ours, theirs), merged)}
        if mine == other or other == old:
            return dict(_taken(numbered, 1))
        if mine == old:
            return dict(_taken(numbered, 2))
        return self._marked(numbered, versions, sheet)

    def _marked(self, numbered: list[tuple[int, Row]], versions: list[list[Block]], sheet: str) -> dict[int, Piece]:
        """The whole group in conflict, at the place of the first of ours, or of theirs if there is none of ours."""
        texts = [[block.text for block in blocks] for blocks in versions]
        what = conflict_name(changed_by_both(*texts), sheet)
        side = 1 if versions[1] else 2
        number = next(number for number, row in numbered if row[side] is not None)
        base, ours, theirs = versions
        if len(ours) != 1 or len(theirs) != 1:
            return {number: Piece("", marked=Marked(ours, theirs, what))}
        above = _above(base[0] if len(base) == 1 else None, ours[0], theirs[0])
        alone = ([Block("", blocks[0].text)] for blocks in (ours, theirs))
        return {number: Piece(above, marked=Marked(*alone, what))}


def _taken(numbered: list[tuple[int, Row]], side: int) -> Iterator[tuple[int, Piece]]:
    """The rows as one side has them; where it has none, what the other wrote above is kept."""
    for number, row in numbered:
        block = row.ours if side == 1 else row.theirs
        if block is None:
            kept = _orphans(row.base, row.ours, row.theirs)
            if kept:
                yield number, Piece(kept)
            continue
        yield number, Piece(_above(row.base, row.ours, row.theirs), block.text)


def _above(base: Block | None, ours: Block | None, theirs: Block | None) -> str:
    """Comments and empty lines: where both changed them, those of both."""
    old, mine, other = (block.above if block is not None else "" for block in (base, ours, theirs))
    if other in (old, mine):
        return mine
    if mine == old:
        return other
    return "".join(merge_lines(*(_lines(text) for text in (old, mine, other))))


def _orphans(base: Block | None, ours: Block | None, theirs: Block | None) -> str:
    """The comments that a side put above what the other one deleted."""
    before = Counter(_lines(base.above)) if base is not None else Counter[str]()
    kept: list[str] = []
    for block in (ours, theirs):
        left = before.copy()
        for line in _lines(block.above) if block is not None else ():
            if left[line]:
                left[line] -= 1
            elif line.strip(" \t\r\n"):
                kept.append(line)
    return "".join(kept)


def _lines(text: str) -> list[str]:
    return [line + "\n" for line in text.split("\n")[:-1]]


def _all_blocks(section: Section | None) -> list[Block]:
    if section is None:
        return []
    heading = [section.heading] if section.heading is not None else []
    return [*heading, *section.blocks, *([Block(section.tail, "")] if section.tail else [])]

"""Two people changed the same file: their changes put together statement by statement.

What only one of them touched is taken as it is; what both added is kept; where both changed the same statement, its
items are merged one by one. What does not go together is left in the file between marks, at its place. Comments are
never lost.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.changes.blocks import Block, Key, blocks_of
from circuitmap.changes.conflict_names import changed_by_both, conflict_name
from circuitmap.changes.three_way import merge_sequences, merge_texts
from circuitmap.source import SourceFile

OURS_MARK, MIDDLE_MARK, THEIRS_MARK = "<<<<<<< ours", "=======", ">>>>>>> theirs"


class Conflict(NamedTuple):
    """`line` in the merged text, counted from 1; `what` names the statement."""

    line: int
    what: str


@dataclass(frozen=True, slots=True)
class Merged:
    text: str
    conflicts: tuple[Conflict, ...]


Group = int


class _Version(NamedTuple):
    """One version's blocks by group, and its groups in their order."""

    blocks: dict[Group, tuple[Block, ...]]
    order: tuple[Group, ...]

    def sheets(self) -> dict[Group, str]:
        return {group: _anchor(blocks[0])[0] for group, blocks in self.blocks.items()}

    def text_of(self, group: Group) -> str:
        return "".join(_with_end(block.text) for block in self.blocks.get(group, ()))

    def above(self, group: Group) -> str:
        return "".join(block.above for block in self.blocks.get(group, ()))


def merge_files(base: str, ours: str, theirs: str) -> Merged:
    """Merge three texts of one file; `base` is what both started from, empty if both made the file anew.

    Line ends are those of `ours`.
    """
    line_end = "\r\n" if "\r\n" in ours else "\n"
    texts = [text.replace("\r\n", "\n") for text in (base, ours, theirs)]
    versions = _versions([blocks_of(SourceFile("merge", text)) for text in texts])
    old, mine, other = versions
    order = _merged_order(mine, other, _vanishing(old, mine, other))
    lines = 0
    parts: list[str] = []
    conflicts: list[Conflict] = []
    for group in order:
        above = _merged_above(old.above(group), mine.above(group), other.above(group))
        text, in_conflict = _merged_statement(old.text_of(group), mine.text_of(group), other.text_of(group))
        if in_conflict:
            conflicts.append(Conflict(lines + above.count("\n") + 1, _what(old, mine, other, group)))
        parts.append(above + text)
        lines += parts[-1].count("\n")
    return Merged("".join(parts).replace("\n", line_end), tuple(conflicts))


def _with_end(text: str) -> str:
    return text if not text or text.endswith("\n") else text + "\n"


def _versions(all_blocks: list[list[Block]]) -> tuple[_Version, _Version, _Version]:
    """Blocks that share a key on the same sheet, in any version, are one group."""
    leader: dict[tuple[str, Key], tuple[str, Key]] = {}

    def find(key: tuple[str, Key]) -> tuple[str, Key]:
        while (up := leader.setdefault(key, key)) != key:
            leader[key] = leader[up]
            key = up
        return key

    for blocks in all_blocks:
        for block in blocks:
            first = find(_anchor(block))
            for key in block.keys:
                leader[find((block.sheet, key))] = first
    numbers: dict[tuple[str, Key], Group] = {}
    versions = []
    for blocks in all_blocks:
        grouped: dict[Group, list[Block]] = {}
        for block in blocks:
            group = numbers.setdefault(find(_anchor(block)), len(numbers))
            grouped.setdefault(group, []).append(block)
        versions.append(_Version({g: tuple(found) for g, found in grouped.items()}, tuple(grouped)))
    return versions[0], versions[1], versions[2]


def _anchor(block: Block) -> tuple[str, Key]:
    key = min(block.keys)
    return ("" if key == ("end of file",) else block.sheet, key)


def _vanishing(old: _Version, mine: _Version, other: _Version) -> Callable[[Group], bool]:
    """Whether a group is gone from the result: one side removed it and the other left it as it was."""

    def gone(group: Group) -> bool:
        before, ours, theirs = old.text_of(group), mine.text_of(group), other.text_of(group)
        if group not in old.blocks or not before:
            return False
        return (not ours and theirs in ("", before)) or (not theirs and ours == before)

    return gone


def _merged_order(mine: _Version, other: _Version, gone: Callable[[Group], bool]) -> list[Group]:
    """Ours in its order; what only they have goes behind what it stands behind with them.

    A sheet is positional: a sheet that only they have goes behind all that is on the sheet before it.
    """
    sheets = other.sheets() | mine.sheets()
    order = list(mine.order)
    present = set(order)
    previous: Group | None = None
    for group in other.order:
        if group not in present:
            at = order.index(previous) + 1 if previous is not None else 0
            if previous is not None and sheets[group] != sheets[previous]:
                while at < len(order) and sheets[order[at]] == sheets[previous]:
                    at += 1
            order.insert(at, group)
            present.add(group)
        previous = group
    return [group for group in order if not gone(group)]


def _merged_above(base: str, ours: str, theirs: str) -> str:
    """Comments and empty lines: where both changed them, theirs that ours lacks are added; none is lost."""
    if theirs in (base, ours):
        return ours
    if ours == base:
        return theirs
    merged = merge_texts(base, ours, theirs)
    if merged is not None:
        return merged
    known = {line.strip() for line in ours.splitlines()}
    return ours + "".join(line for line in theirs.splitlines(keepends=True) if line.strip() not in known)


def _merged_statement(base: str, ours: str, theirs: str) -> tuple[str, bool]:
    """The text of one statement, and whether it is in conflict."""
    if ours == theirs or theirs == base:
        return ours, False
    if ours == base:
        return theirs, False
    if base and ours and theirs:
        merged = merge_sequences(base, ours, theirs)
        if merged is not None and _reads_well(merged):
            return merged, False
    marked = f"{OURS_MARK}\n{ours}{MIDDLE_MARK}\n{theirs}{THEIRS_MARK}\n"
    return marked, True


def _reads_well(text: str) -> bool:
    from circuitmap.notation.reading import read_text

    return not read_text(SourceFile("merge", text))[1]


def _what(old: _Version, mine: _Version, other: _Version, group: Group) -> str:
    versions = [version.blocks.get(group, ()) for version in (old, mine, other)]
    sheet = (versions[1] or versions[2])[0].sheet
    return conflict_name(changed_by_both(*versions), sheet)

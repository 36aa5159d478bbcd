"""What two people both changed, of a statement that holds many things: the one fuse of a list, not its first."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from circuitmap.changes.blocks import Block, Key, blocks_of
from circuitmap.changes.three_way import items_of
from circuitmap.source import SourceFile


def changed_by_both(base: Iterable[Block], ours: Iterable[Block], theirs: Iterable[Block]) -> list[Key]:
    """The keys of what is said differently in all three, sorted; all of them where no single one can be blamed."""
    old, mine, other = (_said_of(blocks) for blocks in (base, ours, theirs))
    every = sorted(old.keys() | mine.keys() | other.keys())
    blamed = [key for key in every if len({old.get(key), mine.get(key), other.get(key)}) == 3]
    return blamed or every


def conflict_name(keys: Sequence[Key], sheet: str) -> str:
    """`keys` in a few words: the first four are named, the rest counted."""
    kinds = {key[0] for key in keys}
    names = [" - ".join(key[1:3]) if key[0] == "wire" else " ".join(key[1:]) for key in keys]
    if kinds != {"part"}:
        what = " ".join((keys[0][0], names[0])).strip()
    else:
        rest = f" and {len(names) - 4} more" if len(names) > 4 else ""
        what = f"part{'s' if len(names) > 1 else ''} {', '.join(names[:4])}{rest}"
    return f"{what}, sheet {sheet}" if sheet else what


def _said_of(blocks: Iterable[Block]) -> Mapping[Key, str]:
    said: dict[Key, str] = {}
    for block in blocks:
        pieces = list(_pieces(block.text)) if {key[0] for key in block.keys} == {"part"} else []
        for keys, words in pieces or [(block.keys, block.text)]:
            said |= dict.fromkeys(keys, words)
    return said


def _pieces(text: str) -> Iterator[tuple[frozenset[Key], str]]:
    """Each item of a list as the statement it would be alone; a comment is no part of what is said."""
    words = [item for item in items_of(text) if not item.startswith("#") and item.strip()]
    kind = words[0]
    pieces: list[list[str]] = [[]]
    depth = 0
    for word in words[1:]:
        depth += (word == "(") - (word == ")")
        if word == "," and not depth:
            pieces.append([])
        else:
            pieces[-1].append(word)
    for piece in pieces:
        alone = " ".join((kind, *piece)) + "\n"
        yield from ((block.keys, alone) for block in blocks_of(SourceFile("merge", alone)))

"""What two people both changed in a statement that holds many things: the one fuse of a list, not its first."""

from collections.abc import Iterable, Sequence

from circuitmap.changes.statement_keys import Key
from circuitmap.changes.statement_merge import said_of

_LONGEST_LINE = 40


def changed_by_both(base: Iterable[str], ours: Iterable[str], theirs: Iterable[str]) -> list[Key]:
    """The keys of what is said differently in all three, sorted; all keys where no single one can be blamed."""
    old, mine, other = (said_of(texts) for texts in (base, ours, theirs))
    every = sorted(old.keys() | mine.keys() | other.keys())
    blamed = [key for key in every if len({old.get(key), mine.get(key), other.get(key)}) == 3]
    return blamed or every


def conflict_name(keys: Sequence[Key], sheet: str) -> str:
    """`keys` in a few words: the first four are named, the rest counted."""
    kinds = {key[0] for key in keys}
    names = [" - ".join(key[1:3]) if key[0] == "wire" else " ".join(key[1:]) for key in keys]
    if keys[0][0] == "words":
        what = names[0] if len(names[0]) <= _LONGEST_LINE else f"{names[0][: _LONGEST_LINE - 3]}..."
    elif kinds != {"part"}:
        what = " ".join((keys[0][0], names[0].strip('"'))).strip()
    else:
        rest = f" and {len(names) - 4} more" if len(names) > 4 else ""
        what = f"part{'s' if len(names) > 1 else ''} {', '.join(names[:4])}{rest}"
    return f"{what}, sheet {sheet}" if sheet else what

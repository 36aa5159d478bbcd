"""What was out and is in again because the card says that it was mended: `mended: "new switch S12"`.

Whoever writes that the part was renewed or put right has it in the vehicle. It is taken so only where one clause names
the part itself, by its name or by what it is called, and says so of it, or where the cause names the only part that is
out and the words speak of no other; a wire, plug or fuse of the part is another thing, and a clause that says that
something stays out, or is still to come, says nothing of the kind. The words are common practice, no source.
"""

import re
from collections.abc import Collection, Iterator

from circuitmap.evidence.called_by_words import by_their_names, speaks_of_another
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

_RIGHT = {
    "new", "renewed", "replaced", "changed", "exchanged", "swapped", "repaired", "fixed", "mended", "refitted",
    "cleaned", "freed", "adjusted",
}  # fmt: skip
_NOT_SO = {
    "out", "off", "unplugged", "removed", "disconnected", "without", "stays", "remains", "ordered", "order", "later",
    "not", "no", "awaited", "bridged", "bypassed", "blanked",
}  # fmt: skip
_OF_IT = {
    "wire", "wires", "wiring", "cable", "lead", "leads", "plug", "connector", "socket", "holder", "terminal", "pin",
    "post",
}  # fmt: skip
_CLAUSE, _AND = re.compile(r"[;,:]|\.(?=\s|$)"), re.compile(r"\band\b")
_MORE = re.compile(
    r"\b(?:by|with|from|of|because|as|since|for|to(?! be\b)|on|at|in|near|beside|behind|under|between)\b.*"
)
"""What comes after one of these says more of what stands before it."""
_TO_COME = re.compile(r"\bto be\b|\bwill be\b|\bnext (?:week|time|visit)\b")


_THEN = {*_RIGHT, "is", "was", "were", "are", "has", "have", "and", "itself"}
"""What may follow what a part is called, where the part itself is meant."""


def put_right(
    platform: Platform, mended: str, out: Collection[str], added: Collection[str], cause: str = ""
) -> tuple[str, ...]:
    """Those of `out` that these words name as renewed or put right; `cause` is what the card gave as the cause by
    then."""
    found: dict[str, None] = {}
    for clause in _CLAUSE.split(by_their_names(platform, mended, out, _THEN)):
        named = [*_named(platform, clause, out, added)]
        pieces = [clause] if named else _AND.split(clause)
        found |= dict.fromkeys(name for piece in pieces for name in _named(platform, piece, out, added))
    return tuple(found) or _by_the_cause(platform, mended, out, added, cause)


def _by_the_cause(
    platform: Platform, mended: str, out: Collection[str], added: Collection[str], cause: str
) -> tuple[str, ...]:
    """The only part that is out, where it is the first that the cause names and something was put right of which the
    words do not say that it is another part, or that it is still to come: "latch with its contact renewed"."""
    if len(out) != 1 or not cause:
        return ()
    (name,) = out
    named = (_name_of(platform, word, added) for word in by_their_names(platform, cause, out, _IN_A_CAUSE).split())
    if next((its for its in named if its), "") != name or _OF_IT & set(re.findall(r"[\w']+", cause.casefold())):
        return ()
    said = set(re.findall(r"[\w']+", mended.casefold()))
    is_fuse = isinstance(platform.parts.get(name), Fuse)
    says_not = said & (_NOT_SO | _OF_IT) or _TO_COME.search(mended.casefold()) or ("fuse" in said and not is_fuse)
    right = said & _RIGHT and not says_not and not speaks_of_another(platform, mended, name)
    return (name,) if right else ()


_IN_A_CAUSE = {"is", "was", "has", "does", "stays", "stuck", "worn", "leaks", "sticks", "draws", "with", "its", "by"}


def _name_of(platform: Platform, word: str, added: Collection[str]) -> str:
    try:
        return removable(platform, word.strip(",;:.()"), added)
    except WrongUse:
        return ""


def _named(platform: Platform, clause: str, out: Collection[str], added: Collection[str]) -> Iterator[str]:
    if _TO_COME.search(clause.casefold()) or _NOT_SO & set(clause.casefold().split()):
        return
    subject = _MORE.sub("", clause)
    said = subject.casefold().split()
    if not _RIGHT & set(said) or _OF_IT & set(said):
        return
    names = [name for name in added if name in out and re.search(rf"{re.escape(name)}(?![\w'])", subject)]
    for word in subject.split():
        try:
            names.append(removable(platform, word, added))
        except WrongUse:
            continue
    for name in names:
        if name in out and ("fuse" not in said or isinstance(platform.parts.get(name), Fuse)):
            yield name

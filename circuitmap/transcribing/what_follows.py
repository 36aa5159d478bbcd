"""What may stand at a place of a text: the words of the notation that the grammar allows there, and the names that are
known."""

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from circuitmap.notation.lines import LONGEST_STATEMENT, comment_start, statement_texts
from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.parser import Stuck, read_tree
from circuitmap.notation.trade_words import keywords
from circuitmap.source import SourceFile
from circuitmap.wiring.colours import COLOURS
from circuitmap.wiring.names import owners_in
from circuitmap.wiring.parts import Box, Load, OpenEnd, Undeclared, is_unnamed
from circuitmap.wiring.platform import Platform

FollowsKind = Literal["word", "name", "pin", "colour"]
_NO_WORD = "\x01"
_BEGUN = re.compile(r"[A-Za-z0-9_/+.-]*\Z")
_OPTIONS, _NETWORKS = ("if", "not", "or"), ("on", "joins", "passes")
MOST_NAMES = 2_000
"""Names that are offered; a platform has fewer."""


class MayFollow(NamedTuple):
    """`text` takes the place of what is begun there; `about` says what it is."""

    text: str
    kind: FollowsKind
    about: str = ""


class BegunWord(NamedTuple):
    """The word that is begun at a place: its offset, and what there is of it."""

    start: int
    text: str


def begun_at(source: SourceFile, offset: int) -> BegunWord:
    line = source.position(offset)[0]
    before = source.text[source.line_starts[line - 1] : offset]
    match = _BEGUN.search(before)
    assert match is not None
    return BegunWord(offset - len(match[0]), match[0])


def may_follow(source: SourceFile, offset: int, platform: Platform) -> list[MayFollow]:
    """What may stand at an offset, words of the notation first. Nothing inside of a text in quotes or a remark."""
    begun = begun_at(source, offset)
    stuck = _stuck_before(source, begun.start)
    if stuck is None:
        return []
    accepts = stuck.accepts
    words = sorted(
        {written for terminal, written in keywords().items() if terminal in accepts and written[0].isalpha()}
    )
    found = [MayFollow(word, "word") for word in words if word.startswith(begun.text)]
    if "COLOUR" in accepts:
        found += [MayFollow(its.code, "colour", its.name) for its in COLOURS if its.code.startswith(begun.text.upper())]
    if "NAME" in accepts:
        found += list(_names(platform, stuck.previous, begun.text))[:MOST_NAMES]
    return found


def _stuck_before(source: SourceFile, at: int) -> Stuck | None:
    """Where reading the statement stands at an offset; None in a quoted text, a remark, or behind a slip."""
    line_number = source.position(at)[0]
    line_start = source.line_starts[line_number - 1]
    typed = source.text[line_start:at]
    if comment_start(typed) < len(typed):
        return None
    text = source.text[:at]
    start = line_start
    if typed[:1].isspace() or not typed:
        above = [its.start for its in statement_texts(SourceFile(source.path, text))]
        start = above[-1] if above and typed else line_start
    if at - start > LONGEST_STATEMENT:
        return None
    tree = read_tree(text + _NO_WORD, start, at + 1)
    return tree if isinstance(tree, Stuck) and tree.word == _NO_WORD else None


def _names(platform: Platform, before: str, begun: str) -> Iterator[MayFollow]:
    small = begun.casefold()
    if before in _OPTIONS:
        yield from (MayFollow(o.name, "name", o.description) for o in platform.options.values() if _fits(o.name, small))
        return
    if before in _NETWORKS:
        yield from (MayFollow(n.name, "name", n.kind) for n in platform.networks.values() if _fits(n.name, small))
        return
    if before in STATEMENT_WORDS:
        return  # a new name is declared here
    for part in platform.parts.values():
        begun_here = isinstance(part, Undeclared) and part.name == begun
        if not isinstance(part, OpenEnd) and not begun_here and _fits(part.name, small):
            yield MayFollow(part.name, "name", part.kind)
    for owner, _ in owners_in(begun):
        its = platform.parts.get(owner)
        if its is not None and not isinstance(its, Box) and owner != begun:
            wires = platform.wires_at.get(owner, ())
            ends = {end.pin for wire in wires for end in (wire.a, wire.b) if end.part == owner}
            roles = its.roles if isinstance(its, Load) else {}
            for pin in sorted({*ends, *roles} - {""}):
                if not is_unnamed(pin) and f"{owner}.{pin}".casefold().startswith(small):
                    yield MayFollow(f"{owner}.{pin}", "pin", roles.get(pin, ""))


def _fits(name: str, begun: str) -> bool:
    """Whether a name begins so, or one of its tails does: `f22` for CAB.F22."""
    small = name.casefold()
    return small.startswith(begun) or f".{begun}" in small

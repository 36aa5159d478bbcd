"""A statement that is being mended so that reading can go on after a fault, and the place where reading gets stuck."""

from collections.abc import Iterable
from dataclasses import dataclass

from circuitmap.effort import Effort
from circuitmap.notation.lines import StatementText
from circuitmap.notation.parser import Node, Stuck, Token, read_tree
from circuitmap.source import SourceFile, Span

_LONGEST_NAMED = 40


@dataclass(frozen=True, slots=True)
class Draft:
    """The text of a statement with mends in it; `origin` is the offset in the file of each character and of the end.
    Reading it spends `effort`, one unit for each character."""

    source: SourceFile
    text: str
    origin: tuple[int, ...]
    effort: Effort

    def mended(self, start: int, end: int, replacement: str) -> "Draft":
        """The draft with the stretch from `start` to `end` replaced."""
        inserted = (self.origin[start],) * len(replacement)
        return Draft(
            self.source,
            self.text[:start] + replacement + self.text[end:],
            self.origin[:start] + inserted + self.origin[end:],
            self.effort,
        )

    def with_mends(self, mends: Iterable[tuple[int, int, str]]) -> "Draft":
        """The draft with several stretches replaced, which are given from left to right."""
        texts: list[str] = []
        origins: list[int] = []
        at = 0
        for start, end, replacement in mends:
            texts += self.text[at:start], replacement
            origins += self.origin[at:start]
            origins += (self.origin[start],) * len(replacement)
            at = end
        return Draft(self.source, "".join(texts) + self.text[at:], (*origins, *self.origin[at:]), self.effort)

    def part(self, start: int, end: int) -> "Draft":
        return Draft(self.source, self.text[start:end], self.origin[start : end + 1], self.effort)

    def span(self, start: int, end: int) -> Span:
        """Where a stretch of the draft stands in the file."""
        first = self.origin[start]
        return Span(self.source, first, max(first, self.origin[end]))

    def back_in_file(self, part: Node | Token) -> Node | Token:
        """What was read from this draft, moved to where it stands in the file."""
        start, end = self.origin[part.start], self.origin[part.end]
        if isinstance(part, Token):
            return Token(part.symbol, part.text, start, end)
        return Node(part.rule, [self.back_in_file(child) for child in part.children], start, end)


def draft_of(source: SourceFile, place: StatementText, effort: Effort) -> Draft:
    return Draft(source, source.text[place.start : place.end], tuple(range(place.start, place.end + 1)), effort)


def parsed(draft: Draft) -> Node | None:
    """The tree of a draft, with its places in the file; None when it cannot be read."""
    tree = _read(draft)
    if isinstance(tree, Stuck):
        return None
    moved = draft.back_in_file(tree)
    assert isinstance(moved, Node)
    return moved


def where_stuck(draft: Draft) -> Stuck | None:
    """Where reading the draft gets stuck; None when all of it can be read."""
    tree = _read(draft)
    return tree if isinstance(tree, Stuck) else None


def _read(draft: Draft) -> Node | Stuck:
    tree = read_tree(draft.text, 0, len(draft.text))
    # Making the draft cost a little for each of its characters; reading it costs more for each character that was read.
    draft.effort.spend(1 + len(draft.text) // 20 + (tree.at if isinstance(tree, Stuck) else len(draft.text)))
    return tree


def cut(word: str) -> str:
    """A word as a message names it: not longer than a line."""
    return word if len(word) <= _LONGEST_NAMED else word[: _LONGEST_NAMED - 3] + "..."

"""A statement that is being mended so that reading can go on behind a fault, and where reading gets stuck in it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from lark import Token, Tree, UnexpectedCharacters, UnexpectedInput, UnexpectedToken

from circuitmap.notation.lines import StatementText
from circuitmap.notation.parser import statement_parser
from circuitmap.source import SourceFile, Span


@dataclass(frozen=True, slots=True)
class Draft:
    """The text of a statement with mends in it; `origin` is the offset in the file for each character, and the end."""

    source: SourceFile
    text: str
    origin: tuple[int, ...]

    def mended(self, start: int, end: int, replacement: str) -> "Draft":
        """The draft with the stretch from `start` to `end` replaced."""
        inserted = (self.origin[start],) * len(replacement)
        return Draft(
            self.source,
            self.text[:start] + replacement + self.text[end:],
            self.origin[:start] + inserted + self.origin[end:],
        )

    def with_mends(self, mends: Iterable[tuple[int, int, str]]) -> "Draft":
        """The draft with several stretches replaced; they are given from left to right."""
        texts: list[str] = []
        origins: list[int] = []
        at = 0
        for start, end, replacement in mends:
            texts += self.text[at:start], replacement
            origins += self.origin[at:start]
            origins += (self.origin[start],) * len(replacement)
            at = end
        return Draft(self.source, "".join(texts) + self.text[at:], (*origins, *self.origin[at:]))

    def part(self, start: int, end: int) -> "Draft":
        return Draft(self.source, self.text[start:end], self.origin[start : end + 1])

    def span(self, start: int, end: int) -> Span:
        """Where a stretch of the draft stands in the file."""
        first = self.origin[start]
        return Span(self.source, first, max(first, self.origin[end]))

    def back_in_file(self, tree: Tree[Token]) -> Tree[Token]:
        """A tree of this draft, its tokens moved to where they stand in the file."""
        for token in tree.scan_values(lambda value: isinstance(value, Token)):
            start, end = start_of(token), end_of(token)
            token.start_pos, token.end_pos = self.origin[start], self.origin[end]
        return tree


def draft_of(source: SourceFile, place: StatementText) -> Draft:
    return Draft(source, source.text[place.start : place.end], tuple(range(place.start, place.end + 1)))


class Stuck(NamedTuple):
    """Where the parser could not go on: the word there, from `at` to `end` (empty at the end of the statement).

    `tokens` were read before it; `accepts` are the terminals that could have followed them.
    """

    at: int
    end: int
    word: str
    tokens: tuple[Token, ...]
    accepts: frozenset[str]

    @property
    def previous(self) -> str:
        return str(self.tokens[-1]) if self.tokens else ""

    @property
    def behind(self) -> int:
        """Where the token before it ends."""
        return end_of(self.tokens[-1]) if self.tokens else 0


def start_of(token: Token) -> int:
    assert token.start_pos is not None
    return token.start_pos


def end_of(token: Token) -> int:
    assert token.end_pos is not None
    return token.end_pos


_WORD = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|[A-Za-z0-9_/+.*\-]*[A-Za-z0-9_/+*]|[-=><\[\]|~]+|\S')
_WORD_CHARACTER = re.compile(r"[A-Za-z0-9_/+]")


def parsed(draft: Draft) -> Tree[Token] | None:
    """The tree of a draft, with its places in the file; None when it cannot be read."""
    try:
        return draft.back_in_file(statement_parser().parse(draft.text))
    except UnexpectedInput:
        return None


def where_stuck(draft: Draft) -> Stuck | None:
    """Where a draft cannot be read on; None when all of it can."""
    text = draft.text
    parser = statement_parser().parse_interactive(text)
    tokens: list[Token] = []
    at = len(text)
    try:
        for token in parser.lexer_thread.lex(parser.parser_state):  # type: ignore[no-untyped-call] # as Lark has it
            at = start_of(token)
            parser.feed_token(token)
            tokens.append(token)
        at = len(text)
        parser.feed_eof()  # type: ignore[no-untyped-call] # as Lark has it
        return None
    except UnexpectedCharacters as error:
        at = error.pos_in_stream or 0
    except UnexpectedToken as error:
        at = error.token.start_pos if error.token.type != "$END" else len(text)
    if tokens and at < len(text) and end_of(tokens[-1]) == at and _is_split_word(text, at):
        # The lexer took the beginning of a word for a token of its own: the whole word is at fault.
        at = start_of(tokens.pop())
    word = _WORD.match(text, at)
    return Stuck(at, word.end() if word else at, word[0] if word else "", tuple(tokens), accepted_after(tokens))


def accepted_after(tokens: list[Token]) -> frozenset[str]:
    """The terminals that may follow `tokens`, exactly; `$END` where the statement may end."""
    parser = statement_parser().parse_interactive("")
    for token in tokens:
        parser.feed_token(token)
    return frozenset(parser.accepts())  # type: ignore[no-untyped-call] # as Lark has it


def _is_split_word(text: str, at: int) -> bool:
    return bool(_WORD_CHARACTER.match(text[at - 1])) and bool(_WORD_CHARACTER.match(text[at]) or text[at] == ".")

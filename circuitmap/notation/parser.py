"""Reading one statement: from text to a tree, by the table that Lark made of the grammar.

Lark builds the LALR(1) table once, when the grammar changes (`compile_grammar`); the code here walks through it. So no
command has to import Lark or compile its terminals, which would take longer than reading a vehicle. A word is always
read as a whole, so that a fault can be reported for the whole word.
"""

import json
import re
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple

from circuitmap.notation.names import NAME

COMPILED = Path(__file__).with_name("compiled_grammar.json")
"""Written by `python -m circuitmap.notation.compile_grammar`; a test compares it with the grammar."""

END = "$END"
"""The symbol after the last token of a statement."""


class Token(NamedTuple):
    """A word, text in quotes or sign; `symbol` is the terminal of the grammar, `text` as it was typed."""

    symbol: str
    text: str
    start: int
    end: int


class Node(NamedTuple):
    """What a rule of the grammar covers: its parts, without the keywords that always stand there, and its place in the
    file."""

    rule: str
    children: "list[Token | Node]"
    start: int
    end: int


class Stuck(NamedTuple):
    """Where reading a statement got stuck: the word there, from `at` to `end` (empty at the end of the statement), and
    the tokens before it."""

    at: int
    end: int
    word: str
    tokens: tuple[Token, ...]

    @property
    def accepts(self) -> frozenset[str]:
        """The terminals that could have stood there, exactly; `$END` where the statement could end."""
        return accepted_after(self.tokens)

    @property
    def previous(self) -> str:
        return self.tokens[-1].text if self.tokens else ""

    @property
    def behind(self) -> int:
        """Where the token before it ends."""
        return self.tokens[-1].end if self.tokens else 0


class Rule(NamedTuple):
    """`kept` are the parts that go into the tree: their index, and whether they are a list to be spliced in. `passes`:
    a rule with one part is replaced by that part."""

    name: str
    length: int
    kept: tuple[tuple[int, bool], ...]
    passes: bool


class ParseTable(NamedTuple):
    """The compiled grammar. An action is the state to go to, or -1 - r to reduce by rule r; an action for `$END` that
    is not a reduction means that the statement has been read.

    `patterns` are, for each state, the terminals that can stand there and are not always written the same way.
    """

    literals: dict[str, str]
    rules: tuple[Rule, ...]
    states: list[dict[str, int]]
    patterns: list[tuple[tuple[str, re.Pattern[str]], ...]]


# One token, with whatever may stand before it: a word (which a `*` may end), a text in quotes, a sign, or anything
# else.
_TOKEN = re.compile(
    rf"""(?:[ \t\r\n]++|\#[^\r\n]*+)*+
    (?: ({NAME}(?:\.?\*)?)
      | ("(?:[^"\\\r\n]|\\[^\r\n])*+")
      | (->|-\[|\]->|\.\.|[,:?()])
      | (\Z)
      | ("|[-=><\[\]|~]+|.) )""",
    re.VERBOSE | re.DOTALL | re.ASCII,
)
_WORD, _STRING, _SIGN, _NOTHING = 1, 2, 3, 4
_WORD_GOES_ON = re.compile(r"[A-Za-z0-9_/+]")


@cache
def table() -> ParseTable:
    """The compiled grammar that the package ships."""
    return table_from(COMPILED.read_text(encoding="utf-8"))


def table_from(text: str) -> ParseTable:
    shipped = json.loads(text)
    patterns = [(symbol, re.compile(pattern)) for symbol, pattern in shipped["patterns"]]
    return ParseTable(
        literals=shipped["literals"],
        rules=tuple(
            Rule(name, length, tuple((index, spliced) for index, spliced in kept), passes)
            for name, length, kept, passes in shipped["rules"]
        ),
        states=shipped["states"],
        patterns=[tuple(pair for pair in patterns if pair[0] in row) for row in shipped["states"]],
    )


def read_tree(text: str, start: int, end: int) -> Node | Stuck:
    """The tree of the statement from `start` to `end`, or the place where it cannot be read."""
    literals, rules, rows, patterns = table()
    states = [0]
    values: list[Token | Node | list[Token | Node]] = []
    starts: list[int] = []
    ends: list[int] = [start]
    tokens: list[Token] = []
    match = _TOKEN.match
    at = start
    while True:
        found = match(text, at, end)
        assert found is not None and found.lastindex is not None
        kind = found.lastindex
        token_start, at = found.span(kind)
        word = found[kind]
        state = states[-1]
        row = rows[state]
        if kind in (_WORD, _STRING):
            symbol = literals.get(word, "")
            if symbol not in row:
                symbol = ""
                for terminal, pattern in patterns[state]:
                    whole = pattern.match(text, token_start, end)
                    if whole and whole.end() >= at and not _WORD_GOES_ON.match(text, whole.end(), end):
                        symbol, at, word = terminal, whole.end(), whole[0]
                        break
        elif kind == _NOTHING:
            symbol = END
        else:
            symbol = literals.get(word, "")
        action = row.get(symbol)
        while action is not None and action < 0:
            name, length, kept, passes = rules[-1 - action]
            if length:
                parts = values[-length:]
                del values[-length:], states[-length:]
                node_start, node_end = starts[-length], ends[-1]
                del starts[-length:], ends[-length:]
            else:
                parts = []
                node_start = node_end = ends[-1]
            children: list[Token | Node] | None = None
            for index, spliced in kept:
                part = parts[index]
                if spliced:
                    # The list that began a repetition is its own from here on: it grows in place.
                    children = part if children is None else children + part  # type: ignore[assignment,operator]
                elif children is None:
                    children = [part]  # type: ignore[list-item]
                else:
                    children.append(part)  # type: ignore[arg-type]
            if children is None:
                children = []
            if name[0] == "_":
                values.append(children)
            elif passes and len(children) == 1:
                values.append(children[0])
            else:
                values.append(Node(name, children, node_start, node_end))
            starts.append(node_start)
            ends.append(node_end)
            state = rows[states[-1]][name]
            states.append(state)
            row = rows[state]
            action = row.get(symbol)
        if action is None:
            return Stuck(token_start, at, word, tuple(tokens))
        if symbol == END:
            tree = values[-1]
            assert isinstance(tree, Node)
            return tree
        token = Token(symbol, word, token_start, at)
        tokens.append(token)
        values.append(token)
        starts.append(token_start)
        ends.append(at)
        states.append(action)


def plain_tokens(text: str) -> list[Token]:
    """The words, texts in quotes and signs of a text, without asking whether they may stand there."""
    tokens: list[Token] = []
    at = 0
    while True:
        found = _TOKEN.match(text, at)
        assert found is not None and found.lastindex is not None
        if found.lastindex == _NOTHING:
            return tokens
        start, at = found.span(found.lastindex)
        tokens.append(Token("", found[found.lastindex], start, at))


def accepted_after(tokens: tuple[Token, ...]) -> frozenset[str]:
    """The terminals that may follow `tokens`, exactly: a table of LALR(1) alone would name too many."""
    states = [0]
    for token in tokens:
        after = states_after(states, token.symbol)
        assert after is not None
        states = after
    return accepted_in(tuple(states))


@lru_cache(maxsize=1024)
def accepted_in(states: tuple[int, ...]) -> frozenset[str]:
    """The terminals that may come next, given the states through which the tokens before led."""
    return frozenset(s for s in table().states[states[-1]] if s.isupper() and states_after(list(states), s) is not None)


def states_after(states: list[int], symbol: str) -> list[int] | None:
    """The states after one more symbol; None when it cannot stand there."""
    rows, rules = table().states, table().rules
    states = states.copy()
    action = rows[states[-1]].get(symbol)
    while action is not None and action < 0:
        rule = rules[-1 - action]
        if rule.length:
            del states[-rule.length :]
        states.append(rows[states[-1]][rule.name])
        action = rows[states[-1]].get(symbol)
    return None if action is None else [*states, action]

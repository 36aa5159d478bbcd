"""The parser of one statement, made by Lark from the grammar or loaded from its compiled table."""

import json
from functools import cache
from pathlib import Path

import lark
from lark import Lark
from lark.lexer import PatternRE, PatternStr, TerminalDef

COMPILED = Path(__file__).with_name("compiled_grammar.json")
"""Written by `python -m circuitmap.notation.compile_grammar`; a test compares it with the grammar."""

START, END_STATE = "statement", "read"
_PACKAGE = Path(__file__).resolve().parent.parent
_WORD_ENDS = r"(?![A-Za-z0-9_\/+.\-])"


def grammar_folder() -> Path:
    """Where the grammar and its reference are: inside the installed package, or beside it in a checkout."""
    shipped = _PACKAGE / "grammar"
    return shipped if shipped.is_dir() else _PACKAGE.parent / "grammar"


def parser_from_grammar() -> Lark:
    """The parser, built from the text of the grammar; takes some 100 ms."""
    text = (grammar_folder() / "circuitmap.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="contextual", start=START, edit_terminals=_whole_words)


def _whole_words(terminal: TerminalDef) -> None:
    """A keyword ends where its word ends: `inrun` is not `in run`. It comes before a name where both may stand."""
    if isinstance(terminal.pattern, PatternStr) and terminal.pattern.value[0].isalpha():
        terminal.pattern = PatternRE(terminal.pattern.value + _WORD_ENDS)
        terminal.priority = 1


@cache
def statement_parser() -> Lark:
    """The parser that is used; ready after the first call."""
    return parser_from_table(COMPILED.read_text(encoding="utf-8")) or parser_from_grammar()


def parser_from_table(text: str) -> Lark | None:
    """The parser, loaded from a table made by `compile_grammar`; None when another release of Lark made it."""
    shipped = json.loads(text)
    if shipped["lark"] != lark.__version__:
        return None
    *rows, [[_, end]] = shipped["states"]
    symbols = {symbol: number for number, symbol in enumerate({symbol for row in rows for symbol, _ in row})}
    shipped["data"]["parser"]["parser"] = {
        "tokens": {number: symbol for symbol, number in symbols.items()},
        "states": {
            state: {symbols[symbol]: (int(isinstance(to, dict)), to) for symbol, to in row}
            for state, row in enumerate(rows)
        },
        "start_states": {START: 0},
        "end_states": {START: end},
    }
    parser: Lark = Lark._load_from_dict(  # type: ignore[no-untyped-call] # what Lark's own generated parsers call
        shipped["data"], dict(shipped["memo"])
    )
    return parser


def literal_terminals() -> dict[str, str]:
    """Terminal -> what is written, for keywords and signs."""
    literal: dict[str, str] = {}
    for terminal in statement_parser().terminals:
        pattern = terminal.pattern
        if isinstance(pattern, PatternStr):
            literal[terminal.name] = pattern.value
        elif pattern.value.endswith(_WORD_ENDS):
            literal[terminal.name] = pattern.value.removesuffix(_WORD_ENDS)
    return literal

"""The parser of one statement, made by Lark from the grammar or loaded from its compiled table."""

from functools import cache
from pathlib import Path

from lark import Lark

_PACKAGE = Path(__file__).resolve().parent.parent


def grammar_folder() -> Path:
    """Where the grammar and its reference are: inside the installed package, or beside it in a checkout."""
    shipped = _PACKAGE / "grammar"
    return shipped if shipped.is_dir() else _PACKAGE.parent / "grammar"


def parser_from_grammar() -> Lark:
    """The parser, built from the text of the grammar; takes some 100 ms."""
    text = (grammar_folder() / "circuitmap.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="contextual", start="statement")


@cache
def statement_parser() -> Lark:
    """The parser that is used; ready after the first call."""
    return parser_from_grammar()

"""The parser of one statement, made by Lark from the grammar or loaded from its compiled table."""

from functools import cache
from pathlib import Path

from lark import Lark
from lark.lexer import PatternRE, PatternStr, TerminalDef

_PACKAGE = Path(__file__).resolve().parent.parent
_WORD_ENDS = r"(?![A-Za-z0-9_\/+.\-])"


def grammar_folder() -> Path:
    """Where the grammar and its reference are: inside the installed package, or beside it in a checkout."""
    shipped = _PACKAGE / "grammar"
    return shipped if shipped.is_dir() else _PACKAGE.parent / "grammar"


def parser_from_grammar() -> Lark:
    """The parser, built from the text of the grammar; takes some 100 ms."""
    text = (grammar_folder() / "circuitmap.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="contextual", start="statement", edit_terminals=_whole_words)


def _whole_words(terminal: TerminalDef) -> None:
    """A keyword ends where its word ends: `inrun` is not `in run`. It comes before a name where both may stand."""
    if isinstance(terminal.pattern, PatternStr) and terminal.pattern.value[0].isalpha():
        terminal.pattern = PatternRE(terminal.pattern.value + _WORD_ENDS)
        terminal.priority = 1


@cache
def statement_parser() -> Lark:
    """The parser that is used; ready after the first call."""
    return parser_from_grammar()


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

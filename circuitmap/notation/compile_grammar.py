"""Makes the compiled grammar that the package ships: `python -m circuitmap.notation.compile_grammar`.

Lark reads the grammar here, reports its conflicts and builds the table; nothing else needs Lark.
"""

import json
from functools import cache
from typing import Any

from lark import Lark
from lark.grammar import Rule
from lark.lexer import PatternRE, PatternStr, TerminalDef

from circuitmap.notation.manual import manual_folder
from circuitmap.notation.parser import COMPILED, END

_WORD_ENDS = r"(?![A-Za-z0-9_\/+.\-])"


@cache
def parser_from_grammar() -> Lark:
    """Lark's own parser for one statement, from the text of the grammar."""
    text = (manual_folder() / "circuitmap.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="contextual", start="statement", edit_terminals=_whole_words)


def _whole_words(terminal: TerminalDef) -> None:
    """A keyword ends where its word ends: `inrun` is not `in run`. Where both may stand, a keyword takes precedence
    over a name."""
    if isinstance(terminal.pattern, PatternStr) and terminal.pattern.value[0].isalpha():
        terminal.pattern = PatternRE(terminal.pattern.value + _WORD_ENDS)
        terminal.priority = 1


def literal_terminals() -> dict[str, str]:
    """Terminal -> how it is written, for keywords and signs."""
    literal: dict[str, str] = {}
    for terminal in parser_from_grammar().terminals:
        pattern = terminal.pattern
        if isinstance(pattern, PatternStr):
            literal[terminal.name] = pattern.value
        elif pattern.value.endswith(_WORD_ENDS):
            literal[terminal.name] = pattern.value.removesuffix(_WORD_ENDS)
    return literal


def compiled_grammar() -> str:
    """The table as JSON. The same grammar always gives the same text."""
    parser = parser_from_grammar()
    literals = literal_terminals()
    patterns = [
        [terminal.name, terminal.pattern.value]
        for terminal in sorted(parser.terminals, key=lambda terminal: -terminal.priority)
        if terminal.name not in literals and terminal.name not in parser.ignore_tokens
    ]
    rules = {rule: number for number, rule in enumerate(parser.rules)}
    return (
        f'{{"literals": {json.dumps({written: terminal for terminal, written in literals.items()})},\n'
        f'"patterns": {_in_lines(patterns)},\n'
        f'"rules": {_in_lines(_kept(rule) for rule in rules)},\n'
        f'"states": {_in_lines(_states(parser, rules))}}}\n'
    )


def _in_lines(values: Any) -> str:
    return "[\n" + ",\n".join(json.dumps(value) for value in values) + "\n]"


def _kept(rule: Rule) -> list[Any]:
    """A rule's name and length, the parts that go into the tree, and whether the rule stands for its only part.

    Signs and keywords do not go in, unless the rule is marked with `!` in the grammar; rules with `_` are spliced in.
    """
    kept = [
        [index, not symbol.is_term and symbol.name.startswith("_")]
        for index, symbol in enumerate(rule.expansion)
        if not getattr(symbol, "filter_out", False)
    ]
    return [str(rule.origin.name), len(rule.expansion), kept, bool(rule.options.expand1)]


def _states(parser: Lark, rules: dict[Rule, int]) -> list[dict[str, int]]:
    """For each state its actions: the state to go to, or -1 - r to reduce by rule r.

    States are numbered as they are first reached from the start, state 0, symbols taken in alphabetical order.
    """
    table = parser.parser.parser.parser.parse_table
    (start,), (read,) = table.start_states.values(), table.end_states.values()
    number = {start: 0}
    waiting = [start]
    rows: list[dict[str, int]] = []
    for state in waiting:
        row: dict[str, int] = {}
        actions = {str(symbol): action for symbol, action in table.states[state].items()}
        for symbol, (_, argument) in sorted(actions.items(), key=lambda item: item[0]):
            if isinstance(argument, Rule):
                row[symbol] = -1 - rules[argument]
                continue
            if argument not in number:
                number[argument] = len(number)
                waiting.append(argument)
            row[symbol] = number[argument]
        if state == read:
            row[END] = 0
        rows.append(row)
    return rows


def main() -> None:
    COMPILED.write_text(compiled_grammar(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

"""Writes the compiled grammar that the package ships: `python -m circuitmap.notation.compile_grammar`.

The table is Lark's own serialized form, as JSON: it loads in a tenth of the time that building it takes, and it is
text that can be compared, never pickled.
"""

import json
from typing import Any

import lark
from lark import Lark
from lark.grammar import Rule
from lark.lexer import TerminalDef

from circuitmap.notation.parser import COMPILED, END_STATE, parser_from_grammar


def compiled(parser: Lark) -> str:
    """The table of a parser as JSON. The same grammar always gives the same text."""
    data, memo = parser.memo_serialize([TerminalDef, Rule])
    data["options"]["edit_terminals"] = None
    table = data["parser"]["parser"]
    data["parser"]["parser"] = None
    states = "[\n" + ",\n".join(json.dumps(row) for row in _in_fixed_order(table)) + "\n]"
    terminals_and_rules = "[\n" + ",\n".join(json.dumps([number, value]) for number, value in memo.items()) + "\n]"
    return (
        f'{{"lark": {json.dumps(lark.__version__)},\n'
        f'"data": {json.dumps(data)},\n'
        f'"states": {states},\n'
        f'"memo": {terminals_and_rules}}}\n'
    )


def _in_fixed_order(table: dict[str, Any]) -> list[list[list[Any]]]:
    """For each state its actions, as (symbol, rule to reduce by or state to shift to).

    States are numbered as they are first reached from the start, state 0, symbols taken by the alphabet. The last row
    holds the one state in which the statement has been read.
    """
    names = table["tokens"]
    (start,), (end,) = table["start_states"].values(), table["end_states"].values()
    number = {start: 0}
    waiting = [start]
    rows: list[list[list[Any]]] = []
    for state in waiting:
        row: list[list[Any]] = []
        for symbol, (reduces, argument) in sorted(
            (names[token], action) for token, action in table["states"][state].items()
        ):
            if reduces:
                row.append([symbol, argument])
                continue
            if argument not in number:
                number[argument] = len(number)
                waiting.append(argument)
            row.append([symbol, number[argument]])
        rows.append(row)
    return [*rows, [[END_STATE, number[end]]]]


def main() -> None:
    COMPILED.write_text(compiled(parser_from_grammar()), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

import json

from circuitmap.notation.compile_grammar import compiled
from circuitmap.notation.parser import COMPILED, parser_from_grammar, parser_from_table, statement_parser


def test_the_compiled_grammar_is_that_of_the_grammar():
    """After a change of the grammar: `python -m circuitmap.notation.compile_grammar`."""
    assert COMPILED.read_text(encoding="utf-8") == compiled(parser_from_grammar())


def test_the_compiled_grammar_makes_the_same_trees():
    text = 'module HEATER "Auxiliary heater" supply A1 ground A12 awake 300mA..400mA if not TOW'
    assert statement_parser() is not None
    assert statement_parser().parse(text) == parser_from_grammar().parse(text)


def test_a_table_of_another_release_of_lark_is_not_used():
    table = json.loads(COMPILED.read_text(encoding="utf-8"))
    table["lark"] = "0.0"
    assert parser_from_table(json.dumps(table)) is None

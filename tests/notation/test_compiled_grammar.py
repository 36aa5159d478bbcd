from circuitmap.notation.compile_grammar import compiled_grammar
from circuitmap.notation.parser import COMPILED


def test_the_compiled_grammar_is_that_of_the_grammar():
    """After a change of the grammar: `python -m circuitmap.notation.compile_grammar`."""
    assert COMPILED.read_text(encoding="utf-8") == compiled_grammar()

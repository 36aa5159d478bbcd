import subprocess
import sys
from pathlib import Path

from circuitmap.notation.compile_grammar import compiled_grammar
from circuitmap.notation.parser import COMPILED

ROOT = Path(__file__).parents[2]


def test_the_compiled_grammar_is_that_of_the_grammar():
    """After a change of the grammar: `python -m circuitmap.notation.compile_grammar`."""
    assert COMPILED.read_text(encoding="utf-8") == compiled_grammar()


def test_reading_does_not_import_lark():
    """Importing it would take longer than reading a vehicle."""
    code = "import sys, circuitmap.notation.reading, circuitmap.notation.tidy; sys.exit('lark' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False, cwd=ROOT).returncode == 0

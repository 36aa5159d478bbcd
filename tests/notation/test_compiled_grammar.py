import re
import subprocess
import sys
from pathlib import Path

from circuitmap.notation.compile_grammar import compiled_grammar
from circuitmap.notation.manual import manual_folder
from circuitmap.notation.names import NAME
from circuitmap.notation.parser import COMPILED

ROOT = Path(__file__).parents[2]


def test_the_compiled_grammar_is_that_of_the_grammar():
    """After a change of the grammar: `python -m circuitmap.notation.compile_grammar`."""
    assert COMPILED.read_text(encoding="utf-8") == compiled_grammar()


def test_names_are_those_of_the_grammar() -> None:
    written = re.search(r"^NAME: /(.*)/$", (manual_folder() / "circuitmap.lark").read_text("utf-8"), re.MULTILINE)
    assert written and written[1].replace(r"\/", "/") == NAME


def test_reading_does_not_import_lark():
    """Importing it would take longer than reading a vehicle."""
    code = "import sys, circuitmap.notation.reading, circuitmap.notation.tidy; sys.exit('lark' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False, cwd=ROOT).returncode == 0

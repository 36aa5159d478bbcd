"""The command lines of README.md by name, so that tests and CI run exactly what the reader is told to type.

A command is a fenced block below a comment `<!-- command: NAME -->`. `python tests/readme_commands.py NAME` prints one.
"""

import re
import sys
from pathlib import Path

README = Path(__file__).parent.parent / "README.md"
_BLOCK = re.compile(r"<!-- command: (?P<name>[^>]+?) -->\s*```sh\n(?P<command>.*?)\n```", re.DOTALL)


def readme_commands() -> dict[str, str]:
    """Name -> command line, continuation lines joined."""
    text = README.read_text("utf-8")
    return {m["name"]: m["command"].replace("\\\n", " ") for m in _BLOCK.finditer(text)}


if __name__ == "__main__":
    print(readme_commands()[sys.argv[1]])

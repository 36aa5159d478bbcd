"""The grammar for editors is that of the notation's own words, and colours every line of the samples as it is read."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from circuitmap.notation.lines import comment_start, statement_texts
from circuitmap.notation.manual import manual_folder
from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.parser import Stuck, read_tree
from circuitmap.notation.textmate_grammar import FILE_NAME, textmate_grammar
from circuitmap.notation.trade_words import keywords
from circuitmap.source import SourceFile

ROOT = Path(__file__).parents[2]
FILES = [
    *sorted((ROOT / "sample_vehicles").rglob("*.circuit")),
    *sorted((ROOT / "tests" / "papers").rglob("*.circuit")),
]
SHIPPED = json.loads((manual_folder() / FILE_NAME).read_text("utf-8"))
PATTERNS = [(its["name"].removesuffix(".circuit"), re.compile(its["match"])) for its in SHIPPED["patterns"]]


def coloured(line: str) -> Iterator[tuple[int, int, str]]:
    """As an editor does it: at each place the earliest match wins, and of several there the first of the list."""
    at = 0
    while at < len(line):
        found = [
            (match.start(), number, match.end())
            for number, (_, its) in enumerate(PATTERNS)
            if (match := its.search(line, at))
        ]
        if not found:
            return
        start, number, end = min(found)
        yield start, end, PATTERNS[number][0]
        at = max(end, at + 1)


def test_it_is_that_of_the_notation() -> None:
    """After a change of the words: `python -m circuitmap.notation.textmate_grammar`."""
    assert (manual_folder() / FILE_NAME).read_text("utf-8") == textmate_grammar()
    assert all(word in SHIPPED["patterns"][3]["match"] for word in map(re.escape, STATEMENT_WORDS))


SCOPES = {
    "STRING": "string", "NAME": "variable", "COLOUR": "constant.other", "QUANTITY": "constant.numeric", "RANGE": "constant.numeric",
    "PATTERN": "variable", "LETTERS": "variable", "YEARS": "",
}  # fmt: skip
WORDS = set(keywords().values())


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}-{file.stem}")
def test_every_word_of_the_samples_is_coloured_as_it_is_read(file: Path) -> None:
    source = SourceFile(file.name, file.read_text("utf-8"))
    scope_at: dict[int, str] = {}
    covered: set[int] = set()
    for number, start in enumerate(source.line_starts, 1):
        line = source.line(number)
        for a, b, scope in coloured(line):
            scope_at[start + a] = scope
            covered.update(range(start + a, start + b))
        plain = [c for at, c in enumerate(line) if start + at not in covered and not c.isspace()]
        assert not plain, (line, plain)
        if (at := comment_start(line)) < len(line):
            assert scope_at[start + at] == "comment.line.number-sign", line
    for its in statement_texts(source):
        for symbol, start, text in _tokens(source, its.start, its.end):
            scope = scope_at.get(start, "")
            if _only_its_place_tells(symbol, text):
                continue
            wanted = SCOPES.get(symbol, "keyword" if text[0].isalpha() else "")
            assert scope.startswith(wanted), (symbol, text, scope, its)


def _only_its_place_tells(symbol: str, text: str) -> bool:
    """A pin called 30 or 53s, a position called `on` or ON; a colour of the maker's in small letters, which may be a
    position."""
    is_word = text in WORDS or text[0].isdigit() or (len(text) == 2 and text.isupper())
    return (symbol in ("NAME", "LETTERS") and is_word) or (symbol == "COLOUR" and text.islower() and "/" not in text)


def _tokens(source: SourceFile, start: int, end: int) -> Iterator[tuple[str, int, str]]:
    stuck = read_tree(source.text[:end] + " \x01", start, end + 2)
    assert isinstance(stuck, Stuck)
    for token in stuck.tokens:
        yield token.symbol, token.start, token.text

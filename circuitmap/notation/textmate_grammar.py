"""Makes the grammar by which editors colour the notation: `python -m circuitmap.notation.textmate_grammar`.

It is made of the notation's own words, in the form that TextMate began and many editors read (a list of regular
expressions with names of scopes; its naming conventions from memory). A test compares it.
"""

import json
import re
from typing import Any

from circuitmap.notation.folder import ENDING
from circuitmap.notation.manual import manual_folder
from circuitmap.notation.names import LEVEL, STATEMENT_WORDS
from circuitmap.notation.trade_words import keywords
from circuitmap.quantities import UNIT_BY_SUFFIX

FILE_NAME = "circuitmap.tmLanguage.json"
_BEFORE, _BEHIND = r"(?<![A-Za-z0-9_/+.-])", r"(?![A-Za-z0-9_/+.-])"
_COLOUR = r"(?<=\bin )(?:(?:GNYE|[A-Z]{2})(?:/[A-Z]{2}){0,3}|[a-z]{2}(?:/[a-z]{2}){1,3})(?![A-Za-z0-9_./-])"
# As `names.NAME`, but that no point of a row begins another level, and that a minus ends where a line does.
_MINUS = r"-(?=[\s,)#]|$)"
_PART = rf"{LEVEL}(?:{_MINUS})?"
_NAME = rf"(?:{_PART}|{_BEFORE}{_MINUS})(?:\.(?!\.)(?:{_PART}|-))*"


def textmate_grammar() -> str:
    """The grammar as JSON. The same words always give the same text."""
    others = [word for word in keywords().values() if word[0].isalpha() and word not in STATEMENT_WORDS]
    units = "|".join(re.escape(unit) for unit in sorted(UNIT_BY_SUFFIX, key=lambda its: (-len(its), its)))
    number = rf"[0-9]+(?:\.[0-9]+)?(?:{units})?"
    patterns = [
        _pattern("comment.line.number-sign", r"#.*$"),
        _pattern("string.quoted.double", r'"(?:[^"\\]|\\.)*"'),
        _pattern("invalid.illegal", r'"[^"]*$'),
        _pattern("keyword.control", rf"^(?:{_any_of(STATEMENT_WORDS)}){_BEHIND}"),
        _pattern("keyword.operator", r"->|\.\.|\?"),
        _pattern("constant.other.colour", _COLOUR),
        _pattern("keyword.other", rf"{_BEFORE}(?:{_any_of([*others, *STATEMENT_WORDS])}){_BEHIND}"),
        _pattern("constant.numeric", rf"{_BEFORE}{number}(?:\.\.{number})?{_BEHIND}"),
        _pattern("variable.other", rf"{_NAME}\*?"),
        _pattern("punctuation.separator", r"[,()]"),
    ]
    whole = {
        "name": "circuitmap notation",
        "scopeName": "source.circuit",
        "fileTypes": [ENDING.removeprefix(".")],
        "patterns": patterns,
    }
    return json.dumps(whole, indent=1) + "\n"


def _pattern(scope: str, match: str) -> dict[str, Any]:
    return {"name": f"{scope}.circuit", "match": match}


def _any_of(words: Any) -> str:
    """Longer words first: a shorter one may be how a longer one begins."""
    return "|".join(re.escape(word) for word in sorted(set(words), key=lambda word: (-len(word), word)))


def main() -> None:
    (manual_folder() / FILE_NAME).write_text(textmate_grammar(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

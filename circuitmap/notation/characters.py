"""Characters that have no place in the notation: hidden ones anywhere, foreign ones outside of quotes and comments."""

import re
import unicodedata
from collections.abc import Iterator

from circuitmap.notation.draft import Draft
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile, Span

# Control characters; carriage returns that end no line; characters that change the direction of writing, so that a line
# looks different from what it says; other line ends; characters that cannot be seen; halves of characters.
HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]|\r(?![\r\n]|\\Z)"
)
_DIRECTION = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")

_SIGNS = {
    "“": '"', "”": '"', "„": '"', "‟": '"', "«": '"', "»": '"', "″": '"', "＂": '"', "→": "->", "⟶": "->", "➔": "->",
    "➜": "->", "➝": "->", "⇒": "->", "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "‒": "-", "…": "..", "·": ".",
    "×": "x", "²": "2", "Ω": "ohm", "\u2126": "ohm", "µ": "u", "μ": "u", "，": ",", "、": ",", "；": ";", "：": ":",
    "\xa0": " ", "\u2002": " ", "\u2003": " ", "\u2007": " ", "\u2009": " ", "\u202f": " ", "\u3000": " ",
}  # fmt: skip

# Letters of other alphabets that look like ours.
_LETTERS = dict(
    zip("АВЕЅІЈКМНОРСТУХаеѕіјорсухΑΒΕΖΗΙΚΜΝΟΡΤΥΧο", "ABESIJKMHOPCTYXaesijopcyxABEZHIKMNOPTYXo", strict=True)
)

_QUOTED = re.compile(r'"(?:[^"\\\r\n]|\\[^\r\n])*"|#[^\r\n]*')
_CURLED = "“”„‟«»″＂"
_CURLED_TEXT = re.compile(rf'[{_CURLED}][^{_CURLED}"\r\n]*[{_CURLED}]|[{_CURLED}]')
_WORD = re.compile(r'[^\s"#,:()]+|[^\S\x00-\x7f]+')


def hidden_characters(source: SourceFile) -> Iterator[Problem]:
    """Each run of hidden characters in a file."""
    end = -1
    for match in HIDDEN.finditer(source.text):
        if match.start() == end:
            end = match.end()
            continue
        end = match.end()
        character = match[0]
        if character == "\r":
            headline = "There is a carriage return in the middle of this line."
        elif _DIRECTION.match(character):
            headline = f"A character that turns the direction of writing ({_code(character)}) is hidden here."
        else:
            headline = f"A character that cannot be seen ({_code(character)}) is hidden here."
        yield Problem(
            "hidden-character", Severity.ERROR, headline, Span(source, match.start(), match.end()),
            advice="Delete it, or type the line anew.",
        )  # fmt: skip


def without_hidden_characters(draft: Draft) -> Draft:
    """The draft without the characters that `hidden_characters` reports."""
    return draft.with_mends((match.start(), match.end(), "") for match in HIDDEN.finditer(draft.text))


def with_straight_quotes(draft: Draft) -> tuple[Draft, list[Problem]]:
    """The draft with typographic quotes replaced."""
    return _with_plain(draft, _CURLED_TEXT)


def without_foreign_characters(draft: Draft) -> tuple[Draft, list[Problem]]:
    """The draft with every character that cannot stand outside of quotes replaced by what was probably meant."""
    return _with_plain(draft, _WORD)


def _with_plain(draft: Draft, pattern: re.Pattern[str]) -> tuple[Draft, list[Problem]]:
    if draft.text.isascii():
        return draft, []
    outside = _QUOTED.sub(lambda match: " " * len(match[0]), draft.text)
    found = [match.span() for match in pattern.finditer(outside) if not match[0].isascii()]
    plain = [_plain(draft.text[start:end], pattern is _CURLED_TEXT) for start, end in found]
    problems = [
        _foreign(draft.span(start, end), draft.text[start:end], text)
        for (start, end), text in zip(found, plain, strict=True)
    ]
    mends = ((start, end, text) for (start, end), text in zip(found, plain, strict=True))
    return draft.with_mends(mends), problems


def _foreign(span: Span, written: str, plain: str) -> Problem:
    character = next(c for c in written if not c.isascii())
    if character in _CURLED:
        headline = "These are not straight quotes."
    elif character.isspace():
        headline = f"This is not a plain space ({_code(character)})."
    elif character.isalpha() and character not in _SIGNS:
        headline = f"The letter {character} ({_code(character)}) cannot stand in a name."
    else:
        headline = f"The character {character} ({_code(character)}) cannot stand here."
    known = "\ufffd" not in written and "_" not in plain.replace("_" * written.count("_"), "")
    expected = "letters A to Z without marks, digits and the signs of the keyboard, outside of quotes"
    return Problem(
        "foreign-character",
        Severity.ERROR,
        headline,
        span,
        expected="" if known and plain.strip() else expected,
        suggestion=plain.strip() if known else "",
    )


def _plain(text: str, only_quotes: bool) -> str:
    if only_quotes:
        return text.translate(dict.fromkeys(map(ord, _CURLED), '"'))
    return "".join(_plain_character(character) for character in text)


def _plain_character(character: str) -> str:
    if character.isascii():
        return character
    known = _SIGNS.get(character) or _LETTERS.get(character)
    if known:
        return known
    decomposed = "".join(c for c in unicodedata.normalize("NFKD", character) if c.isascii())
    return decomposed if decomposed and decomposed.isprintable() else "_"


def _code(character: str) -> str:
    return f"U+{ord(character):04X}"

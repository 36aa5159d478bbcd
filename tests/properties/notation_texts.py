"""Strategies for the notation: statements that the grammar allows, words in any order, any text; and what a statement
says regardless of its place."""

from typing import Any

from hypothesis import strategies as st

from circuitmap.notation.parser import END, accepted_in, states_after, table
from circuitmap.notation.statements import Statement, Word
from circuitmap.source import Span

WRITTEN = {
    "NAME": ("CAB.F22", "HEATER.A.12", "BAT.+", "BAT.-", "X1-2/3", "off", "30", "87a", "in", "TOW"),
    "PATTERN": ("SP*", "CAB.X*"),
    "LETTERS": ("sw", "BK"),
    "COLOUR": ("BK", "OG/BK", "rt/ws", "GNYE"),
    "YEARS": ("2016", "2016-2020"),
    "QUANTITY": ("20A", "7.5A", "400mA", "72Ah", "12V", "0.75mm2", "18awg", "15min", "120ohm"),
    "RANGE": ("300mA..400mA", "20min..40min"),
    "STRING": ('"cab heating"', '"21-04"', '""', r'"7\" screen, \\"', '"Kühler, 30 °"', '"# 3"'),
}
"""Samples of what each terminal that is not always written the same can look like."""

LITERAL = {symbol: written for written, symbol in table().literals.items()}
_CLOSE = ("STRING", "NAME", "QUANTITY", "COLOUR", "PATTERN", "LETTERS", "YEARS")


def written_as(symbol: str) -> st.SearchStrategy[str]:
    return st.just(LITERAL[symbol]) if symbol in LITERAL else st.sampled_from(WRITTEN[symbol])


@st.composite
def statements(draw: st.DrawFn, longest: int = 14) -> list[str]:
    """The tokens of a statement that the grammar allows, drawn by walking through its table."""
    states = [0]
    tokens: list[str] = []
    while True:
        allowed = accepted_in(tuple(states))
        if END in allowed and (len(tokens) >= longest or draw(st.integers(0, 5)) == 0):
            return tokens
        choices = sorted(allowed - {END})
        if len(tokens) >= longest:
            # Then the shortest way to the end: a needed word rather than one more clause or item.
            choices = [symbol for symbol in _CLOSE if symbol in choices] or choices
        symbol = draw(st.sampled_from(choices))
        tokens.append(draw(written_as(symbol)))
        after = states_after(states, symbol)
        assert after is not None
        states = after


words = st.one_of(st.sampled_from(sorted(LITERAL.values())), *(st.sampled_from(w) for w in WRITTEN.values()))
"""One word, text or sign of the notation."""

comments = st.sampled_from(("", "  # a remark", " #", '# "half', "# 20A -> x"))

_scraps = st.one_of(
    words,
    st.sampled_from(
        ("\n", "\n    ", "\n\n", "\r\n", "\t", " ", "#", '"', "'", "-", ">", "[", "]", ".", "..", "\\", "*")
    ),
    st.sampled_from(("1OA", "20 A", "7,5A", "modul", "=>", ";", "“x”", "→", "É", "\u202e", "\u200b", "\0", "\r", "世")),
    st.text(max_size=4),
)
texts = st.lists(_scraps, max_size=40).map(" ".join) | st.lists(_scraps, max_size=40).map("".join)
"""Any text, made mostly of scraps of notation."""


@st.composite
def layouts(draw: st.DrawFn, tokens: list[str]) -> str:
    """A statement written in some way: blanks, line breaks with indented lines, comments."""
    text = tokens[0]
    for token in tokens[1:]:
        gap = draw(st.sampled_from((" ", " ", " ", "  ", "\t", "\n    ", "\n\t", " # remark\n  ")))
        text += gap + token
    return text + draw(comments)


@st.composite
def files(draw: st.DrawFn) -> str:
    """A file of several statements, comments and empty lines."""
    lines: list[str] = []
    for tokens in draw(st.lists(statements(8), max_size=5)):
        lines.append(draw(layouts(tokens)))
        lines += draw(st.lists(st.sampled_from(("", "# a line of its own", "    # indented", "", "   ")), max_size=3))
    return draw(st.sampled_from(("", "\n", "\n\n\n"))) + "\n".join(lines) + draw(st.sampled_from(("", "\n", "\n\n")))


def said(value: Any) -> Any:
    """A statement, or a part of one, without the places in it."""
    if isinstance(value, Word):
        return value.text
    if isinstance(value, Span):
        return None
    if hasattr(value, "_asdict"):
        return (type(value).__name__, *((name, said(its)) for name, its in value._asdict().items()))
    if isinstance(value, tuple):
        return tuple(said(item) for item in value)
    return value


def all_said(statements_read: tuple[Statement, ...]) -> list[Any]:
    return [said(statement) for statement in statements_read]

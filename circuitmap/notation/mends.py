"""The faults that a person who writes the notation makes, and how each is mended so that reading can go on.

Every function of `CANDIDATES` looks at where the parser got stuck and offers mends; the first one with which the
statement can be read is taken as what was meant.
"""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from circuitmap.notation.draft import Draft, cut, parsed
from circuitmap.notation.names import NAME, STATEMENT_WORDS, complaint_about_name
from circuitmap.notation.near_words import near_word
from circuitmap.notation.parser import END, Stuck
from circuitmap.notation.quotes import quotings
from circuitmap.notation.trade_words import STYLES, expected_words, joined, keywords
from circuitmap.problems import Problem, Severity
from circuitmap.quantities import UNIT_BY_SUFFIX, letter_among_digits, with_digits


class Mend(NamedTuple):
    """A draft that may be what was meant, and the problem that it mends.

    `sure`: it names what was meant, so it stands even when the rest of the statement cannot be read. `invented`: it
    only serves to read on; what the statement then says must not be used.
    """

    draft: Draft
    problem: Problem
    sure: bool = False
    invented: bool = False


Candidate = Callable[[Stuck, Draft], Iterator[Mend]]

_NAME = re.compile(rf"{NAME}\Z")
_ITEM = re.compile(rf"{NAME}(\.?\*)?\Z")
_COLOUR = re.compile(r"[A-Z]{2}(/[A-Z]{2})*\Z")
_SIZE = re.compile(r"[0-9.]+(mm2|awg)\Z")
_LISTS = frozenset(
    ("fuse", "link", "breaker", "diode", "resistor", "splice", "connector", "terminal", "ground")
)  # fmt: skip
_HOLDS_FOR_ALL = frozenset(
    ("cavities", "wired", "at", "number", "reach", "if", "copied", "hands-off", "not", "care")
)  # fmt: skip
_ARROW = "->"
_ARROW_LIKE = re.compile(r"-*[=~-]>+|-{2,}>?|>+|<-+>?|->>+|-")
_ARROW_WITH_LOOK = re.compile(r"-\[([^\[\]\n]*)\]?\s*[-=~>]*>?")
_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+[A-Za-z]+2?)(?![A-Za-z0-9_])")
_BARE_COMMA = re.compile(r"([0-9]+),([0-9]+)(?![A-Za-z0-9_.])")
_BARE_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?\Z")
_LEADING_DOT = re.compile(r"\.[0-9]+[A-Za-z]+2?(?![A-Za-z0-9_.])")
_REMARK = re.compile(r"[A-Za-z][a-z']*(?:[ ,]+[a-z][a-z']*)+[.!]?(?=[ \t\r]*(?:\n|\Z))")
_PLAIN_WORD = re.compile(r"[A-Za-z][a-z-]+\Z")
_LOOK_BEHIND = re.compile(r"\s*(?::|in\b)\s*[A-Z]{2}\b")
_PLAIN_WORDS = re.compile(r"[A-Za-z']+( +[A-Za-z']+)+\Z")


def problem_at(draft: Draft, start: int, end: int, code: str, headline: str, **more: str) -> Problem:
    """An error at a stretch of the draft; `more` are the other texts of a Problem."""
    return Problem(
        code, Severity.ERROR, headline, draft.span(start, end),
        expected=more.get("expected", ""), suggestion=more.get("suggestion", ""), advice=more.get("advice", ""),
    )  # fmt: skip


def _first_word(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`modul HEATER`: the statement word is misspelt."""
    if not _is_unknown_beginning(stuck):
        return
    word = stuck.previous
    near = near_word(word, STATEMENT_WORDS)
    if near:
        start, end = stuck.tokens[0].start, stuck.tokens[0].end
        headline = f"`{cut(word)}` is not a word that begins a statement."
        problem = problem_at(draft, start, end, "misspelt-word", headline, suggestion=near)
        yield Mend(draft.mended(start, end, near), problem, sure=True)


def _keyword(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`suply A1`: a word inside a statement is misspelt."""
    if not stuck.word[:1].isalpha():
        return
    words = [keywords()[terminal] for terminal in stuck.accepts if terminal in keywords()]
    near = near_word(stuck.word, [word for word in words if word[0].isalpha()])
    if near:
        headline = f"`{cut(stuck.word)}` is not a word that can stand here."
        problem = problem_at(draft, stuck.at, stuck.end, "misspelt-word", headline, suggestion=near)
        yield Mend(draft.mended(stuck.at, stuck.end, near), problem, sure=True)


def _quantity(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`O.75mm2`, `20 A`, `0,75mm2`, `.5mm2`: a quantity that is not written as the notation has it."""
    if "QUANTITY" in stuck.accepts:
        mended = with_digits(stuck.word)
        if mended:
            headline = f"{cut(stuck.word)} has the letter {letter_among_digits(stuck.word)} in its number."
            yield _as_quantity(draft, stuck.at, stuck.end, headline, mended)
        dot = _LEADING_DOT.match(draft.text, stuck.at)
        if dot:
            yield _as_quantity(draft, stuck.at, dot.end(), f"{dot[0]} has no digit before the point.", f"0{dot[0]}")
    if _BARE_NUMBER.match(stuck.previous):
        start = stuck.tokens[-1].start
        comma = _DECIMAL_COMMA.match(draft.text, start)
        if comma:
            meant = f"{comma[1]}.{comma[2]}"
            yield _as_quantity(draft, start, comma.end(), f"{comma[0]} is written with a comma.", meant)
        bare = _BARE_COMMA.match(draft.text, start)
        if bare and stuck.tokens[-1].symbol == "QUANTITY":
            meant = f"{bare[1]}.{bare[2]}"
            yield _as_quantity(draft, start, bare.end(), f"{bare[0]} is written with a comma.", meant)
        if stuck.word in UNIT_BY_SUFFIX:
            headline = "A number and its unit are written together."
            yield _as_quantity(draft, start, stuck.end, headline, stuck.previous + stuck.word)


def _as_quantity(draft: Draft, start: int, end: int, headline: str, meant: str) -> Mend:
    problem = problem_at(draft, start, end, "bad-quantity", headline, suggestion=meant)
    return Mend(draft.mended(start, end, meant), problem, sure=True)


def _missing_name(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`module supply A1`, `fuse 20A CAB.F1`: the name is missing, or comes later."""
    if len(stuck.tokens) < 2 or stuck.tokens[-1].symbol != "NAME":
        return
    before, word = stuck.tokens[-2].text, stuck.previous
    start, end = stuck.tokens[-1].start, stuck.tokens[-1].end
    if before not in keywords().values():
        return
    if word in keywords().values():
        expected = expected_words({"NAME"}, stuck.tokens[:-1])
        headline = f"Behind `{before}` a name is missing."
        problem = problem_at(draft, start, end, "missing-name", headline, expected=expected)
        yield Mend(draft.mended(start, start, "UNNAMED "), problem, sure=True, invented=True)
    elif complaint_about_name(word) and _NAME.match(stuck.word):
        problem = problem_at(
            draft, start, end, "bad-name", complaint_about_name(word), advice="The name comes first."
        )  # fmt: skip
        yield Mend(draft.mended(start, end, ""), problem)


def _style(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`20A standard`: a word that is no style of a fuse."""
    styles = {keywords()[terminal] for terminal in stuck.accepts if terminal in keywords()}
    if styles.issuperset(STYLES) and _PLAIN_WORD.match(stuck.word) and len(stuck.tokens) > 1:
        headline = f"`{cut(stuck.word)}` is not a style of fuse."
        expected = joined(STYLES)
        problem = problem_at(draft, stuck.at, stuck.end, "unexpected", headline, expected=expected)
        yield Mend(draft.mended(stuck.at, stuck.end, ""), problem, sure=True)


def _post(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`BAT +` in a wire, `ground B -`: the sign of a pin stands apart."""
    if stuck.word in ("+", "-") and stuck.tokens and stuck.tokens[-1].symbol == "NAME":
        in_wire = stuck.tokens[0].symbol == "NAME"
        start, meant = stuck.tokens[-1].start, f"{stuck.previous}{'.' if in_wire else ''}{stuck.word}"
        headline = "A plus or minus is written behind a point." if in_wire else "A pin is written as one word."
        problem = problem_at(draft, start, stuck.end, "bad-name", headline, suggestion=meant)
        yield Mend(draft.mended(start, stuck.end, meant), problem)


def _for_all(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`connector X2 cavities 2, X5`: what holds for a whole list, behind a name in the middle of it."""
    if stuck.word != "," or not stuck.tokens or stuck.tokens[0].text not in _LISTS:
        return
    commas = [at for at, token in enumerate(stuck.tokens) if token.text == ","]
    own = stuck.tokens[(commas[-1] if commas else 0) + 1 :]
    word = next((token for token in own if token.text in _HOLDS_FOR_ALL), None)
    if word is not None:
        headline = f"`{word.text}` stands behind the last name of a list, and holds for all of it."
        advice = "Where they differ, declare each on a line of its own."
        problem = problem_at(draft, word.start, stuck.behind, "unexpected", headline, advice=advice)
        yield Mend(draft.mended(word.start, stuck.behind, ""), problem, sure=True)


def _leads_nowhere(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`A -> : RD`, `A -> -> B`: no name after an arrow."""
    if stuck.previous == _ARROW and "NAME" in stuck.accepts and not stuck.word[:1].isalnum():
        mend = unfinished(stuck, draft)
        yield mend


def _arrow(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`=>`, `-->`, `-[RD]>`: a sign that should be an arrow."""
    if not _accepts(stuck, _ARROW):
        return
    with_look = _ARROW_WITH_LOOK.match(draft.text, stuck.at)
    if with_look:
        headline, advice = "This is not an arrow.", f"What the wire looks like stands behind its end: in {with_look[1]}"
        problem = problem_at(draft, stuck.at, with_look.end(), "bad-arrow", headline, suggestion=_ARROW, advice=advice)
        yield Mend(draft.mended(stuck.at, with_look.end(), " -> "), problem, sure=True)
        return
    written = _ARROW_LIKE.match(draft.text, stuck.at)
    if written:
        problem = problem_at(draft, stuck.at, written.end(), "bad-arrow", "This is not an arrow.", suggestion=_ARROW)
        yield Mend(draft.mended(stuck.at, written.end(), " -> "), problem, sure=True)


def _no_arrow(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`A -> B C -> D`: two names of a chain with nothing between them."""
    begun = any(token.text == _ARROW for token in stuck.tokens)
    in_first_list = not begun and draft.text[stuck.end :].lstrip().startswith(",")
    chain = begun or ("->" in draft.text[stuck.end :] and not in_first_list)
    if _is_unknown_beginning(stuck) and not chain:
        # `LOCK.3 G3`: only a wire has a pin, or a wire's look after it.
        looks = bool(_LOOK_BEHIND.match(draft.text, stuck.end))
        chain = "." in stuck.previous or (looks and not stuck.previous.islower())
    if chain and _NAME.match(stuck.word) and _accepts(stuck, _ARROW):
        headline = f"Between {cut(stuck.previous)} and {cut(stuck.word)} there is no arrow and no comma."
        problem = problem_at(draft, stuck.at, stuck.end, "missing-arrow", headline, expected="`->` or `,`")
        yield Mend(draft.mended(stuck.at, stuck.at, "-> "), problem)


def _in(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`A -> B RD 1mm2`, `A -> B in RD`: colour and size without `in` before them."""
    if not _accepts(stuck, "in"):
        return
    expected = "`in` before colour and size"
    if _COLOUR.match(stuck.word) or _SIZE.match(stuck.word):
        headline = f"There is no `in` before {cut(stuck.word)}."
        problem = problem_at(draft, stuck.at, stuck.end, "missing-in", headline, expected=expected)
        yield Mend(draft.mended(stuck.at, stuck.at, "in "), problem)
    elif stuck.word == ":":
        headline = "Colour and size stand behind `in`."
        problem = problem_at(draft, stuck.at, stuck.end, "missing-in", headline, suggestion="in")
        yield Mend(draft.mended(stuck.at, stuck.end, " in "), problem)


def _comma(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`members BCM HEATER`: two items of a list without a comma."""
    of_wire = "->" in draft.text[stuck.end :]
    if "COMMA" in stuck.accepts and _ITEM.match(stuck.word) and (of_wire or not _is_unknown_beginning(stuck)):
        headline = f"There is no comma before {cut(stuck.word)}."
        problem = problem_at(draft, stuck.at, stuck.end, "missing-comma", headline, expected="`,`")
        yield Mend(draft.mended(stuck.at, stuck.at, ", "), problem)


def _stray_sign(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`supply: A1`, a `;` at the end: a sign too many."""
    if stuck.tokens and len(stuck.word) == 1 and not stuck.word.isalnum() and stuck.word != '"':
        headline = f"`{cut(stuck.word)}` has no place here."
        problem = problem_at(draft, stuck.at, stuck.end, "stray-sign", headline)
        yield Mend(draft.mended(stuck.at, stuck.end, " "), problem)


def _quotes(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`at left of the column`, `'Body computer'`, `? on sheet 41-01`: a text without its quotes, in a place for a
    quoted text."""
    if stuck.word == "'" and "STRING" in stuck.accepts:
        end = draft.text.find("'", stuck.end)
        if end > 0 and "\n" not in draft.text[stuck.at : end]:
            mended = draft.mended(end, end + 1, '"').mended(stuck.at, stuck.end, '"')
            yield Mend(mended, _unquoted(draft, stuck.at, end + 1), sure=True)
    elif stuck.accepts == {"STRING"} or (stuck.previous == "?" and "STRING" in stuck.accepts):
        yield from _quoted(stuck, draft)


def _description(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`module BCM Body computer supply A1`: words that may be a description."""
    words = [keywords()[terminal] for terminal in stuck.accepts if terminal in keywords()]
    if "STRING" in stuck.accepts and not near_word(stuck.word, words):
        for mend in _quoted(stuck, draft):
            if _PLAIN_WORDS.match(mend.problem.span.text):
                yield mend


def _quoted(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    if not stuck.word[:1].isalnum():
        return
    for mended in quotings(draft, stuck.at):
        if draft.effort.used_up:
            return
        if parsed(mended):
            end = mended.text.index('"', stuck.at + 1) - 1
            yield Mend(mended, _unquoted(draft, stuck.at, end))
            return


def _unquoted(draft: Draft, start: int, end: int) -> Problem:
    meant = '"' + draft.text[start:end].strip("'") + '"'
    return problem_at(draft, start, end, "missing-quotes", "This text does not stand in quotes.", suggestion=meant)


def _remark(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`A -> B goes to the rear`: words meant for a reader, without the `#` before them."""
    words = _REMARK.match(draft.text, stuck.at)
    if words:
        headline = "These words mean nothing to the notation."
        advice = "A remark begins with `#`, a description stands in quotes."
        problem = problem_at(draft, stuck.at, words.end(), "stray-words", headline, advice=advice)
        yield Mend(draft.mended(stuck.at, words.end(), ""), problem)


CANDIDATES: tuple[Candidate, ...] = (
    _first_word,
    _post,
    _missing_name,
    _keyword,
    _quantity,
    _style,
    _for_all,
    _quotes,
    _remark,
    _leads_nowhere,
    _arrow,
    _in,
    _no_arrow,
    _comma,
    _stray_sign,
    _description,
)


def unfinished(stuck: Stuck, draft: Draft) -> Mend:
    """The statement, or a list or wire in it, ends too early."""
    previous = stuck.previous
    start, end = stuck.tokens[-1].start, stuck.tokens[-1].end
    if previous == _ARROW:
        headline, mended = "This arrow leads nowhere.", draft.mended(end, end, " ?")
    elif previous == ",":
        headline, mended = "This list ends with a comma.", draft.mended(start, end, "")
    else:
        headline, mended = f"Something is missing behind {cut(previous)}.", draft
    expected = expected_words(stuck.accepts, stuck.tokens)
    problem = problem_at(draft, start, end, "unfinished", headline, expected=expected)
    return Mend(mended, problem, invented=previous == _ARROW)


def unexpected(stuck: Stuck, draft: Draft) -> Problem:
    """The problem at this place when no mend helps."""
    expected = expected_words(stuck.accepts, stuck.tokens)
    if not stuck.tokens:
        headline = f"A statement cannot begin with {cut(stuck.word)}."
        return problem_at(draft, stuck.at, stuck.end, "unknown-statement", headline, expected=expected)
    if _is_unknown_beginning(stuck):
        start, end = stuck.tokens[0].start, stuck.tokens[0].end
        headline = f"`{cut(stuck.previous)}` begins no statement."
        return problem_at(draft, start, end, "unknown-statement", headline, expected=expected_words((), ()))
    if "NAME" in stuck.accepts and any(character.isalnum() for character in stuck.word) and stuck.word[0] != '"':
        return problem_at(
            draft, stuck.at, stuck.end, "bad-name", f"{cut(stuck.word)} is not a name.", expected=expected
        )  # fmt: skip
    return problem_at(
        draft, stuck.at, stuck.end, "unexpected", f"{cut(stuck.word)} cannot stand here.", expected=expected
    )


def _accepts(stuck: Stuck, keyword: str) -> bool:
    return any(keywords().get(terminal) == keyword for terminal in stuck.accepts)


def may_end(stuck: Stuck) -> bool:
    """Whether the statement could end where reading is stuck."""
    return END in stuck.accepts


def _is_unknown_beginning(stuck: Stuck) -> bool:
    """The statement does not begin with a statement word, and is not a wire either."""
    return len(stuck.tokens) == 1 and stuck.tokens[0].symbol == "NAME"

"""The faults that a person who writes the notation makes, and how each is mended so that reading can go on.

Every function of `CANDIDATES` looks at where the parser got stuck and offers mends; the first one that lets the
statement be read is what was meant.
"""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from circuitmap.notation.draft import Draft, Stuck, parsed
from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.near_words import near_word
from circuitmap.notation.quotes import quotings
from circuitmap.notation.trade_words import END, expected_words, keywords
from circuitmap.problems import Problem, Severity
from circuitmap.quantities import UNIT_BY_SUFFIX, letter_among_digits, with_digits


class Mend(NamedTuple):
    """A draft that may be what was meant, and the problem it mends. `guessed`: what it says is not to be used."""

    draft: Draft
    problem: Problem
    guessed: bool = False


Candidate = Callable[[Stuck, Draft], Iterator[Mend]]

_NAME = re.compile(r"[A-Za-z0-9_/+]+(?:-[A-Za-z0-9_/+]+)*(?:\.(?:[A-Za-z0-9_/+]+(?:-[A-Za-z0-9_/+]+)*|-))*\Z")
_COLOUR = re.compile(r"[A-Z]{2}(/[A-Z]{2})*\Z")
_ARROW = re.compile(r"-*[=~-]>+|-{2,}>?|>+|<-+>?|->>+|-")
_SIZE = re.compile(r"[0-9.]+(mm2|awg)\Z")
_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+[A-Za-z]+2?)(?![A-Za-z0-9_])")
_BARE_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?\Z")
_LEADING_DOT = re.compile(r"\.[0-9]+[A-Za-z]+2?(?![A-Za-z0-9_.])")
_PLAIN_WORDS = re.compile(r"[A-Za-z']+( +[A-Za-z']+)+\Z")


def problem_at(
    draft: Draft,
    start: int,
    end: int,
    code: str,
    headline: str,
    expected: str = "",
    suggestion: str = "",
    advice: str = "",
) -> Problem:
    return Problem(code, Severity.ERROR, headline, draft.span(start, end), expected, suggestion, advice)


def _first_word(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`modul HEATER`: the statement word is misspelt."""
    if len(stuck.tokens) != 1 or stuck.tokens[0].type != "NAME":
        return
    near = near_word(stuck.previous, STATEMENT_WORDS)
    if near:
        start, end = stuck.behind - len(stuck.previous), stuck.behind
        yield Mend(
            draft.mended(start, end, near),
            problem_at(
                draft, start, end, "misspelt-word", f"`{stuck.previous}` is not a word that begins a statement.",
                suggestion=near,
            ),
        )  # fmt: skip


def _keyword(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`suply A1`: a word inside a statement is misspelt."""
    if not stuck.word[:1].isalpha():
        return
    words = [keywords()[terminal] for terminal in stuck.accepts if terminal in keywords()]
    near = near_word(stuck.word, [word for word in words if word[0].isalpha()])
    if near:
        yield Mend(
            draft.mended(stuck.at, stuck.end, near),
            problem_at(
                draft, stuck.at, stuck.end, "misspelt-word", f"`{stuck.word}` is not a word that can stand here.",
                expected=expected_words(stuck.accepts, stuck.tokens), suggestion=near,
            ),
        )  # fmt: skip


def _quantity(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`O.75mm2`, `20 A`, `0,75mm2`, `.5mm2`: a quantity that is not written as one."""
    if "QUANTITY" in stuck.accepts:
        mended = with_digits(stuck.word)
        if mended:
            headline = f"{stuck.word} has the letter {letter_among_digits(stuck.word)} in its number."
            yield _as_quantity(draft, stuck.at, stuck.end, headline, mended)
        dot = _LEADING_DOT.match(draft.text, stuck.at)
        if dot:
            yield _as_quantity(draft, stuck.at, dot.end(), f"{dot[0]} has no digit before the point.", f"0{dot[0]}")
    if _BARE_NUMBER.match(stuck.previous):
        start = stuck.behind - len(stuck.previous)
        comma = _DECIMAL_COMMA.match(draft.text, start)
        if comma:
            yield _as_quantity(
                draft, start, comma.end(), f"{comma[0]} is written with a comma.", f"{comma[1]}.{comma[2]}"
            )
        if stuck.word in UNIT_BY_SUFFIX:
            headline = "A number and its unit are written together."
            yield _as_quantity(draft, start, stuck.end, headline, stuck.previous + stuck.word)


def _as_quantity(draft: Draft, start: int, end: int, headline: str, meant: str) -> Mend:
    return Mend(
        draft.mended(start, end, meant), problem_at(draft, start, end, "bad-quantity", headline, suggestion=meant)
    )


def _missing_name(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`module supply A1`: what should be named is not."""
    before = str(stuck.tokens[-2]) if len(stuck.tokens) > 1 else ""
    if stuck.tokens and stuck.tokens[-1].type == "NAME" and before in keywords().values():
        if stuck.previous not in keywords().values():
            return
        start = stuck.behind - len(stuck.previous)
        yield Mend(
            draft.mended(start, start, "UNNAMED "),
            problem_at(
                draft, start, stuck.behind, "missing-name", f"Behind `{before}` a name is missing.",
                expected=expected_words({"NAME"}, stuck.tokens[:-1]),
            ),
            guessed=True,
        )  # fmt: skip


def _arrow(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`=>`, `-->`, `-[RD]>`, or no arrow at all."""
    words = {keywords().get(terminal) for terminal in stuck.accepts}
    closing = "]->" in words
    if not closing and "->" not in words:
        return
    sign = "]->" if closing else "->"
    written = re.compile(r"\]?\s*[-=~>]*>|\]").match(draft.text, stuck.at) if closing else None
    written = written or _ARROW.match(draft.text, stuck.at)
    if written:
        headline = "The arrow that began with `-[` ends with `]->`." if closing else "This is not an arrow."
        yield Mend(
            draft.mended(stuck.at, written.end(), f" {sign} "),
            problem_at(
                draft, stuck.at, written.end(), "bad-arrow", headline, expected=f"`{sign}`", suggestion=sign
            ),
        )  # fmt: skip
        return
    goes_on = "->" in draft.text[stuck.end :] or "]->" in draft.text[stuck.end :]
    if _NAME.match(stuck.word) and not closing and (goes_on or any(t in ("->", "]->") for t in stuck.tokens)):
        yield Mend(
            draft.mended(stuck.at, stuck.at, f"{sign} "),
            problem_at(
                draft, stuck.at, stuck.end, "missing-arrow",
                f"Between {stuck.previous} and {stuck.word} there is no arrow and no comma.",
                expected=expected_words(stuck.accepts, stuck.tokens),
            ),
        )  # fmt: skip


def _colon(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`A -> B RD 1mm2`: colour and size without the colon before them."""
    if "COLON" in stuck.accepts and (_COLOUR.match(stuck.word) or _SIZE.match(stuck.word)):
        yield Mend(
            draft.mended(stuck.at, stuck.at, ": "),
            problem_at(
                draft, stuck.at, stuck.end, "missing-colon", f"There is no colon before {stuck.word}.",
                expected="`:` between the last name and colour and size",
            ),
        )  # fmt: skip


def _comma(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`members BCM HEATER`: two items of a list without a comma."""
    if "COMMA" in stuck.accepts and _NAME.match(stuck.word):
        yield Mend(
            draft.mended(stuck.at, stuck.at, ", "),
            problem_at(
                draft, stuck.at, stuck.end, "missing-comma", f"There is no comma before {stuck.word}.",
                expected=expected_words(stuck.accepts, stuck.tokens),
            ),
        )  # fmt: skip


def _quotes(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`at left of the column`, `'Body computer'`: a text without its quotes."""
    if "STRING" not in stuck.accepts or not stuck.word:
        return
    if stuck.word == "'":
        end = draft.text.find("'", stuck.end)
        if end > 0 and "\n" not in draft.text[stuck.at : end]:
            yield Mend(
                draft.mended(end, end + 1, '"').mended(stuck.at, stuck.end, '"'),
                _unquoted(draft, stuck.at, end + 1),
            )
    only = stuck.accepts == {"STRING"}
    for mended in quotings(draft, stuck.at):
        if parsed(mended):
            end = mended.text.index('"', stuck.at + 1) - 1
            if only or _PLAIN_WORDS.match(draft.text[stuck.at : end]):
                yield Mend(mended, _unquoted(draft, stuck.at, end))
            return


def _unquoted(draft: Draft, start: int, end: int) -> Problem:
    text = draft.text[start:end].strip("'")
    return problem_at(
        draft, start, end, "missing-quotes", "This text does not stand in quotes.", expected="a text in quotes",
        suggestion=f'"{text}"',
    )  # fmt: skip


def _stray_sign(stuck: Stuck, draft: Draft) -> Iterator[Mend]:
    """`supply: A1`, a `;` at the end: a sign too many."""
    if len(stuck.word) == 1 and not stuck.word.isalnum() and stuck.word not in '"':
        yield Mend(
            draft.mended(stuck.at, stuck.end, " "),
            problem_at(
                draft, stuck.at, stuck.end, "stray-sign", f"`{stuck.word}` has no place here.",
                expected=expected_words(stuck.accepts, stuck.tokens),
            ),
        )  # fmt: skip


def unfinished(stuck: Stuck, draft: Draft) -> Mend:
    """The statement ends before it says all that it must."""
    previous = stuck.previous
    if previous in ("->", "]->"):
        headline = "This arrow leads nowhere."
    elif previous == ",":
        headline = "This list ends with a comma."
    else:
        headline = f"Something is missing behind {previous}."
    start = max(0, stuck.behind - len(previous))
    problem = problem_at(
        draft, start, stuck.behind, "unfinished", headline, expected=expected_words(stuck.accepts, stuck.tokens)
    )
    if previous in ("->", "]->"):
        return Mend(draft.mended(stuck.behind, stuck.behind, " ?"), problem)
    if previous == ",":
        return Mend(draft.mended(start, stuck.behind, ""), problem)
    return Mend(draft, problem, guessed=True)


def unexpected(stuck: Stuck, draft: Draft) -> Problem:
    """What stands there when no mend helps."""
    expected = expected_words(stuck.accepts, stuck.tokens)
    if not stuck.tokens:
        headline = f"A statement cannot begin with {stuck.word}."
        return problem_at(draft, stuck.at, stuck.end, "unknown-statement", headline, expected=expected)
    if len(stuck.tokens) == 1 and stuck.tokens[0].type == "NAME":
        start = stuck.behind - len(stuck.previous)
        return problem_at(
            draft, start, stuck.behind, "unknown-statement", f"`{stuck.previous}` begins no statement.",
            expected=expected_words((), ()),
        )  # fmt: skip
    if "NAME" in stuck.accepts and _looks_like_name(stuck.word):
        headline = f"{stuck.word} is not a name."
        return problem_at(draft, stuck.at, stuck.end, "bad-name", headline, expected=expected)
    headline = f"{stuck.word} cannot stand here."
    return problem_at(draft, stuck.at, stuck.end, "unexpected", headline, expected=expected)


def _looks_like_name(word: str) -> bool:
    return any(character.isalnum() for character in word) and not word.startswith('"')


def may_end(stuck: Stuck) -> bool:
    return END in stuck.accepts


CANDIDATES: tuple[Candidate, ...] = (
    _first_word,
    _missing_name,
    _keyword,
    _quantity,
    _arrow,
    _colon,
    _comma,
    _stray_sign,
    _quotes,
)

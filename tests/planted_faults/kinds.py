"""Slips of the kind that people make, to be planted in the sample vehicles: what is changed, and what should be said.

Each kind looks at one file and offers places where it could be planted. The place that should be told is given in the
changed text, so that it can be compared to the character.
"""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple


class Fault(NamedTuple):
    """One planted slip: the changed text, where it should be told, by which codes, and what should be suggested.

    `suggestion` None: no near name can be known, so nothing should be suggested; "": any or none will do.
    """

    text: str
    start: int
    end: int
    codes: tuple[str, ...]
    suggestion: str | None = None


Kind = Callable[[str], Iterator[Fault]]

_STATEMENT = (
    r"^(module|fuse|relay|switch|lamp|motor|heater|network|gateway|output|bar|sheet|battery|stated|splice|ground)\b"
)
_INNER = r"(?<= )(supply|ground|members|closes|positions|feeds|running|asleep|awake|joins|passes)(?= )"
_WIRE = r"^[A-Z][\w.+-]* (?:->|-\[).*$"
_NAME = r"[A-Z][A-Za-z0-9_]*(?:\.[A-Za-z0-9_+]+)*"


def replaced(text: str, start: int, end: int, new: str) -> str:
    return text[:start] + new + text[end:]


def outside_comments(text: str, at: int) -> bool:
    """Whether a place is in the notation itself: not in a comment, not inside quotes."""
    line = text[text.rfind("\n", 0, at) + 1 : at]
    return "#" not in line and line.count('"') % 2 == 0


def found(pattern: str, text: str) -> Iterator[re.Match[str]]:
    return (m for m in re.finditer(pattern, text, re.M) if outside_comments(text, m.start()))


def slips_of(word: str) -> Iterator[str]:
    """A letter left out or doubled, or two letters swapped."""
    middle = len(word) // 2
    yield word[:middle] + word[middle + 1 :]
    yield word[:middle] + word[middle] + word[middle:]
    if word[middle - 1] != word[middle]:
        yield word[: middle - 1] + word[middle] + word[middle - 1] + word[middle + 1 :]


def misspelt_statement_word(text: str) -> Iterator[Fault]:
    for match in found(_STATEMENT, text):
        for slip in slips_of(match[1]):
            changed = replaced(text, *match.span(1), slip)
            yield Fault(changed, match.start(), match.start() + len(slip), ("misspelt-word",), match[1])


def misspelt_inner_word(text: str) -> Iterator[Fault]:
    for match in found(_INNER, text):
        for slip in slips_of(match[1]):
            changed = replaced(text, *match.span(1), slip)
            # `awke` may be `awake` or `wake`: nothing is suggested then.
            codes = ("misspelt-word", "unexpected")
            yield Fault(changed, match.start(), match.start() + len(slip), codes, match[1])


def capital_statement_word(text: str) -> Iterator[Fault]:
    for match in found(_STATEMENT, text):
        changed = replaced(text, *match.span(1), match[1].capitalize())
        yield Fault(changed, *match.span(1), ("misspelt-word",), match[1])


def missing_comma(text: str) -> Iterator[Fault]:
    for match in found(rf"(?<=[\w\"]),(?= {_NAME}\b)", text):
        line_start = text.rfind("\n", 0, match.start()) + 1
        line = text[line_start : text.find("\n", line_start)]
        if line.startswith("colours") or " closes " in line or " positions " in line:
            continue
        name = re.compile(rf"{_NAME}\*?").match(text, match.end() + 1)
        assert name
        changed = replaced(text, *match.span(), "")
        codes = ("missing-comma", "missing-arrow")
        yield Fault(changed, name.start() - 1, name.end() - 1, codes)


def letter_in_number(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )[1-9]?0(?:\.\d+)?(?:A|mA|mm2|min)\b", text):
        slip = match[0].replace("0", "O", 1)
        yield Fault(replaced(text, *match.span(), slip), *match.span(), ("bad-quantity",), match[0])


def wrong_unit(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )\d+(?:\.\d+)?(A|mA|mm2|min|Ah)\b", text):
        for unit in {"A": ("V", "Ah"), "mA": ("mV",), "mm2": ("A",), "min": ("A",), "Ah": ("A",)}[match[1]]:
            slip = match[0].removesuffix(match[1]) + unit
            changed = replaced(text, *match.span(), slip)
            yield Fault(changed, match.start(), match.start() + len(slip), ("bad-quantity",))


def unknown_unit(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )\d+(?:\.\d+)?(A|mA|mm2|min|Ah)\b", text):
        unit = {"A": "amps", "mA": "ma", "mm2": "mm", "min": "mins", "Ah": "AH"}[match[1]]
        slip = match[0].removesuffix(match[1]) + unit
        changed = replaced(text, *match.span(), slip)
        yield Fault(changed, match.start(), match.start() + len(slip), ("bad-quantity",), match[0])


def missing_unit(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )(\d+(?:\.\d+)?)(?:A|mA|mm2|min|Ah)\b(?!\.\.)", text):
        yield Fault(replaced(text, *match.span(), match[1]), *match.span(1), ("bad-quantity",))


def blank_before_unit(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )(\d+(?:\.\d+)?)(A|mA|mm2|min|Ah)\b(?!\.\.)", text):
        slip = f"{match[1]} {match[2]}"
        changed = replaced(text, *match.span(), slip)
        yield Fault(changed, match.start(), match.start() + len(slip), ("bad-quantity",), match[0])


def decimal_comma(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )\d+\.\d+(?:A|mm2)\b", text):
        slip = match[0].replace(".", ",")
        yield Fault(replaced(text, *match.span(), slip), *match.span(), ("bad-quantity",), match[0])


def text_not_closed(text: str) -> Iterator[Fault]:
    for match in found(r'"[^"\n]+"', text):
        changed = replaced(text, match.end() - 1, match.end(), "")
        line_end = changed.find("\n", match.start())
        code_end = line_end if "#" not in changed[match.start() : line_end] else changed.find("#", match.start())
        if '"' not in changed[match.start() + 1 : line_end]:
            yield Fault(changed, match.start(), len(changed[:code_end].rstrip()), ("unclosed-quotes",), "")


def text_not_opened(text: str) -> Iterator[Fault]:
    for match in found(r'(?<= )"[^"\n]+"', text):
        line = text[text.rfind("\n", 0, match.start()) + 1 : text.find("\n", match.start())]
        if line.count('"') == 2:
            changed = replaced(text, match.start(), match.start() + 1, "")
            yield Fault(changed, match.end() - 2, match.end() - 1, ("unclosed-quotes",), "")


def typographic_quotes(text: str) -> Iterator[Fault]:
    for match in found(r'"([^"\n]+)"', text):
        changed = replaced(text, *match.span(), f"“{match[1]}”")
        yield Fault(changed, *match.span(), ("foreign-character",), match[0])


def arrow_to_nothing(text: str) -> Iterator[Fault]:
    for match in found(_WIRE, text):
        last = match[0].rfind("-> ")
        if last > 0:
            at = match.start() + last
            yield Fault(replaced(text, at + 2, match.end(), ""), at, at + 2, ("unfinished",))


def arrow_left_out(text: str) -> Iterator[Fault]:
    for match in found(rf"(?<= )(-> )({_NAME})(?= ->)", text):
        changed = replaced(text, *match.span(1), "")
        yield Fault(changed, match.start(), match.start() + len(match[2]), ("missing-arrow",))


def other_arrow(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= )->(?= )", text):
        for sign in ("=>", "-->", ">", "→"):
            changed = replaced(text, *match.span(), sign)
            code = "foreign-character" if sign == "→" else "bad-arrow"
            yield Fault(changed, match.start(), match.start() + len(sign), (code,), "->")


def in_left_out(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=\w )(in )([A-Z]{2}(?:/[A-Z]{2})*)\b", text):
        changed = replaced(text, *match.span(1), "")
        yield Fault(changed, match.start(), match.start() + len(match[2]), ("missing-in",))


def letter_of_another_alphabet(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=-> )([A-Z][\w]*)", text):
        for ours, foreign in (("A", "А"), ("B", "В"), ("X", "Х"), ("P", "Р"), ("O", "О")):
            if ours in match[0]:
                slip = match[0].replace(ours, foreign, 1)
                word = re.compile(r"[^\s,:]+").match(text, match.start())
                assert word
                changed = replaced(text, *match.span(), slip)
                yield Fault(changed, *word.span(), ("foreign-character",), word[0])


def turned_writing(text: str) -> Iterator[Fault]:
    for match in re.finditer(r'(?<=[a-z]) (?=[a-z]+")', text):
        yield Fault(
            replaced(text, match.start(), match.start(), "\u202e"),
            match.start(),
            match.start() + 1,
            ("hidden-character",),
        )


def indented_by_mistake(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=[a-z0-9]\n)(module|fuse|lamp|relay|splice|switch|motor) ", text):
        changed = replaced(text, match.start(), match.start(), "    ")
        yield Fault(changed, match.start() + 4, match.start() + 4 + len(match[1]), ("indented-line",))


def not_indented(text: str) -> Iterator[Fault]:
    for match in found(r"^ +(at|supply|closes|asleep|awake|running|reach|passes) ", text):
        before = text[text.rfind("\n", 0, match.start() - 1) + 1 : match.start() - 1]
        if before and "#" not in before:
            changed = replaced(text, match.start(), match.start(1), "")
            yield Fault(changed, match.start(), match.start() + len(match[1]), ("not-indented",))


def sign_too_many(text: str) -> Iterator[Fault]:
    for match in found(_WIRE, text):
        if "#" not in match[0]:
            yield Fault(replaced(text, match.end(), match.end(), ";"), match.end(), match.end() + 1, ("stray-sign",))
    for match in found(r"(?<= )(supply|ground|members|at)(?= )", text):
        changed = replaced(text, match.end(), match.end(), ":")
        yield Fault(changed, match.end(), match.end() + 1, ("stray-sign",))


def two_in_a_line(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=[a-z0-9])\n(?=(module|fuse|lamp|relay|splice|switch|motor) )", text):
        before = text[text.rfind("\n", 0, match.start()) + 1 : match.start()]
        if "#" not in before:
            changed = replaced(text, *match.span(), " ")
            yield Fault(changed, match.end(), match.end() + len(match[1]), ("two-statements",))


def row_running_down(text: str) -> Iterator[Fault]:
    for match in found(r"\b([A-Z]+\.)?F(\d+)\.\.F(\d+)\b", text):
        slip = f"{match[1] or ''}F{match[3]}..F{match[2]}"
        yield Fault(replaced(text, *match.span(), slip), match.start(), match.start() + len(slip), ("bad-row",))


def word_as_name(text: str) -> Iterator[Fault]:
    for match in found(rf"(?<=-> ){_NAME}(?= in |\n)", text):
        for word in ("lamp", "ground", "splice"):
            changed = replaced(text, match.end(), match.end(), f", {word}")
            yield Fault(changed, match.end() + 2, match.end() + 2 + len(word), ("bad-name",))


# Slips that can be read but are wrong all the same: only the whole platform shows them.


def misspelt_name(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=-> )([A-Z]{4,})\.(?![FKB]\d)\w+", text):
        slip = next(slips_of(match[1]))
        changed = replaced(text, *match.span(1), slip)
        start = match.start()
        yield Fault(changed, start, start + len(slip), ("unknown-name",), match[1])


def misspelt_member(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=, )([A-Z]{4,})(?=,|\n)", text):
        line = text[text.rfind("\n", 0, match.start()) + 1 : match.start()]
        if line.startswith("network"):
            slip = next(slips_of(match[1]))
            changed = replaced(text, *match.span(1), slip)
            yield Fault(changed, match.start(), match.start() + len(slip), ("unknown-name",), match[1])


def declared_again(text: str) -> Iterator[Fault]:
    for match in found(rf"^(module|lamp|motor|relay|switch|heater) ({_NAME}) .*$", text):
        again = f"{match[0]}\n" if not text[match.end() + 1 : match.end() + 2].isspace() else ""
        if again and "#" not in again:
            start = match.end() + 1
            changed = replaced(text, start, start, again)
            at = start + len(match[1]) + 1
            yield Fault(changed, at, at + len(match[2]), ("declared-twice",))


def other_colour_elsewhere(text: str) -> Iterator[Fault]:
    for match in found(rf"^{_NAME} -> {_NAME} in (RD|BK|BN|GN)\b.*$", text):
        if "#" in match[0] or "code" in match[0] or " if " in match[0]:
            continue
        wire = match[0].replace(f" in {match[1]}", " in VT", 1)
        start = len(text) if text.endswith("\n") else len(text) + 1
        extra = f'sheet "99-99" "Planted"\n{wire}\n'
        changed = text if text.endswith("\n") else text + "\n"
        at = start + extra.index(" in VT") + 4
        colour = re.compile(r"[A-Z/]+").match(changed + extra, at)
        assert colour
        yield Fault(changed + extra, *colour.span(), ("wire-disagrees",))


def wire_typed_twice(text: str) -> Iterator[Fault]:
    sheet = text.find("\nsheet ")
    for match in found(rf"^({_NAME} -> {_NAME}) in .*\n", text):
        if sheet < 0 or match.start() < sheet or "#" in match[0] or "named" in match[0]:
            continue
        changed = replaced(text, match.end(), match.end(), match[0])
        yield Fault(changed, match.end(), match.end() + len(match[1]), ("wire-twice",))


def unknown_option(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= if )([A-Z]{3,})\b", text):
        slip = next(slips_of(match[1]))
        changed = replaced(text, *match.span(1), slip)
        yield Fault(changed, match.start(), match.start() + len(slip), ("unknown-option",), match[1])


def unknown_colour(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= in )[A-Z]{2}/([A-Z]{2})\b", text):
        changed = replaced(text, *match.span(1), "QX")
        yield Fault(changed, *match.span(1), ("unknown-colour",))


def unknown_position(text: str) -> Iterator[Fault]:
    for match in found(r"(?<= in )(start|open|lower|raise|right|left)\b", text):
        slip = next(slips_of(match[1]))
        changed = replaced(text, *match.span(1), slip)
        yield Fault(changed, match.start(), match.start() + len(slip), ("unknown-position",), match[1])


def relay_without_terminal(text: str) -> Iterator[Fault]:
    for match in found(r"(?<=-> )([A-Z]+\.K\d+)(\.\w+)(?= |\n)", text):
        yield Fault(replaced(text, *match.span(2), ""), *match.span(1), ("pin-needed",), "")


KINDS: tuple[Kind, ...] = (
    misspelt_statement_word, misspelt_inner_word, capital_statement_word, missing_comma, letter_in_number, wrong_unit,
    unknown_unit, missing_unit, blank_before_unit, decimal_comma, text_not_closed, text_not_opened, typographic_quotes,
    arrow_to_nothing, arrow_left_out, other_arrow, in_left_out, letter_of_another_alphabet, turned_writing,
    indented_by_mistake, not_indented, sign_too_many, two_in_a_line, row_running_down, word_as_name, misspelt_name,
    misspelt_member, declared_again, other_colour_elsewhere, wire_typed_twice, unknown_option, unknown_colour, unknown_position,
    relay_without_terminal,
)  # fmt: skip

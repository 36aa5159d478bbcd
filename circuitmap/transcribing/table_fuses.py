"""A fuse chart as statements: one fuse a line, and the bars that feed them."""

import re
from collections.abc import Iterator, Sequence

from circuitmap.notation.names import complaint_about_name
from circuitmap.transcribing.asked import Question
from circuitmap.transcribing.cell_values import STYLES, is_empty_slot, rating_in
from circuitmap.transcribing.head_words import head_words
from circuitmap.transcribing.on_sheet import quoted
from circuitmap.transcribing.standing import KnownRow
from circuitmap.transcribing.table_rows import BadRow, TableRow, asked_word, sound, words_in_cell
from circuitmap.wiring.parts import Fuse, Part

_IN_BRACKETS = re.compile(r"\s*\(([^()]*)\)\Z")
_NAME = re.compile(r"[A-Za-z0-9_/+]+(?:-[A-Za-z0-9_/+]+)*(?:\.[A-Za-z0-9_/+]+(?:-[A-Za-z0-9_/+]+)*)*\Z")


_BREAKERS, _FUSES = frozenset(("breaker", "breakers")), frozenset(("fuse", "fuses"))


def fuse_lines(rows: Sequence[TableRow]) -> Iterator[str | Question | KnownRow]:
    """A line for each fuse, then one for each bar; or a question, or a fuse that stands there already."""
    box = rows[0].layout.box if rows else ""
    if box and box not in rows[0].known.names.parts:
        yield f"box {box}{rows[0].behind()}"
    names: dict[str, None] = {}
    bars: dict[str, list[str]] = {}
    for row in rows:
        try:
            name, line = _fuse(row, names)
            bar = _bar(row)
            known = row.known.names.parts.get(name)
            if known is not None and known.declared is not None:
                yield _standing(row, known)
                continue
        except BadRow as why:
            yield why.question
            continue
        names[name] = None
        if bar:
            bars.setdefault(bar, []).append(name)
        yield line
    for bar, fed in bars.items():
        yield f"bar {bar} feeds {', '.join(fed)}{rows[0].behind()}"


def _fuse(row: TableRow, above: dict[str, None]) -> tuple[str, str]:
    cell = row.cell("slot")
    written = row.answer("slot") or row.text("slot")
    bracket = _IN_BRACKETS.search(written)
    heads = set(head_words(row.head.get("slot", "")).split())
    kind = "breaker" if heads & _BREAKERS and not heads & _FUSES else "fuse"
    options: dict[str, None] = {}
    others = []
    for said_there in re.split(r"[,;]", bracket[1]) if bracket else ():
        found = row.options_meant(said_there.strip())
        if "breaker" in said_there.casefold():
            kind = "breaker"
        elif len(found) == 1:
            options[f" if {found[0]}"] = None
        else:
            others.append(said_there.strip())
    name = _named(row, written[: bracket.start()] if bracket else written)
    if name in above:
        raise BadRow(f"{name} stands further up already.", cell)
    said = [*_rating(row), *_style(row)]
    what = row.text("what")
    if is_empty_slot(what) or is_empty_slot(row.text("rating")):
        said.append("empty")
    if what and not is_empty_slot(what):
        said.append(quoted(what))
    if row.text("place"):
        said.append(f"at {quoted(row.text('place'))}")
    options[row.condition()] = None
    line = f"{kind} {name}{''.join(f' {its}' for its in said)}{''.join(options)}{row.behind()}"
    return name, sound(line, cell) + row.remark(*others)


def _standing(row: TableRow, known: Part) -> KnownRow:
    """A fuse that is declared, and of which the row says nothing else. Raises BadRow where it does."""
    cell = row.cell("slot")
    rating = "".join(_rating(row))
    same = isinstance(known, Fuse) and (not rating or known.rating == float(rating.removesuffix("A")))
    if not same or known.declared is None:
        raise BadRow(f"{known.name} is declared already: it is left as it is.", cell)
    return KnownRow(f"{known.kind} {known.name} {rating}".rstrip(), known.declared.place())


def _named(row: TableRow, written: str) -> str:
    words = words_in_cell(written)
    if any(len(word) > 2 and word.isalpha() for word in words):  # "Fuse F12", and not "F 12"
        numbered = [word for word in re.split(r"\s+", written) if any(c.isdecimal() for c in word)]
        asked = asked_word(written, numbered, row.cell("slot"))
        if asked is not None:
            raise asked
    name = written.strip().replace(" ", "")
    if name.isdecimal():
        name = f"F{name}"
    if row.layout.box and "." not in name:
        name = f"{row.layout.box}.{name}"
    if not _NAME.match(name) or complaint_about_name(name):
        raise BadRow(f"{written or 'Nothing'} is not the name of a fuse.", row.cell("slot"))
    return name


def _rating(row: TableRow) -> Iterator[str]:
    text = row.answer("rating") or row.text("rating")
    if not text or is_empty_slot(text):
        return
    found = rating_in(text)
    if found is None:
        raise BadRow(f"{text} is not a rating.", row.cell("rating"))
    yield found[0]


def _style(row: TableRow) -> Iterator[str]:
    text = (row.answer("style") or row.text("style")).casefold()
    if text and text not in STYLES:
        raise BadRow(f"{text} is not a style of fuse.", row.cell("style"), STYLES)
    if text:
        yield text


def _bar(row: TableRow) -> str:
    written = (row.answer("bar") or row.text("bar")).replace(" ", "")
    if not written:
        return ""
    name = f"{row.layout.box}.{written}" if row.layout.box and "." not in written else written
    part = row.known.names.parts.get(name)
    if part is not None and part.kind != "bar":
        raise BadRow(f"{name} is not a bar, but a {part.kind}.", row.cell("bar"))
    if not _NAME.match(name) or complaint_about_name(name) or name.isdecimal():
        raise BadRow(f"{written} is not the name of a bar.", row.cell("bar"))
    return name

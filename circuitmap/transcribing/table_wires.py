"""A wire list as statements: one wire a line."""

import re
from collections.abc import Iterator, Sequence

from circuitmap.notation.names import complaint_about_name
from circuitmap.transcribing.asked import Question
from circuitmap.transcribing.cell_values import colours_in, ends_in, says_nothing, size_in
from circuitmap.transcribing.grid import TableCell
from circuitmap.transcribing.on_sheet import quoted
from circuitmap.transcribing.table_rows import BadRow, TableRow, asked_word, sound, words_in_cell
from circuitmap.wiring.names import owners_in
from circuitmap.wiring.parts import FIRST, SECOND

_LEVEL = r"[A-Za-z0-9_+]+(?:-[A-Za-z0-9_+]+)*-?"
_PRINTED = re.compile(rf"{_LEVEL}(?:\.(?:{_LEVEL}|-))*\Z")


def wire_lines(rows: Sequence[TableRow]) -> Iterator[str | Question]:
    for row in rows:
        try:
            yield _wire(row)
        except BadRow as why:
            yield why.question


def _wire(row: TableRow) -> str:
    first = _end(row, "from")
    last = _end(row, "to")
    chain = [first, *_via(row), last]
    if first == last:
        raise BadRow(f"This wire begins and ends at {first}.", row.cell("to"))
    look = " ".join((*_colour(row), *_size(row), *_code(row)))
    statement = f"{' -> '.join(chain)}{f' in {look}' if look else ''}{row.condition()}{row.behind()}"
    return sound(statement, row.cell("from")) + row.remark()


def _end(row: TableRow, role: str) -> str:
    answer = row.answer(role)
    if answer and not row.is_no_name(answer):
        return _one(row, answer, row.cell(role))
    try:
        return _printed_end(row, role)
    except BadRow as why:
        if not answer:
            raise
        its = why.question
        raise BadRow(f"{answer} is no name here. {its.headline}", row.cell(role), its.choices) from None


def _printed_end(row: TableRow, role: str) -> str:
    written = row.text(role)
    pin = row.answer(f"{role}-pin") or row.printed(f"{role}-pin")
    if pin and (not says_nothing(pin) or (pin == "-" and _has_minus(row, written))):
        written = f"{written}.{pin}"
    return _one(row, written, row.cell(role))


def _has_minus(row: TableRow, owner: str) -> bool:
    return any(end.endswith(".-") for end in row.known.names.terminals_of(owner))


def _one(row: TableRow, written: str, cell: TableCell) -> str:
    """The end that is printed here, in full; one that is not known yet as it is printed."""
    names = row.known.names
    if not written:
        raise BadRow("An end of this wire is missing.", cell)
    if written in names.parts and names.meant(written) == (written,):
        return written
    found = ends_in(_sided(row, written), row.known)
    if len(found) > 1:
        raise BadRow(f"{written} may be several: which?", cell, found)
    if found:
        return found[0]
    plain = re.sub(r"[:/]", ".", written)
    for owner, pin in owners_in(plain):
        near = names.terminals_of(owner)
        if near and (pin or names.terminals_asked(owner)):
            raise BadRow(
                f"{written}: {owner} has no terminal {pin}." if pin else f"Which terminal of {owner}?", cell, near
            )
    words = words_in_cell(written)
    asked = asked_word(written, (end for word in words for end in _ends_of_word(row, word)), cell)
    if asked is not None:
        raise asked
    if not _PRINTED.match(plain) or complaint_about_name(plain) or plain.isdecimal():
        raise BadRow(f"{written} is not the name of an end.", cell)
    return plain


def _ends_of_word(row: TableRow, word: str) -> tuple[str, ...]:
    """The ends that one word of several may mean: known ones, or the terminals of a part that needs one."""
    return ends_in(_sided(row, word), row.known) or row.known.names.terminals_asked(word)


def _sided(row: TableRow, written: str) -> str:
    """What is printed at the sides of fuses, as the notation numbers them."""
    owner, sign, pin = written.rpartition(next((sign for sign in ":/." if sign in written), "."))
    feed, outgoing = row.layout.sides
    if sign and pin in (feed, outgoing) and row.known.names.is_two_sided(owner):
        return f"{owner}.{FIRST if pin == feed else SECOND}"
    return written


def _via(row: TableRow) -> Iterator[str]:
    answer = row.answer("via")
    text = row.text("via") if all(row.is_no_name(its.strip()) for its in re.split(r"[,;]", answer)) else answer
    for piece in re.split(r"[,;]", text):
        if piece.strip():
            yield _one(row, piece.strip(), row.cell("via"))


def _colour(row: TableRow) -> Iterator[str]:
    text = row.answer("colour") or row.text("colour")
    if not text:
        return
    found = colours_in(text, row.known)
    if len(found) != 1:
        raise BadRow(
            f"{text} may be several colours: which?" if found else f"{text} is no colour.", row.cell("colour"), found
        )
    yield found[0]


def _size(row: TableRow) -> Iterator[str]:
    text = row.answer("size") or row.text("size")
    if not text:
        return
    found = size_in(text)
    if found is None:
        raise BadRow(f"{text} is no size of a wire.", row.cell("size"))
    yield found[0]


def _code(row: TableRow) -> Iterator[str]:
    if row.text("code"):
        yield f"code {quoted(row.text('code'))}"

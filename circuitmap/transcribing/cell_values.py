"""What may stand in one cell of a table: a rating, a size, a colour, an end of a wire; in the notation, or nothing."""

import re

from circuitmap.transcribing.head_words import head_words
from circuitmap.transcribing.short_looks import colours_meant
from circuitmap.transcribing.typed_lines import KnownHere
from circuitmap.wiring.colours import codes_meant

NOTHING = frozenset(("", "-", "--", "–", "—", "n.p.", "n/a", "n.a.", "none", "not printed", "/", "."))
"""What stands in a cell that says nothing; common practice, no source."""
EMPTY = frozenset(("empty", "spare", "not used", "unused", "free", "leer", "frei", "unbelegt", "libre", "vide", "vuoto",
                   "libero", "leeg", "tom", "vacio", "wolny", "reserve", "not fitted"))  # fmt: skip
RATINGS = frozenset(
    (1, 2, 3, 4, 5, 7.5, 8, 10, 15, 16, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 400)
)
"""Usual ratings of fuses in vehicles, amperes; from memory. Others are read as well, but tell less of a column."""
SIZES = frozenset((0.22, 0.35, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120))
"""Usual sizes of wires in vehicles, square millimetres; from memory."""
STYLES = ("mini", "regular", "maxi", "low", "two-tab", "three-tab", "cartridge", "bolted", "glass", "torpedo")

_RATING = re.compile(r"(\d{1,3}(?:[.,]\d)?)\s*(a|amp|amps|ampere)?\.?\Z", re.IGNORECASE)
_SIZE = re.compile(r"(\d{1,3}(?:[.,]\d{1,3})?)\s*(mm2|mm²|mm\^2|mmq|qmm|awg|ga)?\.?\Z", re.IGNORECASE)
_NAME = re.compile(r"[A-Za-z0-9_+]+(?:[.:/\-][A-Za-z0-9_+\-]+)*-?\Z")


def says_nothing(text: str) -> bool:
    return text.casefold() in NOTHING


def is_empty_slot(text: str) -> bool:
    return head_words(text) in EMPTY


def rating_in(text: str) -> tuple[str, bool] | None:
    """A rating as the notation writes it, and whether its unit was there."""
    match = _RATING.match(text)
    if match is None:
        return None
    return f"{_number(match[1])}A", match[2] is not None


def size_in(text: str) -> tuple[str, bool] | None:
    """A size as the notation writes it, and whether its unit was there."""
    match = _SIZE.match(text)
    if match is None:
        return None
    gauge = (match[2] or "").casefold() in ("awg", "ga")
    return f"{_number(match[1])}{'awg' if gauge else ''}", match[2] is not None


def usual(value: str, known: frozenset[float | int]) -> bool:
    return float(value.removesuffix("A").removesuffix("awg")) in known


def colours_in(text: str, known: KnownHere) -> tuple[str, ...]:
    """All colours that a cell may mean: codes, the maker's letters, or names of colours."""
    if not text or len(text) > 40:
        return ()
    written = re.sub(r"\s*[/\-,+ ]\s*", "/", text.strip())
    pieces = written.split("/")
    if len(pieces) <= 4 and all(piece in known.letters or piece.upper() == piece for piece in pieces):
        exact = colours_meant(written, known.letters)
        if exact:
            return exact
    meant = [_codes(piece, known) for piece in pieces]
    if len(pieces) <= 4 and all(meant):
        found = [""]
        for codes in meant:
            found = [f"{before}/{code}" if before else code for before in found for code in codes]
        return tuple(dict.fromkeys(found))
    return colours_meant(written, known.letters) if len(pieces) == 1 and text.isalpha() else ()


def _codes(piece: str, known: KnownHere) -> tuple[str, ...]:
    if piece in known.letters:
        return (piece,)
    return colours_meant(piece, known.letters) or codes_meant(piece)


def ends_in(text: str, known: KnownHere) -> tuple[str, ...]:
    """The known ends of a wire that a cell may mean, as it is printed or with a point for `:`, `/` and a blank."""
    if not text or len(text) > 80:
        return ()
    for written in dict.fromkeys((text, re.sub(r"[:/]", ".", text), re.sub(r"\s+", ".", text))):
        if _NAME.match(written):
            found = known.names.meant(written)
            if found:
                return found
    return ()


def looks_like_end(text: str) -> bool:
    """Whether this could be a name, with a terminal or without: letters and digits in one word."""
    return bool(_NAME.match(text)) and any(c.isalpha() for c in text) and text[:1].isalnum() and len(text) <= 24


def looks_like_terminal(text: str) -> bool:
    """Whether a part and a terminal stand here."""
    owner, sign, pin = text.rpartition(next((sign for sign in ":/." if sign in text), "."))
    return bool(sign and pin) and looks_like_end(owner) and any(c.isdecimal() for c in owner)


def _number(written: str) -> str:
    number = written.replace(",", ".")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    whole, point, rest = number.partition(".")
    return f"{whole.lstrip('0') or '0'}{point}{rest}"

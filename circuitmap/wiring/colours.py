"""Colours of wires: the codes of IEC 60757 and the maker's own letters.

Source of the codes: GOST 28763-90, the text of IEC 757:1983 (seen). That the base colour comes first and the tracers
after it, "BN/WH", is common practice in vehicles, no source.
"""

from collections.abc import Mapping
from typing import NamedTuple


class Colour(NamedTuple):
    code: str
    name: str


COLOURS: tuple[Colour, ...] = (
    Colour("BK", "black"),
    Colour("BN", "brown"),
    Colour("RD", "red"),
    Colour("OG", "orange"),
    Colour("YE", "yellow"),
    Colour("GN", "green"),
    Colour("BU", "blue"),
    Colour("VT", "violet"),
    Colour("GY", "grey"),
    Colour("WH", "white"),
    Colour("PK", "pink"),
    Colour("GD", "gold"),
    Colour("TQ", "turquoise"),
    Colour("SR", "silver"),
    Colour("GNYE", "green-and-yellow"),
)
NAME_OF: Mapping[str, str] = {colour.code: colour.name for colour in COLOURS}


def colour_codes(written: str, letters: Mapping[str, str]) -> tuple[str, ...] | str:
    """The codes of a colour as written, base first; or, as a plain string, the part of it that is no colour.

    `letters` maps the maker's own letters to codes; they take precedence over the standard's.
    """
    codes = []
    for part in written.split("/"):
        code = letters.get(part) or (part if part in NAME_OF else "")
        if not code:
            return part
        codes.append(code)
    return tuple(codes)


# What people write instead of a code: common practice, no source.
_HABITS = {
    "BLK": "BK", "BLU": "BU", "BRN": "BN", "RED": "RD", "ORG": "OG", "ORN": "OG", "OR": "OG", "YEL": "YE", "GRN": "GN",
    "VIO": "VT", "PUR": "VT", "PURPLE": "VT", "GRY": "GY", "GRAY": "GY", "GR": "GN, GY", "WHT": "WH", "PNK": "PK",
    "B": "BK, BN, BU", "G": "GN, GY, GD", "K": "BK", "L": "BU", "N": "BN", "O": "OG", "P": "PK, VT", "R": "RD",
    "S": "SR, GY", "T": "TQ", "V": "VT", "W": "WH", "Y": "YE",
}  # fmt: skip
_MEANT = {**{colour.name.upper(): colour.code for colour in COLOURS}, **_HABITS, **{code: code for code in NAME_OF}}


def codes_meant(written: str) -> tuple[str, ...]:
    """The codes that may have been meant by `red`, `R` or `rd`: none, one, or one for each such colour."""
    return tuple(_MEANT[written.upper()].split(", ")) if written.upper() in _MEANT else ()

"""A photo beside a card: told by its bytes, stripped of what the camera wrote into it, named without anybody's name.

A JPEG is a row of segments. Only those that are needed to show it are kept: where it was taken, by what, and the small
picture of the whole inside of it stand in others.
"""

import struct
from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.failures import LimitReached, WrongUse

LARGEST_PHOTO = 2_000_000
"""Bytes; a photo of 1,600 pixels has some 400,000 (seen)."""
LONGEST_SIDE = 4_096
"""Pixels: whoever opens the report must be able to show it."""

_START, _END = b"\xff\xd8", 0xD9
_TABLES = frozenset({0xDB, 0xC4, 0xDD})
_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
_SCAN = 0xDA
_COLOURS = 0xEE
"""How the colours are to be read; without it some pictures come out in wrong ones."""
_NO_LENGTH = frozenset({0x01, *range(0xD0, 0xD8)})
_NO_MARKER = b"\x00" + bytes(range(0xD0, 0xD8))
"""What follows FF inside of the coded picture without ending it. Markers as in ITU-T T.81 (memory)."""


class Photo(NamedTuple):
    """`content` is what is kept; sides in pixels."""

    content: bytes
    width: int
    height: int


def photo_name(its_id: str) -> str:
    """The name of the file beside the card, by the id of its entry."""
    return f"photo-{its_id}.jpg"


def photo_of(content: bytes) -> Photo:
    """The photo without what it says besides its picture. Raises LimitReached for a large one, WrongUse for what is no
    JPEG, or is cut off."""
    if len(content) > LARGEST_PHOTO:
        raise LimitReached(f"A photo has at most {LARGEST_PHOTO:,} bytes.", "Take it again, smaller.")
    if not content.startswith(_START):
        raise WrongUse("This is no photo: a JPEG is expected.")
    kept = [_START]
    sides: tuple[int, int] | None = None
    for marker, piece in _pieces(content):
        if marker in _FRAMES:
            sides = struct.unpack(">HH", piece[5:9]) if len(piece) >= 9 else None
        if marker in _FRAMES or marker in _TABLES or marker in (_SCAN, _COLOURS, _END):
            kept.append(piece)
    if sides is None or not all(sides):
        raise WrongUse("This photo cannot be shown: it says no size.")
    height, width = sides
    if max(sides) > LONGEST_SIDE:
        raise LimitReached(f"A photo has at most {LONGEST_SIDE:,} pixels a side.", "Take it again, smaller.")
    return Photo(b"".join(kept), width, height)


def _pieces(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Each marker with its segment, and a scan with the coded picture behind it; what stands behind the end is none."""
    at = len(_START)
    while True:
        if content[at : at + 1] != b"\xff":
            raise WrongUse(_CUT_OFF)
        while content[at + 1 : at + 2] == b"\xff":
            at += 1
        if at + 1 >= len(content):
            raise WrongUse(_CUT_OFF)
        marker = content[at + 1]
        if marker == _END:
            yield marker, b"\xff\xd9"
            return
        if marker in _NO_LENGTH:
            end = at + 2
        else:
            if at + 4 > len(content):
                raise WrongUse(_CUT_OFF)
            length = int.from_bytes(content[at + 2 : at + 4])
            end = at + 2 + length
            if length < 2 or end > len(content):
                raise WrongUse(_CUT_OFF)
        if marker == _SCAN:
            end = _end_of_scan(content, end)
        yield marker, content[at:end]
        at = end


def _end_of_scan(content: bytes, start: int) -> int:
    at = content.find(b"\xff", start)
    while at >= 0:
        following = content[at + 1 : at + 2]
        if not following:
            break
        if following == b"\xff":
            at += 1
        elif following in _NO_MARKER:
            at = content.find(b"\xff", at + 2)
        else:
            return at
    raise WrongUse(_CUT_OFF)


_CUT_OFF = "This photo is cut off, or is none: take it again."

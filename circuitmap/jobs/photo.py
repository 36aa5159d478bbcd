"""A photo beside a card: drawn anew from what it shows, so that nothing the camera wrote into it stays; named without
anybody's name."""

from io import BytesIO
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.failures import LimitReached, WrongUse

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_PHOTO = 2_000_000
"""Bytes; a photo of 1,600 pixels has some 400,000 (seen)."""
LONGEST_SIDE = 4_096
"""Pixels: whoever opens the report must be able to show it, and nobody's memory is filled by a few bytes that say that
they are a large picture."""
MOST_PASSES = 100
"""How often a picture may be gone over: cameras need at most some ten passes (judgement), each costs as much as the
whole picture, and each can be a few bytes."""

_START, _PASS = b"\xff\xd8", b"\xff\xda"
_QUALITIES = (85, 60, 40)
"""How well it is kept, the first that fits; of 100, as the library counts (judgement)."""
_AGAIN = "Take it again, smaller."


class Photo(NamedTuple):
    """`content` is what is kept; sides in pixels."""

    content: bytes
    width: int
    height: int


def photo_name(its_id: str) -> str:
    """The name of the file beside the card, by the id of its entry."""
    return f"photo-{its_id}.jpg"


def photo_of(content: bytes) -> Photo:
    """The photo without what it says besides its picture, the right way up. Raises LimitReached for a large one,
    WrongUse for what is no JPEG, or is cut off."""
    if len(content) > LARGEST_PHOTO:
        raise LimitReached(f"A photo has at most {LARGEST_PHOTO:,} bytes.", _AGAIN)
    if not content.startswith(_START):
        raise WrongUse("This is no photo: a JPEG is expected.")
    if content.count(_PASS) > MOST_PASSES:  # inside of the coded picture these two bytes never stand together
        raise LimitReached(f"This photo is built up in more than {MOST_PASSES} passes.", _AGAIN)
    image = _decoded(content)
    for quality in _QUALITIES:
        out = BytesIO()
        image.save(out, "JPEG", quality=quality)
        if out.tell() <= LARGEST_PHOTO:
            return Photo(out.getvalue(), *image.size)
    raise LimitReached(f"A photo has at most {LARGEST_PHOTO:,} bytes.", _AGAIN)


def _decoded(content: bytes) -> "Image":
    """The picture alone. The library is loaded here: most who ask never see a photo."""
    from PIL.ImageOps import exif_transpose
    from PIL.JpegImagePlugin import JpegImageFile

    try:
        photo = JpegImageFile(BytesIO(content))  # by its name: no other decoder is ever tried
        if max(photo.size) <= LONGEST_SIDE:
            photo.load()
            exif_transpose(photo, in_place=True)
            photo.info.clear()  # what stood beside the picture would be written again
            return photo if photo.mode == "RGB" else photo.convert("RGB")
    except Exception:  # of bytes that somebody made up a decoder may say anything
        raise WrongUse("This photo is cut off, or is none: take it again.") from None
    raise LimitReached(f"A photo has at most {LONGEST_SIDE:,} pixels a side.", _AGAIN)

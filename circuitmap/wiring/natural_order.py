"""The order in which people look for names: F2 before F10."""

import re

_NUMBER = re.compile(r"([0-9]+)")


def natural(name: str) -> tuple[tuple[bool, int, str], ...]:
    """A key that puts F2 before F10."""
    pieces = _NUMBER.split(name)
    return tuple((at % 2 == 1, int(piece) if at % 2 else 0, piece) for at, piece in enumerate(pieces))

"""What this car has that no sheet shows, and what a sheet shows that this car lacks."""

from typing import NamedTuple

from circuitmap.source import Span


class AddedPart(NamedTuple):
    """Something that was added to this car and is fed from a fuse, a splice or a battery (`fed_from`)."""

    name: str
    fed_from: str
    written: str = ""
    span: Span | None = None

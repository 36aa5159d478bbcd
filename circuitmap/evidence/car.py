"""What this car has that no sheet shows, and what a sheet shows that this car lacks."""

from typing import NamedTuple

from circuitmap.quantities import Band
from circuitmap.source import Span


class AddedPart(NamedTuple):
    """Something that was added to this car and is fed from a fuse, a splice or a battery (`fed_from`). `asleep` in A is
    what it takes standing by, as its maker or a receipt says; None where nobody said."""

    name: str
    fed_from: str
    written: str = ""
    span: Span | None = None
    asleep: Band | None = None

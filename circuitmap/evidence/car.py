"""What this car has that no sheet shows, and what a sheet shows that this car lacks."""

from dataclasses import dataclass

from circuitmap.source import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedPart:
    """Something that was fitted to this car and is fed from a fuse, a splice or a battery (`fed_from`)."""

    name: str
    fed_from: str
    written: str = ""
    span: Span | None = None

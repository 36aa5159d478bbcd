"""Who answers a scan with the key on. Asleep, asking wakes them, so only a key-on scan says who is silent."""

from dataclasses import dataclass
from typing import Literal

from circuitmap.source import Span

Reply = Literal["silent", "unsteady", "answers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScanReply:
    """One module in the key-on scans: it never answered, it came and went, or it answered every time."""

    module: str
    reply: Reply
    written: str = ""
    span: Span | None = None

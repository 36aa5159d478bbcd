"""Who answers a scan with the key on. Asking wakes sleeping modules, so only a key-on scan says who is silent."""

from typing import Literal, NamedTuple

from circuitmap.source import Span

Reply = Literal["silent", "unsteady", "answers"]


class ScanReply(NamedTuple):
    """One module in the key-on scans: it never answered, it came and went, or it answered every time."""

    module: str
    reply: Reply
    written: str = ""
    span: Span | None = None

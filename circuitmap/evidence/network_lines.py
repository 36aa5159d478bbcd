"""A network's lines at rest: measured, listened to, not asked (asking wakes it).

High-speed CAN to ground: about 2.5 V awake, near 0 V asleep (transceiver data sheets: seen).
"""

from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.readings import Speaks
from circuitmap.source import Span

LineState = Literal["awake", "asleep", "unclear"]
CAN_AWAKE, CAN_ASLEEP = 2.5, 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkLine:
    """What one network did when it should have been asleep; `volts` if a line was measured."""

    network: str
    state: LineState
    volts: float | None = None
    minutes: float | None = None
    without: tuple[str, ...] = ()
    speaks: Speaks = "parked"
    written: str = ""
    span: Span | None = None


def state_at(volts: float, kind: str) -> LineState:
    """Awake or asleep from the volts of a line to ground. Only high-speed CAN is known well enough to say."""
    if kind != "can":
        return "unclear"
    if 1.5 <= volts <= 3.8:
        return "awake"
    return "asleep" if -0.2 <= volts < 0.8 else "unclear"

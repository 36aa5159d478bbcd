"""Checks at one part that unplug nothing: a relay's volts, an input as the car sees it."""

from dataclasses import dataclass
from typing import Literal

from circuitmap.source import Span

RelayState = Literal["held", "stuck", "open"]
"""`held`: the coil has volts; `stuck`: it has none, yet the contact is closed; `open`: neither."""
RELAY_STATES: tuple[RelayState, ...] = ("held", "stuck", "open")


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayVolts:
    """Volts at the coil and at the contact of a relay, before anybody touched it."""

    relay: str
    state: RelayState
    written: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InputSeen:
    """An input (a switch, or all inputs of a module) in the live data: shown as it really is (`right`), or not."""

    part: str
    right: bool
    written: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InputsTested:
    """The inputs of a part, tested apart: what switches it on or wakes it was found fine, or bad."""

    part: str
    fine: bool
    span: Span | None = None

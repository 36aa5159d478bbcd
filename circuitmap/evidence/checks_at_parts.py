"""Checks at one part that unplug nothing: a relay's volts, an input as the car sees it."""

import re
from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.readings import During
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.source import Span
from circuitmap.wiring.parts import Terminal

RelayState = Literal["held", "stuck", "open"]
"""`held`: the coil has volts; `stuck`: it has none, yet the contact is closed; `open`: neither."""
_WRITTEN = re.compile(r"\d(?:\.(?P<decimals>\d+))?\s*(?P<milli>m)?V?\s*$")
RELAY_STATES: tuple[RelayState, ...] = ("held", "stuck", "open")


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayVolts:
    """Volts at the coil and at the contact of a relay, before anybody touched it. `without` is what was out
    meanwhile, `during` in which of a log's two states it was."""

    relay: str
    state: RelayState
    without: tuple[str, ...] = ()
    during: During = ""
    written: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InputSeen:
    """An input (a switch, or all inputs of a module) in the live data: shown as it really is (`right`), or not.
    `without` is what was out meanwhile."""

    part: str
    right: bool
    without: tuple[str, ...] = ()
    written: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PinVolts:
    """Volts to ground at a pin of a part, probed from behind with its plug in; at a side of a fuse, a rail, a splice, a
    cavity. `without` is what was out meanwhile, `during` in which of a log's two states it was."""

    pin: Terminal
    volts: float
    without: tuple[str, ...] = ()
    during: During = ""
    written: str = ""
    span: Span | None = None

    @property
    def step(self) -> float:
        """The last digit that was written down, in V; 0 where nothing was."""
        its = _WRITTEN.search(self.written)
        return 10.0 ** -len(its["decimals"] or "") / (1000.0 if its["milli"] else 1.0) if its is not None else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchTested:
    """A switch was tested by itself: its contact stands as it should (`fine`), and what its module hears is then the
    wire's; or it does not, and then it is no wire's."""

    part: str
    fine: bool
    written: str = ""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InputsTested:
    """The inputs of a part, tested apart: what switches it on or wakes it was found fine, or bad."""

    part: str
    fine: bool
    span: Span | None = None


What = Literal["inputs", "outputs", "feed", "ground"]
WHAT: tuple[What, ...] = ("inputs", "outputs", "feed", "ground")
"""`inputs`: what the part believes of latches, switches and key, checked separately; `outputs`: what it feeds, checked
separately; `feed` and `ground`: volts lost on the way with the load on."""

# Volts lost under load that are still acceptable: ground below 0.1 V, a cable below 0.2 V (seen: texts on voltage drop,
# one quoting SAE). Without current any resistance reads 0 V, so the load must be on.
MOST_LOST = {"ground": 0.1, "feed": 0.2}

HOW = "For example: tested HEATER inputs fine outputs fine feed 0.08V ground 0.03V"


def check_test(what: str, result: str) -> tuple[bool, float | None]:
    """Whether a test was passed, and the volts lost if they were given; raises WrongUse for what makes no sense."""
    if what not in WHAT:
        raise WrongUse(f"{what} is not something to test here: {', '.join(WHAT)}.", HOW)
    if result in ("fine", "bad"):
        return result == "fine", None
    if what not in MOST_LOST:
        raise WrongUse(f"{what} {result}: fine or bad?", HOW)
    try:
        volts = read_quantity(result, "voltage")
    except QuantityError as error:
        raise WrongUse(f"{what}: fine, bad, or the volts lost with the load on: {error}", HOW) from None
    return volts <= MOST_LOST[what], volts

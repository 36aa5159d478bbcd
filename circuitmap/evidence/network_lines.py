"""A network's lines at rest: measured or listened to, never asked (asking wakes the network).

What a line shows depends on the kind of network. High-speed CAN to ground: about 2.5 V awake, near 0 V asleep
(transceiver data sheets: seen). LIN is one wire that a resistor holds near battery volts; whoever talks pulls it down.
Wake lines and others differ from make to make: their volts say nothing here.
"""

from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.readings import During, Speaks
from circuitmap.source import Span

LineState = Literal["awake", "asleep", "held down", "unclear"]
MEASURED_KINDS = ("can", "lin")
"""Kinds of network whose volts tell whether they sleep."""
CAN_AWAKE, CAN_ASLEEP = (1.5, 3.8), (-0.2, 0.8)
"""V to ground."""
LIN_RESTS, LIN_TALKS = (0.95, 1.35), (0.3, 0.75)
"""Shares of the vehicle's nominal volts (common practice, no source). Between the two lies a flat battery at rest or a
line on which little is sent; below both, a line held down or without supply."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkLine:
    """What one network did when it should have been asleep; `volts` if a line was measured. `value` is what was typed
    for it (`awake`, `2.5V`), `written` everything that was typed; `during` says in which of a log's two states it was.
    """

    network: str
    state: LineState
    volts: float | None = None
    minutes: float | None = None
    without: tuple[str, ...] = ()
    speaks: Speaks = "parked"
    during: During = ""
    value: str = ""
    written: str = ""
    span: Span | None = None


def state_at(volts: float, kind: str, supply: float) -> LineState:
    """Awake or asleep from the volts of a line to ground; `supply` is the vehicle's nominal volts.

    A LIN line near battery volts is at rest: nobody talks, and a slave sleeps after 4 s without activity, at the latest
    after 10 s (ISO 17987: the first seen, the second from memory). So it is asleep. A meter that shows a value in
    between averages what is sent: awake. Near 0 V it is held down: shorted to ground, by itself or in a member, or
    without supply.
    """
    if kind not in MEASURED_KINDS:
        return "unclear"
    share = volts / supply if kind == "lin" else volts
    (low, high), (rest_low, rest_high) = (LIN_TALKS, LIN_RESTS) if kind == "lin" else (CAN_AWAKE, CAN_ASLEEP)
    if low <= share <= high:
        return "awake"
    if kind == "lin" and abs(share) < low:
        return "held down"
    return "asleep" if rest_low <= share <= rest_high else "unclear"

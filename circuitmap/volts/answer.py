"""What is answered to somebody who asks for the volts at a point."""

from typing import NamedTuple

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.power.state_for import StateFor
from circuitmap.volts.expected_volts import ExpectedVolts
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Network


class VoltsThere(NamedTuple):
    """The answer for one point: the state it is for, what runs, and what is to be expected; None without a battery.
    `untouchable`: nobody may measure at `point`, and nothing was worked out. `line`: the network whose wires the point
    is on, where messages and not currents make the volts."""

    state: StateFor
    point: Terminal
    running: tuple[str, ...]
    expected: ExpectedVolts | None
    untouchable: Untouchable | None
    line: Network | None = None

"""What a hands-off circuit only passes: leaving that alone would protect nobody, and soon nobody would heed it."""

from collections.abc import Container, Mapping

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.wiring.hands_off import HandsOffThings
from circuitmap.wiring.parts import FIRST, SECOND, Fuse, Terminal
from circuitmap.wiring.platform import Platform


class BesideHandsOff:
    """`number` are the numbers of terminals, `marked` those that carry a hands-off circuit."""

    def __init__(
        self, platform: Platform, things: HandsOffThings, number: Mapping[Terminal, int], marked: Container[int]
    ) -> None:
        self._platform, self._number, self._marked = platform, number, marked
        self._on_networks = {
            Terminal(member.part, pin)
            for name, network in platform.networks.items()
            if name not in things.networks and not network.hands_off
            for member in network.members
            for pin in member.pins
        }

    def only_passes(self, terminal: Terminal, its: Untouchable) -> bool:
        """Whether a marked terminal leaves the rest of its part free: a fuse beside, of which only the feed side is a
        piece of what feeds the thing; a module on a network with it, where that network is not hands-off itself."""
        if isinstance(self._platform.parts[terminal.part], Fuse):
            outgoing = self._number.get(Terminal(terminal.part, SECOND))
            beside = terminal.pin == FIRST and outgoing is not None and outgoing not in self._marked
            return its.how in ("feeds", "works-relay") and beside
        return its.how == "carries" and terminal in self._on_networks

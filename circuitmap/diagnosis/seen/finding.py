"""What was found without a meter, weighed: a lamp burning, a part warm, a smell, water, a chafed spot."""

from collections.abc import Iterator, Sequence
from typing import assert_never

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.looking import FOLLOWED, LAMP_SEEN, LAMP_SLIP, hangs_there
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.found_there import FoundThere, Sign
from circuitmap.failures import WrongUse
from circuitmap.wiring.names import find_terminal, terminals_of_part
from circuitmap.wiring.parts import SECOND, Relay, Switch, Terminal

SEEN: dict[Sign, tuple[float, float]] = {
    "burning": (LAMP_SEEN, LAMP_SLIP),
    "warm": (0.50, 0.02),
    "smells": (0.30, 0.02),
    "wet": (0.20, 0.04),
    "chafed": (0.40, 0.01),
    "dark": (round(1.0 - LAMP_SEEN, 2), round(1.0 - LAMP_SLIP, 3)),
    "sound": (round(1.0 - FOLLOWED, 2), 1.00),
}
"""Chance of finding it where the fault lies or takes current, and of finding it although it has nothing to do with the
draw (judgement)."""


def finds_seen(finds: Sequence[FoundThere], faults: Sequence[Fault], parked: Parked) -> list[StateSighting[FoundThere]]:
    """Each find speaks for the faults that bring current to that part, or that lie there."""
    found = []
    for find in {(one.place, one.sign): one for one in finds}.values():
        seen, otherwise = SEEN[find.sign]
        there = _Place(parked, find.place)
        touched = {n: int(find.sign == "wet" and fault.leak != ()) for n, fault in enumerate(faults)
                   if there.shows(find.sign, fault)}  # fmt: skip
        found.append(StateSighting(find, otherwise, (seen, WATER_SEEN), touched))
    return found


WATER_SEEN = 0.80
"""Chance of finding the plug wet where water between its cavities is the fault (judgement)."""


class _Place:
    """A part, plug, pin, splice, wire or network, and the wires that end at it or pass it."""

    def __init__(self, parked: Parked, name: str) -> None:
        self.parked, self.platform, self.name = parked, parked.platform, name
        self.terminals = tuple(self._terminals())
        self.nets = {self.platform.nets.key(terminal) for terminal in self.terminals}

    def shows(self, sign: Sign, fault: Fault) -> bool:
        """Whether a fault would show itself here in this way."""
        match sign:
            case "burning":
                return self._takes_current(fault)
            case "dark":
                return self._takes_current(fault) and not fault.partly
            case "warm":
                return self._takes_current(fault) or any(self.name in flow.way.through for flow in fault.brings)
            case "smells":
                return self._takes_current(fault) or self._is_at(fault) or self._lies_here(fault)
            case "wet":
                return (self._is_at(fault) and self._conducts_wet(fault)) or self._lies_here(fault)
            case "chafed":
                return fault.kind in ("chafed", "coil", "wrong-input") and self._lies_here(fault)
            case "sound":
                return hangs_there(fault, self.name)
            case _:
                assert_never(sign)

    def _takes_current(self, fault: Fault) -> bool:
        return any(flow.owner == self.name for flow in fault.brings)

    def _conducts_wet(self, fault: Fault) -> bool:
        """Whether water makes it take its current: no lamp burns for it, but the switch of one may let through."""
        return fault.kind != "lamp" or isinstance(self.platform.parts.get(fault.part), Switch)

    def _is_at(self, fault: Fault) -> bool:
        return self.name in (fault.part, fault.module, fault.place)

    def _lies_here(self, fault: Fault) -> bool:
        """Whether the wire that would be at fault is one of those here."""
        key = self.platform.nets.key
        if fault.kind == "chafed" and fault.network:
            return fault.network == self.name or any(key(pin) in self.nets for pin in self._lines_of(fault.network))
        if fault.state is not None and fault.state.bridged:
            return any(key(end) in self.nets for pair in fault.state.bridged for end in pair)
        if fault.ends:
            return any(str(terminal) in fault.ends for terminal in self.terminals)
        part = self.platform.parts.get(fault.contact if fault.kind == "coil" else fault.part)
        if isinstance(part, Relay) and fault.kind == "coil":
            return any(key(Terminal(part.name, pin)) in self.nets for pin in part.coil)
        if isinstance(part, Switch) and fault.kind == "wrong-input":
            return any(key(terminal) in self.nets for terminal in terminals_of_part(self.platform, part.name))
        return fault.kind == "chafed" and self._is_behind(fault.place)

    def _is_behind(self, fuse: str) -> bool:
        """Whether something here is fed by a fuse with no other in between."""
        if self.platform.nets.key(Terminal(fuse, SECOND)) in self.nets:
            return True
        ways = (self.parked.ways.to(terminal) for terminal in self.terminals)
        return any(way is not None and way.places[:1] == (fuse,) for way in ways)

    def _lines_of(self, network: str) -> Iterator[Terminal]:
        for member in self.platform.networks[network].members:
            yield from (Terminal(member.part, pin) for pin in member.pins)

    def _terminals(self) -> Iterator[Terminal]:
        if self.name in self.platform.parts:
            yield from terminals_of_part(self.platform, self.name)
            return
        for wire in self.platform.wires:
            if wire.code and wire.code == self.name:
                yield from (wire.a, wire.b)
        owner, _, pin = self.name.rpartition(".")
        if owner in self.platform.parts:
            its = terminals_of_part(self.platform, owner)
            yield from (t for t in its if t.pin == pin or t.pin.startswith(f"{pin}."))
            return
        try:
            yield find_terminal(self.platform, self.name)
        except WrongUse:
            return

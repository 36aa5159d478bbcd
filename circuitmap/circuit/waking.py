"""Which modules wake each other: networks joined by gateways, and wake lines."""

from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.path import Path
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Load, Terminal
from circuitmap.wiring.platform import Platform


class Woken(NamedTuple):
    """A network that is kept awake through a gateway; not `sure` when the sheet does not say which way the gateway
    passes."""

    network: str
    gateway: str
    by: str
    sure: bool


class WakeLine(NamedTuple):
    """A contact or output that wakes modules: `pins` are the wake pins that it makes live, or grounds."""

    name: str
    pins: tuple[Terminal, ...]

    @property
    def members(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(pin.part for pin in self.pins))


def members_of(platform: Platform, network: str, fitting: Fitting) -> tuple[str, ...]:
    """The modules on a network that are, or may be, fitted, with the gateways that join it."""
    its = platform.networks[network]
    parts = platform.parts
    found = {m.part: None for m in its.members if holds(m.condition, fitting) != Answer.NO}
    gateways = platform.gateways_on.get(network, ())
    found.update((g.module, None) for g, _ in gateways if holds(g.condition, fitting) != Answer.NO)
    return tuple(name for name in found if name not in parts or holds(parts[name].condition, fitting) != Answer.NO)


def woken_by(platform: Platform, network: str, fitting: Fitting) -> tuple[Woken, ...]:
    """The networks that stay awake as long as this one does, nearest first."""
    found: dict[str, Woken] = {}
    todo = deque([(network, True)])
    everywhere: set[int] = set()
    while todo:
        here, sure = todo.popleft()
        for gateway, passes_to in platform.gateways_on.get(here, ()):
            if id(gateway) in everywhere or holds(gateway.condition, fitting) == Answer.NO:
                continue
            if passes_to is None:
                # It may pass on to every network that it joins: reaching it a second time adds nothing.
                everywhere.add(id(gateway))
            reached = gateway.joins if passes_to is None else passes_to
            for there in reached:
                if there == network or there in found or there not in platform.networks:
                    continue
                found[there] = Woken(there, gateway.module, here, sure and passes_to is not None)
                todo.append((there, found[there].sure))
    return tuple(found.values())


def wakes_by_itself(platform: Platform, network: str, other: str, fitting: Fitting) -> bool:
    """Whether a network can be awake by a member other than a gateway to the `other` one: by one of its own, or of
    those that wake it in turn. Else it is the other that wakes it."""
    gateways = {gateway.module for gateway in platform.gateways}
    if any(part not in gateways for part in _keepers(platform, network, fitting)):
        return True
    not_counted = {gateway.module for gateway, _ in platform.gateways_on.get(other, ()) if network in gateway.joins}
    seen, todo = {other, network}, [network]
    while todo:
        here = todo.pop()
        if any(part not in not_counted for part in _keepers(platform, here, fitting)):
            return True
        for gateway, _ in platform.gateways_on.get(here, ()):
            if holds(gateway.condition, fitting) == Answer.NO:
                continue
            passed = gateway.passes
            before = gateway.joins if passed is None else (a for a, b in passed if b == here)
            for name in before:
                if name in platform.networks and name not in seen:
                    seen.add(name)
                    todo.append(name)
    return False


def _keepers(platform: Platform, network: str, fitting: Fitting) -> Iterator[str]:
    """The members that can keep a network awake, as far as was said."""
    listening = {member.part for member in platform.networks[network].members if member.waking == "listens"}
    return (part for part in members_of(platform, network, fitting) if part not in listening)


def wake_lines_of(feeding: Feeding) -> tuple[WakeLine, ...]:
    """The last contact or output before each wake pin, and everything it wakes. A pin that is always live is no
    line."""
    lines: dict[str, dict[Terminal, None]] = {}
    for part in feeding.circuit.platform.parts.values():
        if not isinstance(part, Load) or not feeding.fitted(part.name):
            continue
        for pin in part.pins_with("wake"):
            terminal = Terminal(part.name, pin)
            for path in _ways(feeding, terminal):
                contacts = [link.contact for link in path.contacts if link.part != part.name]
                if contacts:
                    lines.setdefault(contacts[-1] if path.end == terminal else contacts[0], {})[terminal] = None
    return tuple(WakeLine(name, tuple(pins)) for name, pins in lines.items())


def _ways(feeding: Feeding, terminal: Terminal) -> Iterator[Path]:
    yield from feeding.supply.to(terminal).direct
    yield from feeding.ground.to(terminal).direct

"""Which wires are behind a fuse by way of the contacts of switches and relays: a closed contact protects nothing."""

from collections import deque
from collections.abc import Iterator

from circuitmap.wiring.parts import BODY, FIRST, SECOND, Battery, Fuse, Ground, Load, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform, Wire

_TAKES_LITTLE = ("wake", "sense", "control", "signal", "network", "output")


def wires_behind_contacts(platform: Platform) -> Iterator[tuple[Wire, Fuse]]:
    """Each wire behind a contact that leads on to a load, with the smallest fuse before it. Wires directly behind a
    fuse are not told here; a wire that feeds coils and inputs alone carries next to nothing."""
    before = _fuses_before(platform)
    for wire in platform.wires:
        fuse = before.get(platform.nets.key(wire.a))
        if wire.kind == "wire" and fuse is not None:
            yield wire, fuse


def _fuses_before(platform: Platform) -> dict[Terminal, Fuse]:
    """By the key of its net. What is joined to a battery's post or a ground is behind no fuse; what has a fuse of its
    own keeps it."""
    key = platform.nets.key
    barred = platform.nets.keys_with(lambda end: isinstance(platform.parts[end.part], Battery | Ground))
    fuses = [f for f in platform.fuses if f.rating is not None and not f.empty and f.name not in platform.doubted]
    starts = {key(Terminal(fuse.name, SECOND)): fuse for fuse in sorted(fuses, key=lambda f: -(f.rating or 0.0))}
    beyond = _contacts(platform)
    loaded = _loaded(platform)
    found: dict[Terminal, Fuse] = {}
    for start, fuse in sorted(starts.items(), key=lambda its: its[1].rating or 0.0):
        came: dict[Terminal, Terminal] = {start: start}
        queue = deque([start] if start not in barred else [])
        while queue:
            at = queue.popleft()
            for other in beyond.get(at, ()):
                if other not in came and other not in starts and other not in barred:
                    came[other] = at
                    queue.append(other)
        for net in came.keys() & loaded:
            while net != start and net not in found:
                found[net] = fuse
                net = came[net]
    return found


def _contacts(platform: Platform) -> dict[Terminal, list[Terminal]]:
    found: dict[Terminal, list[Terminal]] = {}
    for part in platform.parts.values():
        if isinstance(part, Switch | Relay) and part.name not in platform.doubted:
            owner = part.owner if isinstance(part, Switch) else part.name
            for contact in part.contacts:
                if BODY not in contact[:2]:
                    one, other = (platform.nets.key(Terminal(owner, pin)) for pin in contact[:2])
                    found.setdefault(one, []).append(other)
                    found.setdefault(other, []).append(one)
    return found


def _loaded(platform: Platform) -> set[Terminal]:
    """The nets at which something takes more than a signal: a load's supply, or another fuse."""
    found = set()
    for wire in platform.wires:
        for end in (wire.a, wire.b):
            part = platform.parts[end.part]
            takes = isinstance(part, Load) and part.roles.get(end.pin, "") not in _TAKES_LITTLE
            if takes or (isinstance(part, Fuse) and end.pin == FIRST):
                found.add(platform.nets.key(end))
    return found

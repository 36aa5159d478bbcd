"""What works the relays and outputs on the ways of a trace: coils, inputs and supplies, back to what needs no other."""

from collections import deque
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.link import Link
from circuitmap.circuit.path import Path, ahead_of
from circuitmap.wiring.parts import Load, Part, Relay, Terminal

MOST_WORKED = 12
"""How many relays, switches and modules are told (judgement: the longest starting chains of the samples have six)."""


class WorkingPin(NamedTuple):
    """One pin that something is worked by: where its plus comes from, or its ground. `supply` are the main ways from
    the batteries, `ground` those to ground, of a coil on its other side."""

    terminal: Terminal
    role: Literal["coil", "supply", "wake", "control", "sense"]
    supply: tuple[Path, ...]
    ground: tuple[Path, ...]

    @property
    def fuses(self) -> tuple[tuple[str, ...], ...]:
        """The fuses in the order in which the current passes them; for each last one by the ways with the fewest
        contacts."""
        fewest: dict[str, int] = {}
        for path in self.supply:
            last = "".join(path.fuses[-1:])
            fewest[last] = min(len(path.contacts), fewest.get(last, len(path.contacts)))
        its = (path.fuses for path in self.supply if len(path.contacts) == fewest["".join(path.fuses[-1:])])
        return tuple(dict.fromkeys(its))


class Worked(NamedTuple):
    """A relay on the way, or a module whose output is, with the pins that decide. `networks` wake the module."""

    part: str
    pins: tuple[WorkingPin, ...]
    networks: tuple[str, ...]


def worked_by(feeding: Feeding, part: str, ways: Iterable[Path]) -> tuple[tuple[Worked, ...], bool]:
    """What works the contacts and outputs on these ways, then what works those that its own ways pass; and whether
    there is more than is told. What is `part` itself shows its own pins."""
    return _followed(feeding, part, _worked_on(ways))


def working(feeding: Feeding, contacts: Iterable[str]) -> tuple[tuple[Worked, ...], bool]:
    """The same from contacts and outputs, by name."""
    circuit = feeding.circuit
    links = (circuit.links[i] for contact in contacts for i in circuit.contacts[contact][:1])
    return _followed(feeding, "", (link for link in links if link.energised or link.output is not None))


def _followed(feeding: Feeding, part: str, links: Iterable[Link]) -> tuple[tuple[Worked, ...], bool]:
    found: dict[str, Worked] = {}
    todo = deque(links)
    while todo:
        link = todo.popleft()
        name = link.output.module if link.output is not None else link.part
        if name in found or name == part:
            continue
        if len(found) == MOST_WORKED:
            return tuple(found.values()), True
        its = found[name] = _worked(feeding, name, link)
        todo.extend(_worked_on(path for pin in its.pins for path in (*pin.supply, *pin.ground)))
    return tuple(its for its in found.values() if its.pins), False


def _worked_on(ways: Iterable[Path]) -> Iterator[Link]:
    """The contacts of relays that must be pulled in, and the outputs, that these ways pass."""
    told: dict[str, Link] = {}
    for path in ways:
        for link in path.contacts:
            if link.energised or link.output is not None:
                told.setdefault(link.contact, link)
    yield from told.values()


def _worked(feeding: Feeding, name: str, link: Link) -> Worked:
    part = feeding.circuit.platform.parts[name]
    pins = [*_coils(feeding, part)] if isinstance(part, Relay) else [*_inputs(feeding, part, link)]
    waking = isinstance(part, Load) and link.output is not None
    return Worked(name, tuple(pins), feeding.circuit.platform.networks_of.get(name, ()) if waking else ())


def _coils(feeding: Feeding, relay: Relay) -> Iterator[WorkingPin]:
    """The side of its coil that plus comes to, with the ways of the other side to ground."""
    sides = tuple(Terminal(relay.name, pin) for pin in relay.coil)
    for side in sides:
        supply = _main(feeding, side)
        if supply:
            others = (feeding.ground_paths.get(other) for other in sides if other != side)
            yield WorkingPin(side, "coil", supply, tuple(path for its in others if its for path in its.direct))


def _inputs(feeding: Feeding, module: Part, link: Link) -> Iterator[WorkingPin]:
    """A module's supplies, and the inputs that wake it, switch it on or switch the output."""
    if not isinstance(module, Load):
        return
    loads = feeding.circuit.loads.get(module.name)
    for pin in loads.supplies if loads is not None and loads.supply_drawn else ():
        supply = _main(feeding, pin)
        if supply:
            yield WorkingPin(pin, "supply", supply, ())
    for pin_name, role in module.roles.items():
        pin = Terminal(module.name, pin_name)
        by_input = link.output is not None and link.output.input == pin_name
        if role == "wake" or role == "control" or (role == "sense" and by_input):
            supply = _main(feeding, pin)
            ground = () if supply else feeding.ground.to(pin).direct
            if supply or ground:
                yield WorkingPin(pin, role, supply, tuple(path for path in ground if path.known))


def _main(feeding: Feeding, end: Terminal) -> tuple[Path, ...]:
    return tuple(path for path in ahead_of(feeding.supply.to(end).main) if path.known and path.steps)

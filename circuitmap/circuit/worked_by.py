"""What works the relays and outputs on the ways of a trace: coils, inputs and supplies, back to what needs no other."""

from collections import deque
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.link import Link
from circuitmap.circuit.path import Path, ahead_of
from circuitmap.wiring.parts import Load, Part, Relay, Terminal
from circuitmap.wiring.platform import Output

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
    """A relay on the way, or a module whose output is, with the pins that decide. `networks` wake the module. Of its
    `outputs` on the way those of which the sheet says something. `at_rest`: the way passes the relay at rest, and
    pulling in takes it away."""

    part: str
    pins: tuple[WorkingPin, ...]
    networks: tuple[str, ...]
    outputs: tuple[Output, ...] = ()
    at_rest: bool = False


def worked_by(feeding: Feeding, part: str, ways: Iterable[Path]) -> tuple[tuple[Worked, ...], bool]:
    """What works the contacts and outputs on these ways, then what works those that its own ways pass; and whether
    there is more than is told. What is `part` itself shows its own pins."""
    return _followed(feeding, part, _worked_on(ways, at_rest=True))


def working(feeding: Feeding, contacts: Iterable[str]) -> tuple[tuple[Worked, ...], bool]:
    """The same from contacts and outputs, by name."""
    circuit = feeding.circuit
    links = (circuit.links[i] for contact in contacts for i in circuit.told_apart(contact))
    return _followed(feeding, "", (link for link in links if link.energised or link.output is not None))


def waking_pins(feeding: Feeding, module: str) -> tuple[WorkingPin, ...]:
    """A module's wake pins, each with the ways on which plus, or ground, comes to it."""
    part = feeding.circuit.platform.parts.get(module)
    roles = part.roles if isinstance(part, Load) else {}
    pins = (Terminal(module, pin) for pin, role in roles.items() if role == "wake")
    return tuple(found for pin in pins if (found := _input(feeding, pin, "wake")))


def _followed(feeding: Feeding, part: str, links: Iterable[Link]) -> tuple[tuple[Worked, ...], bool]:
    found: dict[str, Worked] = {}
    todo = deque(links)
    while todo:
        link = todo.popleft()
        name = link.output.module if link.output is not None else link.part
        if name in found:
            its, more = found[name], _worked(feeding, name, link)
            if link.output is not None:  # another output of the same module, or another line that turns this one on
                pins = [pin for pin in more.pins if pin.terminal not in {known.terminal for known in its.pins}]
                outputs = [output for output in more.outputs if output not in its.outputs]
                found[name] = its._replace(pins=(*its.pins, *pins), outputs=(*its.outputs, *outputs))
                todo.extend(_worked_on(path for pin in pins for path in (*pin.supply, *pin.ground)))
        if name in found or name == part:
            continue
        if len(found) == MOST_WORKED:
            return tuple(found.values()), True
        its = found[name] = _worked(feeding, name, link)
        todo.extend(_worked_on(path for pin in its.pins for path in (*pin.supply, *pin.ground)))
    return tuple(its for its in found.values() if its.pins or its.outputs), False


def _worked_on(ways: Iterable[Path], at_rest: bool = False) -> Iterator[Link]:
    """The contacts of relays that must be pulled in, and the outputs, that these ways pass; then, if they are asked
    for, the contacts of relays that must not."""
    told: dict[tuple[str, Output | None], Link] = {}
    resting: dict[str, Link] = {}
    for path in ways:
        for link in path.contacts:
            if link.energised or link.output is not None:
                told.setdefault((link.contact, link.output), link)
            elif at_rest and link.energised is False:
                resting.setdefault(link.contact, link)
    yield from told.values()
    yield from resting.values()


def _worked(feeding: Feeding, name: str, link: Link) -> Worked:
    part = feeding.circuit.platform.parts[name]
    pins = [*_coils(feeding, part)] if isinstance(part, Relay) else [*_inputs(feeding, part, link)]
    waking = isinstance(part, Load) and link.output is not None
    outputs = (link.output,) if link.output is not None and _is_told(link.output) else ()
    networks = feeding.circuit.platform.networks_of.get(name, ()) if waking else ()
    return Worked(name, tuple(pins), networks, outputs, isinstance(part, Relay) and link.energised is False)


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
    by_itself = link.output is not None and module.kind in ("alternator", "charger")
    for pin in loads.supplies if loads is not None and loads.supply_drawn and not by_itself else ():
        supply = _main(feeding, pin)
        if supply:
            yield WorkingPin(pin, "supply", supply, ())
    for pin_name, role in module.roles.items():
        pin = Terminal(module.name, pin_name)
        by_input = link.output is not None and pin_name in (*link.output.inputs, *link.output.without)
        if role == "wake" or role == "control" or (role == "sense" and by_input):
            found = _input(feeding, pin, role)
            if found is not None:
                yield found


def _input(feeding: Feeding, pin: Terminal, role: Literal["wake", "control", "sense"]) -> WorkingPin | None:
    """An input with the ways on which plus comes to it, or else ground."""
    supply = _main(feeding, pin)
    ground = () if supply else feeding.ground.to(pin).direct
    if not supply and not ground:
        return None
    return WorkingPin(pin, role, supply, tuple(path for path in ground if path.known))


def _main(feeding: Feeding, end: Terminal) -> tuple[Path, ...]:
    return tuple(path for path in ahead_of(feeding.supply.to(end).main) if path.known and path.steps)


def _is_told(output: Output) -> bool:
    """Whether the sheet says more of an output than when it is on."""
    return bool(output.description) or output.lasts is not None

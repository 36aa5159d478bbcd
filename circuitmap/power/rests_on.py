"""What an answer rests on that nobody knows for sure, or that is not of the best quality."""

from collections.abc import Iterable, Iterator, Mapping

from circuitmap.circuit.unknowns import open_end
from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import Side
from circuitmap.power.why import Reason, WhyStep
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import holds
from circuitmap.wiring.parts import Condition, Fuse, Load, OpenEnd, Terminal

MOST_UNKNOWN = 60
"""How many of the things that one answer rests on are told (judgement: the samples have at most a dozen)."""


def unknown_on_the_way(powered: Powered, reason: Reason) -> tuple[Unknown, ...]:
    """What a way from a source to a terminal rests on."""
    return _the_first(dict.fromkeys(_on_the_way(powered, reason)), str(reason.terminal))


def _the_first(found: Mapping[Unknown, None], name: str) -> tuple[Unknown, ...]:
    if len(found) <= MOST_UNKNOWN:
        return tuple(found)
    return (*tuple(found)[:MOST_UNKNOWN], Unknown("cut off", name))


def _on_the_way(powered: Powered, reason: Reason) -> Iterator[Unknown]:
    if reason.source is not None and reason.origin == "not drawn":
        yield _ends_at(powered, reason.source, reason.side)
    elif reason.source is not None and reason.origin == "label":
        yield Unknown("label", str(reason.source))
    of_step = powered.derived(_OfSteps)
    for step in reason.steps:
        yield from of_step.of(step)
    if reason.cut_off:
        yield Unknown("cut off", str(reason.terminal))


class _OfSteps:
    """What each step rests on. All ways of a state share their steps, so each step is looked at once."""

    def __init__(self, powered: Powered) -> None:
        self._powered = powered
        self._known: dict[int, tuple[WhyStep, tuple[Unknown, ...]]] = {}

    def of(self, step: WhyStep) -> tuple[Unknown, ...]:
        if id(step) not in self._known:
            self._known[id(step)] = step, tuple(_of_step(self._powered, step))
        return self._known[id(step)][1]


def _ends_at(powered: Powered, place: Terminal, side: Side) -> Unknown:
    """The place where the transcription of a way ends."""
    platform = powered.circuit.platform
    part = platform.parts.get(place.part)
    if isinstance(part, OpenEnd):
        return open_end(platform, part)
    return Unknown("no supply typed" if side == "supply" else "no ground typed", str(place))


def _of_step(powered: Powered, step: WhyStep) -> Iterator[Unknown]:
    link = step.link
    if link is None:
        return
    yield from options_not_said(powered, link.condition)
    if link.kind == "chart":
        of_fuse = isinstance(powered.circuit.platform.parts.get(link.a.part), Fuse)
        yield Unknown("wires not typed in", link.b.part, link.a.part if of_fuse else str(link.a))
    if link.assumed == "terminal":
        yield Unknown("terminal assumed", link.part or str(link.a))
    elif link.assumed == "body":
        yield Unknown("body assumed", link.part or str(link.a))
    if step.because == "on request":
        yield Unknown("on request", link.contact)
    if link.wire is not None and link.wire.copied:
        yield Unknown("copied", "", link.wire.copied)


def options_not_said(powered: Powered, condition: Condition) -> Iterator[Unknown]:
    """Equipment that a statement depends on, where nobody said whether this car has it."""
    for need in condition:
        if need.option not in powered.state.fitting and holds((need,), powered.state.fitting):
            yield Unknown("option not said", need.option)


def unknown_of_load(powered: Powered, name: str, ways: Iterable[Reason]) -> tuple[Unknown, ...]:
    """What the class of a load rests on: sides that are not typed in, the roles of its pins, its ways."""
    circuit = powered.circuit
    part, pins = circuit.platform.parts[name], circuit.loads[name]
    found: dict[Unknown, None] = {}
    if not pins.supply_drawn:
        found[Unknown("no supply typed", name)] = None
    if powered.loads[name].ground_assumed:
        found[Unknown("ground assumed", name)] = None
    if isinstance(part, Load):
        for terminal in (*pins.supplies, *pins.grounds):
            if part.is_role_assumed(terminal.pin):
                found[Unknown("role assumed", str(terminal))] = None
    if part.copied:
        found[Unknown("copied", "", part.copied)] = None
    sides: tuple[Side, ...] = ("supply", "ground")
    own_pins = {_ends_at(powered, pin, side) for pin in (*pins.supplies, *pins.grounds) for side in sides}
    for way in ways:
        found.update(dict.fromkeys(its for its in _on_the_way(powered, way) if its not in own_pins))
    return _the_first(found, name)

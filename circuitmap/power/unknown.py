"""What an answer rests on that nobody knows for sure, or that is not of the best quality."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.why import Reason, Step
from circuitmap.wiring.fitting import holds
from circuitmap.wiring.parts import Condition, Load

UnknownKind = Literal[
    "equipment", "not drawn", "on request", "fuse chart", "label", "terminal", "body", "ground", "supply", "role",
    "copied", "cut off",
]  # fmt: skip
"""`equipment`: an option that was not said; `not drawn`: a place where the transcription ends; `on request`: an
output that conducts when its module wants; `fuse chart`: the wires are not typed in; `label`: only the sheet's label
says that it is hot; `terminal`: a fuse chart names a relay and no terminal; `body`: the battery's way to the body is
taken for granted; `ground`, `supply`: that side of a load is not typed in; `role`: what a pin does follows from the
reading direction; `copied`: from a sister platform, not yet checked against the sheet; `cut off`: the way to it is so
long, or there is so much to try, that not all of it was looked at."""


MOST_UNKNOWN = 60
"""Things that one answer rests on and that are told (judgement: the samples have at most a dozen)."""


class Unknown(NamedTuple):
    """`name` is the option, terminal, output, fuse, pin or platform that it is about."""

    kind: UnknownKind
    name: str


def unknown_on_the_way(powered: Powered, reason: Reason) -> tuple[Unknown, ...]:
    """What a way from a source to a terminal rests on."""
    return _the_first(dict.fromkeys(_on_the_way(powered, reason)), str(reason.terminal))


def _the_first(found: Mapping[Unknown, None], name: str) -> tuple[Unknown, ...]:
    if len(found) <= MOST_UNKNOWN:
        return tuple(found)
    return (*tuple(found)[:MOST_UNKNOWN], Unknown("cut off", name))


def _on_the_way(powered: Powered, reason: Reason) -> Iterator[Unknown]:
    if reason.source is not None and reason.origin in ("not drawn", "label"):
        yield Unknown(reason.origin, str(reason.source))
    # Steps are shared by all ways of a state: what one rests on is worked out once.
    known: dict[int, tuple[Step, tuple[Unknown, ...]]] = powered.__dict__.setdefault("_unknown_of_steps", {})
    for step in reason.steps:
        if id(step) not in known:
            known[id(step)] = step, tuple(_of_step(powered, step))
        yield from known[id(step)][1]
    if reason.cut_off:
        yield Unknown("cut off", str(reason.terminal))


def _of_step(powered: Powered, step: Step) -> Iterator[Unknown]:
    link = step.link
    if link is None:
        return
    yield from options_not_said(powered, link.condition)
    if link.kind == "chart":
        yield Unknown("fuse chart", str(link.a))
    if link.assumed in ("terminal", "body"):
        yield Unknown(link.assumed, link.part or str(link.a))
    if step.because == "on request":
        yield Unknown("on request", link.contact)
    if link.wire is not None and link.wire.copied:
        yield Unknown("copied", link.wire.copied)


def options_not_said(powered: Powered, condition: Condition) -> Iterator[Unknown]:
    """Equipment that a statement depends on and of which nobody said whether this car has it."""
    for need in condition:
        if need.option not in powered.state.fitting and holds((need,), powered.state.fitting):
            yield Unknown("equipment", need.option)


def unknown_of_load(powered: Powered, name: str, ways: Iterable[Reason]) -> tuple[Unknown, ...]:
    """What the class of a load rests on: sides that are not typed in, the roles of its pins, its ways."""
    circuit = powered.circuit
    part, pins = circuit.platform.parts[name], circuit.loads[name]
    found: dict[Unknown, None] = {}
    if not pins.supply_drawn:
        found[Unknown("supply", name)] = None
    if powered.loads[name].ground_assumed:
        found[Unknown("ground", name)] = None
    if isinstance(part, Load) and not part.works_either_way:
        for terminal in (*pins.supplies, *pins.grounds):
            if terminal.pin in part.assumed_roles:
                found[Unknown("role", str(terminal))] = None
    if part.copied:
        found[Unknown("copied", part.copied)] = None
    own_pins = {Unknown("not drawn", str(pin)) for pin in (*pins.supplies, *pins.grounds)}
    for way in ways:
        found.update(dict.fromkeys(its for its in _on_the_way(powered, way) if its not in own_pins))
    return _the_first(found, name)

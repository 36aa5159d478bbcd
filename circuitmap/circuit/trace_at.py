"""One terminal in its circuit: the share of its part's trace that passes that pin or cavity."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from circuitmap.circuit.branches import Branch
from circuitmap.circuit.feeding import Feeding, Taking, grounded
from circuitmap.circuit.path import Path
from circuitmap.circuit.trace import PinTrace, Trace, main_ways, trace_in
from circuitmap.circuit.unknowns import unknowns_of
from circuitmap.circuit.worked_by import worked_by
from circuitmap.wiring.parts import Joint, Terminal


def trace_at(feeding: Feeding, terminal: Terminal) -> Trace:
    """The circuit through one pin, or both halves of one cavity."""
    whole = trace_in(feeding, terminal.part)
    pins = tuple(_with_own_ways(feeding, pin) for pin in whole.pins if pin.terminal.pin == terminal.pin)
    downstream = tuple(
        there._replace(paths=passing) for there in whole.downstream if (passing := _passing(there.paths, terminal))
    )
    grounded = tuple((end, passing) for end, paths in whole.grounded_here if (passing := _passing(paths, terminal)))
    ways = [path for pin in pins for path in (*pin.supply, *pin.ground)]
    ways += [path for there in downstream for path in there.paths]
    ways += [path for _, paths in grounded for path in paths]
    unknown = unknowns_of(feeding.circuit, feeding.fitting, ways)
    ends = {there.part for there in downstream}
    return replace(
        whole,
        pins=pins,
        downstream=downstream,
        branches=_branches(whole, terminal, {there.taking.terminal for there in downstream}),
        grounded_here=grounded,
        cavities=tuple(its for its in whole.cavities if its.cavity.pin == terminal.pin),
        worked=worked_by(feeding, whole.part, main_ways(pins))[0],
        open_ends=tuple(
            entry for entry in whole.open_ends if entry in unknown or _leads_to_open_end(feeding, entry.name, ends)
        ),
        unknown=tuple(entry for entry in unknown if entry.kind != "open end"),
        sheets=tuple(dict.fromkeys(sheet for path in ways for sheet in path.sheets)),
    )


def _with_own_ways(feeding: Feeding, pin: PinTrace) -> PinTrace:
    """Who asks for one terminal holds a probe to it: what comes to it through the part itself counts as well, through
    the contact of its own switch or its own fuse."""
    if isinstance(feeding.circuit.platform.parts[pin.terminal.part], Joint):
        return pin
    supply, ground = feeding.supply.to(pin.terminal), grounded(feeding.back_from(pin.terminal.part).to(pin.terminal))
    return pin._replace(
        supply=tuple(path for path in supply.paths if path.steps),
        ground=tuple(path for path in ground.paths if path.steps),
    )


def _branches(whole: Trace, terminal: Terminal, ends: set[Terminal]) -> tuple[Branch, ...]:
    """For a connector, what leaves by the cavity. Current that enters any other part may leave it by any terminal."""
    if whole.kind == "connector":
        return tuple(branch for branch in whole.branches if branch.start.pin == terminal.pin)
    return tuple(branch for branch in whole.branches if any(taking.terminal in ends for taking in _takings(branch)))


def _takings(branch: Branch) -> Iterator[Taking]:
    todo = [branch]
    while todo:
        here = todo.pop()
        yield from here.takings
        todo += here.branches


def _passing(paths: Iterable[Path], terminal: Terminal) -> tuple[Path, ...]:
    """The ways that pass the pin, whichever half."""
    return tuple(
        path for path in paths if any(t.part == terminal.part and t.pin == terminal.pin for t in path.terminals)
    )


def _leads_to_open_end(feeding: Feeding, name: str, ends: set[str]) -> bool:
    """Whether one of these open ends leaves from the point `name`: an open end is named after that point."""
    wires = feeding.circuit.platform.wires_at
    return any(str(end) == name for part in ends for wire in wires.get(part, ()) for end in (wire.a, wire.b))

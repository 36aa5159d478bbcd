"""Which state of the vehicle lets certain loads draw: the state that was said, or the nearest one to it.

Tried in this order: what was said; one more change (a position of the key or of a switch, all networks awake); two. Of
those that let as many loads draw, the surest, then the one with the fewest changes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.effort import Effort
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.functions import function_named, level_of_function
from circuitmap.power.nets import NO, YES
from circuitmap.power.state import VehicleState, keys_of, rest_position
from circuitmap.wiring.parts import Switch

MOST_LOOKED = 400
"""States that are tried at the most (judgement)."""


class FurtherChange(NamedTuple):
    """One change of a state: `what` is `key`, the name of a switch, `awake` for all networks, or `feeding` with the
    part that feeds."""

    what: str
    to: str


class StateFor(NamedTuple):
    """The state in which most of the loads draw. `changes` are those that nobody said, `lacking` the loads that draw in
    no state that was tried, `cut_off`: not all states were tried."""

    powered: Powered
    changes: tuple[FurtherChange, ...]
    lacking: tuple[str, ...]
    cut_off: bool


def state_for(circuit: Circuit, said: VehicleState, loads: Sequence[str]) -> StateFor:
    """The state nearest to `said` in which these loads draw, or may."""
    effort = Effort(MOST_LOOKED)
    best: tuple[tuple[int, int], Powered, tuple[FurtherChange, ...]] | None = None
    for changes in _changes(circuit, said):
        if not effort.spend(1) and best is not None:
            break
        powered = evaluate(circuit, changed(circuit, said, changes))
        drawn = [_level(powered, name) for name in loads]
        score = sum(its != NO for its in drawn), sum(its == YES for its in drawn)
        if best is None or score > best[0]:
            best = score, powered, changes
        if best[0][0] == len(loads) and (len(changes) >= len(best[2]) + 1 or best[0][1] == len(loads) or not best[2]):
            break
    assert best is not None
    _, powered, changes = best
    lacking = tuple(name for name in loads if _level(powered, name) == NO)
    return StateFor(powered, changes, lacking, effort.used_up)


def changed(circuit: Circuit, said: VehicleState, changes: Sequence[FurtherChange]) -> VehicleState:
    """A state with these changes made."""
    state = said
    for change in changes:
        if change.what == "key":
            state = replace(state, key=change.to)
        elif change.what == "awake":
            state = replace(state, awake=frozenset((*state.awake, *circuit.platform.networks)))
        elif change.what == "feeding":
            state = replace(state, feeding=state.feeding | {change.to})
        else:
            state = replace(state, switches={**state.switches, change.what: change.to})
    return state


def _level(powered: Powered, name: str) -> int:
    its = function_named(powered.circuit, name)
    return NO if its is None else level_of_function(powered, its)


def _changes(circuit: Circuit, said: VehicleState) -> Iterator[tuple[FurtherChange, ...]]:
    platform = circuit.platform
    singles: list[FurtherChange] = []
    if not said.key:
        positions = {p: None for its in keys_of(platform) for p in its.positions if p != rest_position(its)}
        positions |= {p: None for its in platform.outputs for p in its.positions}
        singles += [FurtherChange("key", position) for position in positions]
    if platform.networks and not said.awake:
        singles.append(FurtherChange("awake", "all"))
    for part in platform.parts.values():
        if isinstance(part, Switch) and not part.is_key and part.name not in said.switches:
            rest = rest_position(part)
            singles += [FurtherChange(part.name, position) for position in part.positions if position != rest]
    yield ()
    yield from ((its,) for its in singles)
    yield from ((a, b) for a, b in combinations(singles, 2) if a.what != b.what)

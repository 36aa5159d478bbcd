"""What is watched, each in a state in which it should work: most in the state that was said, what needs another switch
in that state with that switch turned, and what was said of another position in that position. A position in which all
of the dead are said to be dead (`SCRL@key=run SCRR@key=run`) is part of the state that was said.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.functions import function_named, functions_of, level_of_function
from circuitmap.power.nets import NO
from circuitmap.power.state import VehicleState, keys_of, rest_position
from circuitmap.power.state_for import FurtherChange, StateFor, changed, state_for
from circuitmap.wiring.parts import Switch

MOST_TURNED_BACK = 4
"""Switches that were said, and that are tried in their other positions with what else is needed (judgement)."""
MOST_STATES = 8
"""States besides the one that was said; what would need more is left out and said (judgement)."""


SCAN = "scan"
"""What stands for all networks of a module: it answers a scan, or it does not."""


class ToldOf(NamedTuple):
    """One load, pin or relay of which somebody said whether it works. `said`: in which positions, where that is another
    state than that of the others. `network`: not whether it works was told, but whether it answers, on that network or,
    `SCAN`, on any."""

    name: str
    works: bool
    said: tuple[FurtherChange, ...] = ()
    network: str = ""

    @property
    def words(self) -> str:
        """`M12`, or `M12 with S14 at 4`."""
        answer = "" if not self.network else f" on {self.network}" if self.network != SCAN else " (scan)"
        return self.name + answer + "".join(map(_position_words, self.said))

    @property
    def typed(self) -> str:
        """`M12@S14=4`: as it is typed in."""
        answer = f"@{self.network}" if self.network else ""
        return self.name + answer + "".join(f"@{its.what}={its.to}" for its in self.said)


def _position_words(its: FurtherChange) -> str:
    if its.what == "feeding":
        return f" with {its.to} feeding"
    return f" with {'the key' if its.what == 'key' else its.what} at {its.to}"


class Watched(NamedTuple):
    """One of these, its number (among `functions_of` in the first state, above all of them in another one), the state
    it is watched in by its number, and whether it works there at all when all is well (`lacking`: it does not)."""

    told: ToldOf
    number: int
    function: int
    state: int
    lacking: bool


@dataclass(frozen=True)
class WatchedStates:
    """The states, the first one for most, and what is watched in them. `otherwise`: as it was said, nothing of what is
    dead works by what is typed in; it would with this changed, and that is the state that is looked at."""

    states: tuple[StateFor, ...]
    items: tuple[Watched, ...]
    otherwise: tuple[FurtherChange, ...] = ()

    @property
    def main(self) -> Powered:
        return self.states[0].powered

    @property
    def switched_on(self) -> tuple[str, ...]:
        """What is switched on in the first state while a probe is held somewhere: not a module of which only its answer
        was told, nor what works in no state."""
        return tuple(its.told.name for its in self.items if its.state == 0 and not its.lacking and not its.told.network)

    def named(self, number: int) -> str:
        """What a number stands for."""
        functions = functions_of(self.main.circuit)
        if number < len(functions):
            return functions[number].name
        return next(its.told.words for its in self.items if its.number == number)


def watched_states(circuit: Circuit, said: VehicleState, told: Sequence[ToldOf]) -> WatchedStates:
    """A state for each: those that are dead decide the first one, as far as one state will do."""
    before, said = said, changed(circuit, said, said_of_all(told))
    apart = dict(zip(told, said_apart(told), strict=True))
    dead = [its for its in apart.values() if not its.works]
    otherwise = _otherwise(circuit, said, [its.name for its in dead if not its.said])
    said = changed(circuit, said, otherwise)
    # All of it speaks of other positions, and not of the same ones: those of the first, then.
    lead = dead[0].said if dead and all(its.said for its in dead) else ()
    said = changed(circuit, said, lead)
    ordered = sorted(told, key=lambda its: (bool(apart[its].said) and apart[its].said != lead, its.works))
    states: list[StateFor] = []
    own: dict[tuple[FurtherChange, ...], int] = {}
    items: list[Watched] = []
    functions = functions_of(circuit)
    for its in ordered:
        function = function_named(circuit, its.name)
        assert function is not None
        number = functions.index(function)
        within = apart[its]
        within = within._replace(said=()) if within.said == lead else within
        at = _other_switch(circuit, before, said, told, within) if within.said else said
        state, level = _state_of(circuit, at, within, states, own)
        elsewhere = state > 0 or bool(its.network)
        items.append(Watched(its, len(functions) + len(items) if elsewhere else number, number, state, level == NO))
    return WatchedStates(tuple(states), tuple(items), otherwise)


def _other_switch(
    circuit: Circuit, before: VehicleState, said: VehicleState, told: Sequence[ToldOf], its: ToldOf
) -> VehicleState:
    """The state in which something works by one switch that is dead by another: that other one is at rest then. It is
    `said` for all else; `before` is that without the positions in which all of the dead are dead."""
    if not its.works or not any(one.name == its.name and not one.works for one in told):
        return said
    named = {change.what for change in its.said}
    parts = circuit.platform.parts
    at_rest = {
        change.what: rest_position(part)
        for change in said_of_all(told)
        if isinstance(part := parts.get(change.what), Switch) and not part.is_key
        and change.what not in named and change.what not in before.switches
    }  # fmt: skip
    return replace(said, switches={**said.switches, **at_rest})


def _otherwise(circuit: Circuit, said: VehicleState, dead: Sequence[str]) -> tuple[FurtherChange, ...]:
    """One position that was said and has to be another one for what is dead to work at all; empty where some of it
    does as it was said, or nothing helps."""
    if not dead or any(_works(circuit, said, (), name) for name in dead):
        return ()
    if any(not state_for(circuit, said, (name,)).lacking for name in dead):
        return ()
    parts = circuit.platform.parts
    ways = [
        (FurtherChange(switch, to),)
        for switch, at in said.switches.items()
        for to in getattr(parts[switch], "positions", ())
        if to != at
    ]
    if said.key:
        ways += [(FurtherChange("key", to),) for to in dict.fromkeys(_key_positions(circuit)) if to != said.key]
    worth = {way: sum(_works(circuit, said, way, name) for name in dead) for way in ways}
    best = max(ways, key=lambda way: worth[way], default=())
    if best and worth[best]:
        return best
    for switch, at in list(said.switches.items())[:MOST_TURNED_BACK]:  # that one, and what else they need then
        rest = {name: position for name, position in said.switches.items() if name != switch}
        found = state_for(circuit, replace(said, switches=rest), dead)
        turned = tuple(its for its in found.changes if its.what == switch and its.to != at)
        if turned and len(found.lacking) < len(dead):
            return turned
    return ()


def _works(circuit: Circuit, said: VehicleState, changes: Sequence[FurtherChange], name: str) -> bool:
    function = function_named(circuit, name)
    assert function is not None
    return level_of_function(evaluate(circuit, changed(circuit, said, changes)), function) != NO


def _key_positions(circuit: Circuit) -> list[str]:
    return [position for its in keys_of(circuit.platform) for position in its.positions]


def said_of_all(told: Sequence[ToldOf]) -> tuple[FurtherChange, ...]:
    """The positions in which each of the dead is said to be dead."""
    dead = [its.said for its in told if not its.works]
    return tuple(change for change in dead[0] if all(change in its for its in dead)) if dead else ()


def said_apart(told: Sequence[ToldOf]) -> tuple[ToldOf, ...]:
    """What was told without the positions in which all of the dead are dead: they are part of the state."""
    common = said_of_all(told)
    return tuple(its._replace(said=tuple(change for change in its.said if change not in common)) for its in told)


def _state_of(
    circuit: Circuit,
    said: VehicleState,
    its: ToldOf,
    states: list[StateFor],
    own: dict[tuple[FurtherChange, ...], int],
) -> tuple[int, int]:
    """The number of the state in which to watch something, and how surely it works there."""
    function = function_named(circuit, its.name)
    assert function is not None
    if not its.said:
        for n, known in enumerate(states):
            level = level_of_function(known.powered, function)
            if level != NO and n not in own.values():
                return n, level
    elif its.said in own:
        n = own[its.said]
        return n, level_of_function(states[n].powered, function)
    start = changed(circuit, said, its.said)
    if states and not its.said:
        start = states[0].powered.state
    found = state_for(circuit, start, (its.name,))
    level = level_of_function(found.powered, function)
    if level == NO and states and states[0].changes:  # what the others needed may be what keeps this one off
        found = state_for(circuit, changed(circuit, said, its.said), (its.name,))
        level = level_of_function(found.powered, function)
    if level == NO and states and not its.said:
        return 0, NO
    if not states and its.said:  # the first state is that of what was said for all
        states.append(state_for(circuit, said, ()))
    if states and not its.said and _all_still_work(circuit, states[0], found, states):
        states[0] = found._replace(changes=(*states[0].changes, *found.changes))
        return 0, level
    if len(states) > MOST_STATES:
        return 0, NO
    states.append(found)
    if its.said:
        own[its.said] = len(states) - 1
    return len(states) - 1, level


def _all_still_work(circuit: Circuit, main: StateFor, found: StateFor, states: Sequence[StateFor]) -> bool:
    """Whether the further change leaves everything on that the first state has on: then one state does for both."""
    if len(states) > 1:
        return False
    return all(
        level_of_function(found.powered, its) >= level_of_function(main.powered, its)
        for its in functions_of(circuit)
        if its.kind != "relay"
    )

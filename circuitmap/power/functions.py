"""What can be said to work or not: a load, one supply pin of a load that has several (one filament of a lamp), a relay
that pulls in.
"""

from typing import Literal, NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO
from circuitmap.power.plan import plan_of
from circuitmap.wiring.parts import Terminal, is_unnamed


class Function(NamedTuple):
    """`name` as it is typed: `E20`, `E1.56b`, `K8`. `supplies` and `grounds` are the pins between which its current
    flows; `number` is that of the load or relay, `paths` those of the load."""

    name: str
    part: str
    kind: Literal["load", "pin", "relay"]
    number: int
    paths: tuple[int, ...]
    supplies: tuple[Terminal, ...]
    grounds: tuple[Terminal, ...]


def functions_of(circuit: Circuit) -> tuple[Function, ...]:
    """All of them: loads in the order of the plan, so that a load has the same number in both, then pins and relays."""
    return circuit.derived(_all_functions)


def function_named(circuit: Circuit, name: str) -> Function | None:
    """The one of this full name."""
    return circuit.derived(_by_name).get(name)


def level_of_function(powered: Powered, its: Function) -> int:
    """How surely it works in a state: 0, 1 or 2."""
    if its.kind == "relay":
        return powered.settled.standing.relays[its.number]
    if its.kind == "load":
        return powered.draws_of(its.number)
    return max((powered.run.drawn(path, powered.settled.reach) for path in its.paths), default=NO)


def levels_of_functions(powered: Powered) -> tuple[int, ...]:
    """The same of all of them."""
    loads = powered.draws
    others = functions_of(powered.circuit)[len(loads) :]
    return (*loads, *(level_of_function(powered, its) for its in others))


def _all_functions(circuit: Circuit) -> tuple[Function, ...]:
    plan = plan_of(circuit)
    found = []
    for n, name in enumerate(plan.loads):
        pins = circuit.loads[name]
        found.append(Function(name, name, "load", n, plan.paths_of[n], pins.supplies, pins.grounds))
    for its in tuple(found):
        if len(its.supplies) > 1:
            for pin in (pin for pin in its.supplies if not is_unnamed(pin.pin)):
                paths = tuple(p for p in its.paths if plan.paths[p].supply == circuit.number[pin])
                found.append(Function(str(pin), its.part, "pin", its.number, paths, (pin,), its.grounds))
    for n, name in enumerate(plan.relays):
        coils = [circuit.links[plan.coils[coil].link] for coil in plan.coils_of[n]]
        ends = tuple(its.a for its in coils), tuple(its.b for its in coils)
        found.append(Function(name, name, "relay", n, (), *ends))
    return tuple(found)


def _by_name(circuit: Circuit) -> dict[str, Function]:
    return {its.name: its for its in functions_of(circuit)}

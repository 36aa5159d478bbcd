"""The loads that may draw in a state, sorted by what that depends on, each looked at as if its equipment were
fitted."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import assert_never

from circuitmap.power.doubts import Doubt, doubt_of
from circuitmap.power.equipment import not_said, with_equipment
from circuitmap.power.evaluate import LoadPower, Powered, evaluate
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Condition


@dataclass(slots=True)
class Perhaps:
    """`if_fitted` draw for certain on a vehicle that has the equipment they come with, but nobody said whether this one
    has it. `by_output` wait for a module, `in_series` carry current through others, `unknown` are not typed in far
    enough.

    `seen` is the state in which each of them was looked at: as if what it comes with were fitted.
    """

    if_fitted: list[LoadPower] = field(default_factory=list)
    by_output: list[LoadPower] = field(default_factory=list)
    in_series: dict[str, Doubt] = field(default_factory=dict)
    unknown: list[LoadPower] = field(default_factory=list)
    seen: dict[str, Powered] = field(default_factory=dict)


def perhaps_drawing(powered: Powered, loads: Iterable[LoadPower]) -> Perhaps:
    """Sort out `loads`, all of which may draw."""
    found = Perhaps()
    fitted: dict[Condition, Powered] = {(): powered}
    for its in loads:
        equipment = not_said(powered.circuit, its.name, powered.state.fitting)
        if equipment not in fitted:
            fitting = with_equipment(powered.state.fitting, equipment)
            fitted[equipment] = evaluate(powered.circuit, replace(powered.state, fitting=fitting))
        then = fitted[equipment]
        if then.loads[its.name].draws == Answer.NO:
            then = powered
        found.seen[its.name] = then
        _sort_in(found, then, then.loads[its.name])
    return found


def _sort_in(found: Perhaps, then: Powered, its: LoadPower) -> None:
    if its.draws == Answer.YES:
        found.if_fitted.append(its)
        return
    doubt = doubt_of(then, its.name)
    match doubt.kind:
        case "on request":
            found.by_output.append(its)
        case "in series":
            found.in_series[its.name] = doubt
        case "not known":
            found.unknown.append(its)
        case _:
            assert_never(doubt.kind)


def options_in(powered: Powered, loads: Iterable[LoadPower]) -> list[str]:
    """The options that these loads come with, in order, where nobody said whether this vehicle has them."""
    state, circuit = powered.state, powered.circuit
    return list(dict.fromkeys(n.option for its in loads for n in not_said(circuit, its.name, state.fitting)))

"""Water or green between two cavities of a plug: what the wire of an input waits for comes over from its neighbour."""

from collections.abc import Mapping
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.input_wires import beyond, ending, on_the_way
from circuitmap.diagnosis.faults.inputs import Input
from circuitmap.power.evaluate import Powered
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal

WET = 0.05
"""The share that water in its plugs has of all that a wrong input by its switch can be (judgement)."""


def leaks_of(parked: Parked, wrong: Fault, its: Input, in_use: Powered) -> tuple[Fault, ...]:
    """For each plug on the way to the pin that watches a switch, water between its cavity and one that has there what
    the switch brings by closing: ground, or plus."""
    hands_off = parked.circuit.hands_off
    if its.by_opening or wrong.state is None or not hands_off.may_touch(its.pin.part):
        return ()
    sound = parked.powered
    for now, before in ((in_use.ground, sound.ground), (in_use.supply, sound.supply)):
        if (now.get(its.pin, Answer.NO), before.get(its.pin, Answer.NO)) == (Answer.YES, Answer.NO):
            cavities = [name for name in on_the_way(parked, its) if name != str(its.pin)]
            plugs = sorted({name for name in cavities if parked.platform.parts.get(name) is not None})
            own = {plug: name for plug in plugs for name in sorted(cavities) if name.startswith(f"{plug}.")}
            at_plugs = ((plug, own[plug]) for plug in plugs if plug in own and hands_off.may_touch(plug))
            found = (_leak(parked, wrong, its, cavity, before) for _, cavity in at_plugs)
            return tuple(one for one in found if one is not None)
    return ()


def _leak(parked: Parked, wrong: Fault, its: Input, cavity: str, has_it: Mapping[Terminal, Answer]) -> Fault | None:
    """The fault of one plug; None where no neighbour has what the input waits for."""
    plug, _, pin = cavity.rpartition(".")
    cavities = parked.circuit.terminals_of.get(plug, ())
    own = [end for end in cavities if end.pin == pin]
    beside = [end for end in cavities if end.pin != pin and has_it.get(end, Answer.NO) == Answer.YES]
    if not own or not beside:
        return None
    near = min(beside, key=lambda end: (_apart(end.pin, pin), end.pin, end.half))
    assert wrong.state is not None
    state = replace(parked.state, awake=wrong.state.awake, bridged=frozenset({(_far_half(parked, own, its.pin), near)}))
    # The module hears of it no more with the wire parted on its own side, nor without the neighbour that brings it.
    parts_it = beyond(parked, its, cavity) | {f"{plug}.{near.pin}"}
    heard_only = wrong.state.awake and not wrong.of
    lives_by = frozenset({plug, cavity}) | (parts_it if heard_only else ending(parked, state, parts_it))
    supplies = parked.supplies_of(wrong.module)
    fault = replace(
        wrong, part=plug, contact="", of=(), state=state, others=(wrong.module, its.switch.name, str(its.pin), cavity),
        lives_by=tuple(supply | lives_by for supply in supplies) or (lives_by,), leak=(cavity, f"{plug}.{near.pin}"),
    )  # fmt: skip
    if wrong.of or not wrong.state.awake:
        return replace(fault, brings=parked.brought_in(state))
    return fault


def _apart(one: str, other: str) -> int:
    """How far two cavities stand apart, by their numbers."""
    return abs(int(one) - int(other)) if one.isdecimal() and other.isdecimal() else len(one) + len(other)


def _far_half(parked: Parked, own: list[Terminal], pin: Terminal) -> Terminal:
    """The half of a cavity that is not the module's once the plug is parted."""
    nets, number = parked.looked_at(parked.state, frozenset({own[0].part})).nets.net_of, parked.circuit.number
    return next((end for end in own if nets[number[end]] != nets[number[pin]]), own[0])

"""Where the black lead goes while a probe is held somewhere, where it matters: why not on the nearest metal."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.links import BODY
from circuitmap.dead.breaks import Break
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import functions_of
from circuitmap.power.minus_switch import switched_from_body
from circuitmap.power.why import why
from circuitmap.volts.net import NoBattery, net_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal

_WORTH = 0.05
"""Odds from which on a ground counts as suspected (judgement)."""


class BlackLead(NamedTuple):
    """The point, and why it must be that one: `switched`, the switches `names` lie between it and the body;
    `suspected`, a way to ground may be what is open; `made`, what the module `names` makes returns to that pin and not
    to the body."""

    at: Terminal
    why: Literal["switched", "suspected", "made"]
    names: tuple[str, ...]


def black_lead(
    sound: Powered, on: Sequence[str], dead: Sequence[int], suspects: Sequence[tuple[Break, float]]
) -> BlackLead | None:
    """None where any sound ground will do. `on` is switched on, `dead` are numbers among `functions_of`."""
    made = _made(sound, dead)
    if made is not None:
        return made
    net = net_of(sound, on, {})
    if isinstance(net, NoBattery):
        return None
    at = sound.circuit.nodes[net.reference]
    between = switched_from_body(sound)
    if between:
        return BlackLead(at, "switched", between)
    suspected = any(odds >= _WORTH and _is_on_ground(sound, its) for its, odds in suspects)
    return BlackLead(at, "suspected", ()) if suspected else None


def _is_on_ground(sound: Powered, its: Break) -> bool:
    """Whether it lies on the way back: a ground point, or what has ground at both ends while all is well."""
    if its.kind == "ground":
        return True
    ends = [end for i in its.links for end in (sound.circuit.links[i].a, sound.circuit.links[i].b)]
    if its.kind in ("load", "plug") or not ends:
        return False
    return all(sound.ground[end] == Answer.YES and sound.supply[end] == Answer.NO for end in ends)


def _made(sound: Powered, dead: Sequence[int]) -> BlackLead | None:
    """The ground pin of the module that makes the plus of what is dead, where that is no ground of the body's."""
    circuit, functions = sound.circuit, functions_of(sound.circuit)
    if BODY not in circuit.number:
        return None
    pins = [pin for n in dead if n < len(functions) for pin in functions[n].supplies if pin in circuit.number]
    for pin in pins:
        for step in why(sound, pin).steps:
            output = step.link.output if step.link is not None else None
            grounds = circuit.loads[output.module].grounds if output is not None and output.volts else ()
            for ground in grounds:
                if ground in circuit.number and not _joined(sound, ground, BODY):
                    return BlackLead(ground, "made", (ground.part,))
    return None


def _joined(sound: Powered, one: Terminal, other: Terminal) -> bool:
    """Whether two points are grounded to the same battery."""
    ground, net_of_node = sound.settled.reach.ground, sound.nets.net_of
    batteries = (1 << len(sound.plan.cells)) - 1
    bits = [ground[net_of_node[sound.circuit.number[end]]] & batteries for end in (one, other)]
    return bool(bits[0] & bits[1])

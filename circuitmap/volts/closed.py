"""Which links of a circuit conduct in a state in which certain loads run.

What surely conducts does. What only may (an output on request, an option nobody mentioned) does where one of the loads
that were said to run needs it: it would not run otherwise. A contact on that way needs its coil's way, and so on.
"""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import function_named
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.why import Reason, why
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay


class Closed(NamedTuple):
    """`links` that conduct, by number; `taken_as_on`: contacts and outputs that may be open and are taken to be closed,
    because what runs needs them; `undrawn_feeds` and `undrawn_grounds`: nodes from which what runs is fed, or by which
    it is grounded, though nobody typed in how."""

    links: frozenset[int]
    taken_as_on: tuple[str, ...]
    undrawn_feeds: tuple[int, ...]
    undrawn_grounds: tuple[int, ...]


def closed_in(powered: Powered, running: Iterable[str]) -> Closed:
    """The links that conduct while these loads (or relays, by their coils) run besides what surely draws."""
    circuit = powered.circuit
    conducts = {i for i in range(len(circuit.links)) if _crossed(powered, i) and level_of(powered, i) == YES}
    taken: dict[str, None] = {}
    feeds: dict[int, None] = {}
    grounds: dict[int, None] = {}
    todo = [*running, *(name for n, name in enumerate(powered.plan.loads) if powered.draws[n] == YES)]
    todo += [name for name, answer in powered.energised.items() if answer == Answer.YES]
    done: set[str] = set()
    while todo:
        name = todo.pop()
        if name in done:
            continue
        done.add(name)
        for reason in _ways_of(powered, name):
            if reason.source is not None and reason.origin in ("not drawn", "label", "feeding"):
                (feeds if reason.side == "supply" else grounds)[circuit.number[reason.source]] = None
            for step in reason.steps:
                if step.link is None or step.answer == Answer.YES:
                    continue
                conducts.update(
                    i
                    for i in circuit.at[circuit.number[step.start]]
                    if circuit.links[i] is step.link and powered.nets.link_level[i] >= MAY_BE
                )
                if step.link.contact:
                    taken[step.link.contact] = None
                    moves = isinstance(circuit.platform.parts.get(step.link.part), Relay)
                    if moves or step.link.output is not None:
                        todo.append(step.link.part)
    return Closed(frozenset(conducts), tuple(taken), tuple(feeds), tuple(grounds))


def _crossed(powered: Powered, i: int) -> bool:
    link = powered.circuit.links[i]
    return link.kind not in NEVER_CROSSED and not (link.kind == "resistor" and link.part in powered.circuit.loads)


def _ways_of(powered: Powered, name: str) -> list[Reason]:
    """How a load, or a relay's coil, is fed and grounded, as far as it is. What a row of a fuse chart may mean is live
    as that row is: by one of them, so that it joins no two."""
    its = function_named(powered.circuit, name)
    if its is None:
        return []
    perhaps = powered.circuit.loads[name].perhaps if its.kind == "load" else ()
    found = [why(powered, pin, "supply") for pin in (*its.supplies, *perhaps)]
    found += [why(powered, pin, "ground") for pin in its.grounds]
    return [reason for reason in found if reason.answer != Answer.NO]


def may_conduct(powered: Powered, i: int) -> bool:
    """Whether a link is there at all in this state: fitted, not taken out."""
    return powered.nets.link_level[i] != NO

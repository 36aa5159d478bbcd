"""A fault that turns several things on, one of which does not work besides: a bulb is burnt, its wire or its ground is
open; a relay is held in, and its contact is burnt. Told only where it is typed in what they take: else no current shows
it."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.fault import Fault

MOST_TOGETHER = 6
"""Of more things on one contact, one that does not work hardly shows (judgement)."""


def not_working(fault: Fault) -> tuple[Fault, ...]:
    """The same fault with one of the things that it turns on dead; for a relay that is held in, with all of them."""
    if fault.kind not in ("contact", "lamp", "coil") and not fault.of:
        return ()
    running = [flow for flow in fault.brings if flow.key.taken == "running"]
    named = tuple(dict.fromkeys(flow.owner for flow in running))
    if not named or len(named) > MOST_TOGETHER or any(flow.assumed for flow in running):
        return ()
    return tuple(_without(fault, dead) for dead in _dead(fault, named))


def _dead(fault: Fault, named: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    if len(named) > 1:
        yield from ((name,) for name in named)
    if any(flow.holds_a_relay and not flow.assumed for flow in fault.brings):
        yield named


def _without(fault: Fault, dead: tuple[str, ...]) -> Fault:
    state = fault.state
    return replace(
        fault,
        dead=dead,
        brings=_left(fault.brings, dead),
        others=tuple(name for name in fault.others if name not in dead),
        state=replace(state, unplugged=state.unplugged.union(dead)) if state is not None else None,
        of=tuple(_without(one, dead) for one in fault.of),
    )


def _left(flows: tuple[Flow, ...], dead: tuple[str, ...]) -> tuple[Flow, ...]:
    return tuple(flow for flow in flows if flow.owner not in dead)

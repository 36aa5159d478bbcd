"""What would stay on by itself once it was on: relays that feed their own coils, outputs that feed their own inputs."""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.power.looks import Settled, Standing
from circuitmap.power.nets import NO, YES
from circuitmap.power.settle import Run


class SelfHeld(NamedTuple):
    """`relays` that hold themselves once pulled in, and `outputs` that do so once on, such as a converter's that brings
    what its own input waits for; `follow` are relays that are pulled in only as long as those hold. All of it holds in
    the state `settled`."""

    relays: tuple[str, ...]
    outputs: tuple[str, ...]
    follow: tuple[str, ...]
    settled: Settled


def self_held(run: Run, settled: Settled) -> SelfHeld | None:
    """Starts with all relays pulled in and everything awake. What is let go and comes on again did not hold itself:
    something else holds it."""
    then = run.from_pulled_in()
    restless = then.buzzing | then.unsettled | settled.buzzing
    relays = [n for n in _more(then.standing.relays, settled.standing.relays) if n not in restless]
    names, sleepers, parts = run.plan.relays, run.plan.sleepers, run.plan.circuit.platform.parts
    outputs = [n for n in _more(then.standing.awake, settled.standing.awake) if sleepers[n].name not in parts]
    own = [n for n in relays if not _comes_back(run, then.standing, relay=n)]
    by = [n for n in outputs if not _comes_back(run, then.standing, sleeper=n)]
    if not own and not by:  # each of several is enough for all of them
        own = relays
    if not own and not by:
        return None
    return SelfHeld(
        tuple(names[n] for n in own),
        tuple(sleepers[n].name for n in by),
        tuple(names[n] for n in relays if n not in own),
        then,
    )


def settled(run: Run) -> Settled:
    """A state until nothing moves: from rest, with those relays pulled in that were so before."""
    if not run.state.was_in:
        return run.from_rest()
    rest, before = run.at_rest, {run.plan.relay_number[name] for name in run.state.was_in}
    relays = tuple(YES if n in before else level for n, level in enumerate(rest.relays))
    return run.settle(rest._replace(relays=relays))


def _more(after: Sequence[int], before: Sequence[int]) -> list[int]:
    return [n for n, (now, was) in enumerate(zip(after, before, strict=True)) if now > was]


def _comes_back(run: Run, held: Standing, relay: int | None = None, sleeper: int | None = None) -> bool:
    """Whether something that is let go while all else is held is on again when nothing moves any more."""
    start = Standing(_without(held.relays, relay), _without(held.fed, sleeper), _without(held.awake, sleeper))
    end = run.settle(start).standing
    return end.relays[relay] > NO if relay is not None else sleeper is not None and end.awake[sleeper] > NO


def _without(levels: Sequence[int], number: int | None) -> tuple[int, ...]:
    return tuple(NO if n == number else level for n, level in enumerate(levels))

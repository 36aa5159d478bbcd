"""Why a network is awake: reasons as data."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.power.nets import NO
from circuitmap.power.wake_pins import WakePin
from circuitmap.power.waking import Awake, awake
from circuitmap.power.why import why
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import WakesBy


@dataclass(frozen=True, slots=True)
class Waking:
    """What keeps a network awake: `said` by the state, a `wake pin` to which comes what wakes there (`by`), an `output`
    that is on, a `network` or `wake line` by name, or that it still `runs on`."""

    kind: Literal["said", "wake pin", "output", "network", "wake line", "runs on"]
    name: str
    answer: Answer
    by: WakesBy | None = None


def _by_itself(powered: Powered, number: int, pins: Iterable[WakePin]) -> Iterator[Waking]:
    """What keeps a sleeper awake other than its networks: of its wake pins these."""
    sleeper, said = powered.plan.sleepers[number], powered.run.said[0][number]
    if not powered.settled.standing.awake[number]:
        return
    if said:
        yield Waking("said" if sleeper.name in powered.state.awake else "runs on", sleeper.name, ANSWERS[said])
    for pin in pins:
        level = powered.run.pin_wakes(pin, powered.settled.reach)
        if level:
            by = powered.plan.wakes.by(pin, powered.state.fitting)
            yield Waking("wake pin", str(powered.circuit.nodes[pin.node]), ANSWERS[level], by)


def kept_awake_by(powered: Powered, network: str) -> tuple[Waking, ...]:
    """The members that keep a network awake by themselves, and the networks and gateways through which it is woken.
    What is awake only because this network is (a network beyond a gateway, a wake pin at an output that is on while
    its module is awake) is no reason."""
    return _reasons(powered, network, _without(powered, network)) or _reasons(powered, network, None)


def _reasons(powered: Powered, network: str, without: "_Without | None") -> tuple[Waking, ...]:
    lines, plan = powered.run.lines, powered.plan
    found: dict[Waking, None] = {}
    for driver in plan.driven_lines.get(network, ()):
        if answer := powered.driven_at(driver):
            found[Waking("output", str(driver.terminal), answer)] = None
    for n in powered.lines_of_network.get(network, ()):
        if not powered.settled.lines[n]:
            continue
        if network in powered.state.awake:
            found[Waking("said", network, Answer.YES)] = None
        members: dict[int, Answer] = {}
        for number, _ in lines.lines[n].members:
            if all(line != n for line, _ in lines.kept_by[number]):
                continue
            pins = without.pins[number] if without is not None else plan.sleepers[number].wake_pins
            own = sorted(_by_itself(powered, number, pins), key=lambda waking: -waking.answer)
            found.update(dict.fromkeys(own))
            members[number] = max((waking.answer for waking in own), default=Answer.NO)
        for start, number, level in _woken_from(powered, n):
            line_before = lines.lines[start]
            outputs = plan.perhaps_driven.get((network, plan.sleepers[number].name), ())
            if outputs:
                found.update((Waking("output", str(output.terminal), ANSWERS[level]), None) for output in outputs)
            elif members.get(number, Answer.NO) >= ANSWERS[level]:
                continue  # the gateway is awake by itself, and on this network
            elif without is None or min(level, without.up.lines[start]) == level:
                kind: Literal["network", "wake line"] = "wake line" if line_before.is_wake_line else "network"
                found[Waking(kind, line_before.network, ANSWERS[level])] = None
    return tuple(sorted(found, key=lambda waking: -waking.answer))


def _woken_from(powered: Powered, line: int) -> Iterator[tuple[int, int, int]]:
    """The lines from which waking passes to a line, with the sleeper that it passes, and how surely it does."""
    lines, levels, fed = powered.run.lines, powered.settled.lines, powered.settled.standing.fed
    for start, number, level in lines.crossings_to[line]:
        its = min(levels[start], level, fed[number])
        if not its:
            continue
        if lines.lines[start].network:
            yield start, number, its
            continue
        for other, _, _ in lines.crossings_to[start]:
            if other != line and levels[other]:
                yield other, number, min(its, levels[other])


class _Without(NamedTuple):
    """Who would be awake if a network woke nobody: the lines and sleepers, and each sleeper's wake pins to which what
    wakes there would still come."""

    up: Awake
    pins: list[list[WakePin]]


def _without(powered: Powered, network: str) -> _Without:
    """From what wakes from outside on: an output that is on while its module is awake brings nothing before that is
    known to be awake, so that two that hold each other do not count."""
    lines, run = powered.run.lines, powered.run
    its = set(powered.lines_of_network.get(network, ()))
    wakes_nobody = lines._replace(
        crossings_from=tuple(() if n in its else found for n, found in enumerate(lines.crossings_from)),
        lines_of=tuple(tuple(pair for pair in found if pair[0] not in its) for found in lines.lines_of),
    )
    brought = [
        [(pin, run.pin_wakes(pin, powered.settled.reach), brought_by(powered, pin)) for pin in sleeper.wake_pins]
        for sleeper in powered.plan.sleepers
    ]
    up = Awake([NO] * len(brought), [NO] * len(lines.lines))
    while True:
        levels = [[min(level, *(up.sleepers[n] for n in by), level) for _, level, by in found] for found in brought]
        woken = [max(found, default=NO) for found in levels]
        then = awake(wakes_nobody, run.said, woken, powered.settled.standing.fed)
        if list(then.sleepers) == list(up.sleepers):
            return _Without(
                then,
                [
                    [pin for (pin, as_it_is, _), level in zip(found, its, strict=True) if level == as_it_is]
                    for found, its in zip(brought, levels, strict=True)
                ],
            )
        up = then


def brought_by(powered: Powered, pin: WakePin) -> tuple[int, ...]:
    """The modules, by number, through whose outputs what wakes comes to a pin as long as they are awake."""
    by = powered.plan.wakes.by(pin, powered.state.fitting)
    if by == "opening":
        return ()
    steps = why(powered, powered.circuit.nodes[pin.node], "supply" if by == "plus" else "ground").steps
    outputs = [step.link.output for step in steps if step.link is not None and step.because == "awake"]
    return tuple(powered.plan.sleeper_number[output.module] for output in outputs if output is not None)

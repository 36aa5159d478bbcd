"""Why a network is awake: reasons as data."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.wiring.fitting import Answer


@dataclass(frozen=True, slots=True)
class Waking:
    """What keeps a network awake: `said` by the state, a live `wake pin`, a `network` or `wake line` by name, or that
    it still `runs on`."""

    kind: Literal["said", "wake pin", "network", "wake line", "runs on"]
    name: str
    answer: Answer


def _by_itself(powered: Powered, number: int) -> Iterator[Waking]:
    """What keeps a sleeper awake other than its networks."""
    sleeper, said = powered.plan.sleepers[number], powered.run.said[0][number]
    if not powered.settled.standing.awake[number]:
        return
    if said:
        yield Waking("said" if sleeper.name in powered.state.awake else "runs on", sleeper.name, ANSWERS[said])
    for pin in sleeper.wake_pins:
        level = powered.run.pin_wakes(pin, powered.settled.reach)
        if level:
            yield Waking("wake pin", str(powered.circuit.nodes[pin.node]), ANSWERS[level])


def kept_awake_by(powered: Powered, network: str) -> tuple[Waking, ...]:
    """The members that keep a network awake by themselves, and the networks and gateways through which it is woken."""
    lines = powered.run.lines
    found: dict[Waking, None] = {}
    for n in powered.lines_of_network.get(network, ()):
        if not powered.settled.lines[n]:
            continue
        if network in powered.state.awake:
            found[Waking("said", network, Answer.YES)] = None
        for number, _ in lines.lines[n].members:
            if all(line != n for line, _ in lines.kept_by[number]):
                continue
            own = sorted(_by_itself(powered, number), key=lambda waking: -waking.answer)
            found.update(dict.fromkeys(own))
        for start, level in _woken_from(powered, n):
            line_before = lines.lines[start]
            kind: Literal["network", "wake line"] = "wake line" if line_before.is_wake_line else "network"
            found[Waking(kind, line_before.network, ANSWERS[level])] = None
    return tuple(sorted(found, key=lambda waking: -waking.answer))


def _woken_from(powered: Powered, line: int) -> Iterator[tuple[int, int]]:
    """The lines from which waking passes to a line, with how surely it does."""
    lines, levels, fed = powered.run.lines, powered.settled.lines, powered.settled.standing.fed
    for start, number, level in lines.crossings_to[line]:
        its = min(levels[start], level, fed[number])
        if not its:
            continue
        if lines.lines[start].network:
            yield start, its
            continue
        for other, _, _ in lines.crossings_to[start]:
            if other != line and levels[other]:
                yield other, min(its, levels[other])

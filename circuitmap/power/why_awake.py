"""Why a module or a network is awake: reasons as data."""

from dataclasses import dataclass
from typing import Literal

from circuitmap.power.evaluate import ANSWERS, Powered
from circuitmap.wiring.fitting import Answer


@dataclass(frozen=True, slots=True)
class Waking:
    """What keeps a part awake: `said` by the state, a live `wake pin`, a `network` or `wake line` by name, or that it
    still `runs on`."""

    kind: Literal["said", "wake pin", "network", "wake line", "runs on"]
    name: str
    answer: Answer


def why_awake(powered: Powered, part: str) -> tuple[Waking, ...]:
    """All that keeps a part awake, most certain first; empty when nothing does."""
    plan, run, lines = powered.plan, powered.run, powered.run.lines
    number = plan.sleeper_number.get(part)
    if number is None or powered.awake[part] == Answer.NO:
        return ()
    sleeper = plan.sleepers[number]
    found: list[Waking] = []
    if run.said[0][number]:
        kind: Literal["said", "runs on"] = "said" if part in powered.state.awake else "runs on"
        found.append(Waking(kind, part, ANSWERS[run.said[0][number]]))
    for node in sleeper.wake_nodes:
        terminal = powered.circuit.nodes[node]
        if powered.supply[terminal]:
            found.append(Waking("wake pin", str(terminal), powered.supply[terminal]))
    for line, member in lines.lines_of[number]:
        level = min(powered.settled.lines[line], member)
        if level:
            its = lines.lines[line]
            found.append(Waking("wake line" if its.is_wake_line else "network", its.network, ANSWERS[level]))
    return tuple(sorted(found, key=lambda waking: -waking.answer))


def kept_awake_by(powered: Powered, network: str) -> tuple[Waking, ...]:
    """The members that keep a network awake by themselves, and the networks and gateways it is woken through."""
    plan, lines = powered.plan, powered.run.lines
    found: dict[Waking, None] = {}
    for n, line in enumerate(lines.lines):
        if line.network != network or not powered.settled.lines[n]:
            continue
        if network in powered.state.awake:
            found[Waking("said", network, Answer.YES)] = None
        for number, _ in line.members:
            sleeper = plan.sleepers[number]
            own = [w for w in why_awake(powered, sleeper.name) if w.kind not in ("network", "wake line")]
            found.update(dict.fromkeys(own))
        for start, end, number, level in lines.crossings:
            its = min(powered.settled.lines[start], level, powered.settled.standing.fed[number])
            if end == n and its:
                line_before = lines.lines[start]
                kind: Literal["network", "wake line"] = "wake line" if line_before.is_wake_line else "network"
                found[Waking(kind, line_before.network, ANSWERS[its])] = None
    return tuple(sorted(found, key=lambda waking: -waking.answer))

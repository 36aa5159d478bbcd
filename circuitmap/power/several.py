"""What makes a thing so that takes more than two changes: key, light switch and stalk; a relay and what pulls it in.

Not all combinations are tried: the contacts on the way with the fewest open ones are closed, one after another, a relay
by what its coil wants. The state found so is evaluated, so what is told is true; other ways may be there as well.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import assert_never

from circuitmap.power.controls import Wanted
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import NO, YES
from circuitmap.power.survey import Changes, StateChange, Survey
from circuitmap.wiring.parts import Switch, Terminal

_MOST_CHANGES = 8
"""Changes that are tried together (judgement: nobody follows more)."""
_MOST_POSITIONS = 24
"""Combinations of positions that are tried for one way (judgement)."""
_MOST_DEEP = 6
"""Relays that wait for one another (judgement)."""

Switched = dict[tuple[str, str], str]
"""What is to be changed: position by kind and name; empty for what has no positions."""


def several_changes(survey: Survey, goals: Sequence[Wanted], level: Callable[[Powered], int]) -> Changes:
    """Changes that together make all of this so, none of which can be left out; empty where none were found. `level`
    says how surely the thing is so in a state."""
    changed: Switched = {}
    if not all(_reach(survey, goal, changed, 0) for goal in goals):
        return ()
    return _fewest(survey, changed, level)


def in_other_positions(survey: Survey, changes: Changes, level: Callable[[Powered], int]) -> list[Changes]:
    """The same with switches in other positions, in which the thing is so as well."""
    found = [changes]
    for here in found:
        for change in here:
            part = survey.circuit.platform.parts.get(change.name)
            for position in part.positions[1:] if isinstance(part, Switch) else ():
                other = tuple(its._replace(position=position) if its == change else its for its in here)
                if other not in found and len(found) < _MOST_POSITIONS and _is_so(survey, other, level):
                    found.append(other)
    return found[1:]


def changes_along(
    survey: Survey, links: Iterable[int], level: Callable[[Powered], int], given: Changes = ()
) -> Changes:
    """The same for one way, by the numbers of its links that are contacts or outputs; together with what is `given`."""
    changed: Switched = {(change.kind, change.name): change.position for change in given}
    for link in links:
        gate = survey.parked.nets.gate_of_link.get(link)
        if gate is None or not (_conducts(survey, gate, changed) or _close(survey, gate, changed, 0)):
            return ()
    return _fewest(survey, changed, level)


def _fewest(survey: Survey, changed: Switched, level: Callable[[Powered], int]) -> Changes:
    changes = tuple(StateChange(kind, name, position) for (kind, name), position in changed.items())  # type: ignore[arg-type]
    if not 0 < len(changes) <= _MOST_CHANGES or not _is_so(survey, changes, level):
        return ()
    for change in changes:
        fewer = tuple(its for its in changes if its != change)
        if len(fewer) > 1 and _is_so(survey, fewer, level):
            changes = fewer
    return changes


def _is_so(survey: Survey, changes: Changes, level: Callable[[Powered], int]) -> bool:
    return survey.has(changes) and level(survey.after(changes)) == YES


def _reach(survey: Survey, goal: Wanted, changed: Switched, depth: int) -> bool:
    """Change what closes the way from what is live (or grounded) when parked to a net; False if nothing does."""
    gates = _open_gates(survey, goal, changed)
    return gates is not None and all(_close(survey, gate, changed, depth) for gate in gates)


def _open_gates(survey: Survey, goal: Wanted, changed: Switched) -> list[int] | None:
    """The open gates on the way with the fewest of them; None where there is no way. What is changed already counts
    as closed."""
    side, start = goal
    nets, settled = survey.parked.nets, survey.parked.settled
    live = settled.reach.supply if side == "supply" else settled.reach.ground
    neighbours = nets.towards_supply if side == "supply" else nets.towards_load
    kept_out = nets.keeps_supply_out if side == "supply" else nets.keeps_ground_out
    towards: dict[int, tuple[int, int]] = {}
    fewest = {start: 0}
    queue = deque([start])
    while queue:
        at = queue.popleft()
        if live[at]:
            gates = []
            while at != start:
                gate, at = towards[at]
                if not _conducts(survey, gate, changed):
                    gates.append(gate)
            return gates
        for other, gate in neighbours[at]:
            if kept_out[other] and not live[other]:
                continue
            cost = 0 if _conducts(survey, gate, changed) else 1
            if fewest[at] + cost < fewest.get(other, 1_000_000):
                fewest[other] = fewest[at] + cost
                towards[other] = gate, at
                (queue.append if cost else queue.appendleft)(other)
    return None


def _conducts(survey: Survey, gate: int, changed: Switched) -> bool:
    if survey.parked.settled.levels[gate] == YES:
        return True
    contact = survey.plan.switch_contacts.get(survey.parked.nets.gate_link[gate])
    if contact is None:
        return False
    position = changed.get(("key" if contact.is_key else "switch", contact.switch))
    return position is not None and position in contact.closed_in


def _close(survey: Survey, gate: int, changed: Switched, depth: int) -> bool:
    """Change what closes one gate, as far as it does not undo what was changed before."""
    plan, nets = survey.plan, survey.parked.nets
    link = nets.gate_link[gate]
    if nets.ceiling[gate] == NO or depth > _MOST_DEEP or len(changed) > _MOST_CHANGES:
        return False
    if link in plan.switch_contacts:
        contact = plan.switch_contacts[link]
        kind = "key" if contact.is_key else "switch"
        return any(_set(changed, kind, contact.switch, its) for its in contact.closed_in if its != contact.rest)
    if link in plan.relay_contacts:
        planned = plan.relay_contacts[link]
        if not planned.energised:
            return False
        return any(
            all(_reach(survey, goal, changed, depth + 1) for goal in goals)
            for goals in _coil_goals(survey, planned.relay)
        )
    if link in plan.outputs:
        output = plan.outputs[link][1]
        match output.when:
            case "request":
                return _set(changed, "output", output.contact, "")
            case "awake":
                networks = survey.circuit.platform.networks_of.get(output.module, ())
                return (
                    _set(changed, "network", networks[0], "")
                    if networks
                    else _set(changed, "module", output.module, "")
                )
            case "in":
                key = survey.plan.keys[0].name if survey.plan.keys else "key"
                return any(_set(changed, "key", key, position) for position in output.positions)
            case "live":
                node = survey.circuit.number.get(Terminal(output.module, output.input))
                return node is not None and _reach(survey, ("supply", nets.net_of[node]), changed, depth + 1)
            case "always":
                return False
            case _:
                assert_never(output.when)
    return False


def _coil_goals(survey: Survey, relay: int) -> Iterator[tuple[Wanted, Wanted]]:
    for coil in survey.plan.coils_of[relay]:
        plus, minus, level = survey.parked.nets.coils[coil]
        if level != NO:
            yield ("supply", plus), ("ground", minus)


def _set(changed: Switched, kind: str, name: str, position: str) -> bool:
    return changed.setdefault((kind, name), position) == position

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
from circuitmap.power.survey import Changes, Side, StateChange, Survey
from circuitmap.power.wake_pins import WakePin
from circuitmap.wiring.parts import Switch

_MOST_CHANGES = 8
"""Changes that are tried together (judgement: nobody follows more)."""
_MOST_POSITIONS = 24
"""Combinations of positions that are tried for one way (judgement)."""
_MOST_OPEN = 32
"""Open contacts on one way (judgement: one change may close several of them, but hardly four each)."""
_MOST_DEEP = 6
"""Relays that wait for one another (judgement)."""


class Switched(dict[tuple[str, str], str]):
    """What is to be changed: position by kind and name; empty for what has no positions. Nothing that is `never` to
    happen is, and only gates that `closes` says are closed; all, where it says nothing."""

    never: frozenset[StateChange] = frozenset()
    closes: Sequence[bool] = ()


def several_changes(
    survey: Survey,
    goals: Sequence[Wanted],
    level: Callable[[Powered], int],
    never: frozenset[StateChange] = frozenset(),
    closes: Sequence[bool] = (),
) -> Changes:
    """Changes that together make all of this so, none of which can be left out; empty where none were found. `level`
    says how surely the thing is so in a state. Nothing that is `never` to happen is done, and only gates that may
    close are closed."""
    changed = Switched()
    changed.never, changed.closes = never, closes
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
    changed = Switched({(change.kind, change.name): change.position for change in given})
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
    """The open gates on the way with the fewest of them; None where there is no way, or more than `_MOST_OPEN` are on
    it. What is changed already counts as closed."""
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
        if fewest[at] > _MOST_OPEN:
            return None
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
            if changed.closes and not changed.closes[gate]:
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
            _all_or_nothing(
                changed,
                (lambda goal=goal: _reach(survey, goal, changed, depth + 1) for goal in goals),  # type: ignore[misc]
            )
            for goals in _coil_goals(survey, planned.relay)
        )
    if link in plan.outputs:
        sleeper, output = plan.outputs[link]
        if not _feed(survey, sleeper, changed, depth):
            return False
        match output.when:
            case "request":
                return _set(changed, "output", output.contact, "")
            case "awake":
                return _wake(survey, sleeper, changed, depth)
            case "in":
                key = survey.plan.keys[0].name if survey.plan.keys else "key"
                return any(_set(changed, "key", key, position) for position in output.positions)
            case "live":
                pins = plan.sleepers[plan.outputs[link][0]].wake_pins
                return bool(pins) and all(_works(survey, pin, changed, depth) for pin in pins)
            case "always":
                return False
            case _:
                assert_never(output.when)
    return False


def _feed(survey: Survey, sleeper: int, changed: Switched, depth: int) -> bool:
    """Feed a module that has no supply, or no ground, in the parked vehicle; one whose pins nobody typed is taken to
    be fed."""
    settled, paths = survey.parked.settled, survey.plan.sleepers[sleeper].paths
    if settled.standing.fed[sleeper] == YES or not paths:
        return True
    for path in paths:
        supply, ground, ceiling = survey.parked.nets.paths[path]
        goals: list[Wanted] = [("supply", supply)]
        goals += [("supply", survey.parked.nets.net_of[node]) for node in survey.plan.paths[path].needs]
        if survey.plan.paths[path].ground_known:
            goals.append(("ground", ground))
        if ceiling != NO and _all_or_nothing(
            changed,
            (lambda goal=goal: _reach(survey, goal, changed, depth + 1) for goal in goals),  # type: ignore[misc]
        ):
            return True
    return False


def _wake(survey: Survey, sleeper: int, changed: Switched, depth: int) -> bool:
    """Wake a module: by one of its networks, else by itself or one of its wake pins."""
    its = survey.plan.sleepers[sleeper]
    lines = survey.parked.run.lines
    networks = dict.fromkeys(lines.lines[line].network for line, level in lines.lines_of[sleeper] if level == YES)
    if any(network and _set(changed, "network", network, "") for network in networks):
        return True
    if StateChange("module", its.name) in survey.other_changes and _set(changed, "module", its.name, ""):
        return True
    return any(
        _all_or_nothing(changed, [lambda pin=pin: _works(survey, pin, changed, depth + 1)])  # type: ignore[misc]
        for pin in its.wake_pins
    )


def _all_or_nothing(changed: Switched, steps: Iterable[Callable[[], bool]]) -> bool:
    """Take all of these steps; where one fails nothing of them stays changed."""
    before = dict(changed)
    if all(step() for step in steps):
        return True
    changed.clear()
    changed.update(before)
    return False


def _works(survey: Survey, pin: WakePin, changed: Switched, depth: int) -> bool:
    """Change what brings an input what it needs. What it needs away is only told where it is away already."""
    run = survey.parked.run
    if run.pin_wakes(pin, survey.parked.settled.reach) == YES:
        return True
    by = survey.plan.wakes.by(pin, run.state.fitting)
    if pin.absent or by == "opening":
        return False
    side: Side = "supply" if by == "plus" else "ground"
    return _reach(survey, (side, survey.parked.nets.net_of[pin.node]), changed, depth + 1)


def _coil_goals(survey: Survey, relay: int) -> Iterator[tuple[Wanted, Wanted]]:
    for coil in survey.plan.coils_of[relay]:
        plus, minus, level = survey.parked.nets.coils[coil]
        if level != NO:
            yield ("supply", plus), ("ground", minus)


def _set(changed: Switched, kind: str, name: str, position: str) -> bool:
    if StateChange(kind, name, position) in changed.never:  # type: ignore[arg-type]
        return False
    return changed.setdefault((kind, name), position) == position

"""Who is awake: networks, the gateways between them, wake lines, wake pins, run-on."""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.plan import Plan
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Fitting, holds
from circuitmap.wiring.platform import Member, Network


class Line(NamedTuple):
    """A network, or the piece of it that a part of the members is still joined by.

    `members` are (sleeper, level) pairs; `is_split`: a star connector or one of its legs is open.
    """

    network: str
    is_wake_line: bool
    members: tuple[tuple[int, int], ...]
    is_split: bool


class DataLines(NamedTuple):
    """All lines in a given equipment, with what is unplugged.

    `crossings` are (from line, to line, through sleeper, level): waking passes from one line to another.
    `lines_of[s]` are (line, level) pairs of a sleeper.
    """

    lines: tuple[Line, ...]
    lines_of: tuple[tuple[tuple[int, int], ...], ...]
    crossings: tuple[tuple[int, int, int, int], ...]


class Awake(NamedTuple):
    """How awake each sleeper and each line is, in the order of the plan and of the lines."""

    sleepers: tuple[int, ...]
    lines: tuple[int, ...]


def data_lines(plan: Plan, fitting: Fitting, unplugged: frozenset[str]) -> DataLines:
    platform = plan.circuit.platform
    lines: list[Line] = []
    for network in platform.networks.values():
        level = int(holds(network.condition, fitting))
        members: dict[int, int] = {}
        for member in network.members:
            its = min(level, _joined(member, fitting, unplugged))
            if its != NO:
                sleeper = plan.sleeper_number[member.part]
                members[sleeper] = max(members.get(sleeper, NO), its)
        for gateway in platform.gateways:
            if network.name in gateway.joins and gateway.module not in network.member_names:
                its = min(level, int(holds(gateway.condition, fitting)))
                if its != NO and gateway.module not in unplugged:
                    members.setdefault(plan.sleeper_number[gateway.module], its)
        lines += _pieces(plan, network, members, unplugged)
    lines_of: list[list[tuple[int, int]]] = [[] for _ in plan.sleepers]
    for n, line in enumerate(lines):
        for sleeper, level in line.members:
            lines_of[sleeper].append((n, level))
    return DataLines(tuple(lines), tuple(tuple(its) for its in lines_of), _crossings(plan, fitting, lines, lines_of))


def _joined(member: Member, fitting: Fitting, unplugged: frozenset[str]) -> int:
    """Whether a member is on its network: fitted, and its plug in. Pins not typed in: which plug is not known."""
    if member.part in unplugged:
        return NO
    level = int(holds(member.condition, fitting))
    plugs = [name for name in unplugged if name.startswith(member.part + ".")]
    if plugs and level != NO:
        if not member.pins:
            return MAY_BE
        if any(f"{member.part}.{pin}" == plug or f"{member.part}.{pin}".startswith(plug + ".")
               for pin in member.pins for plug in plugs):  # fmt: skip
            return NO
    return level


def _pieces(plan: Plan, network: Network, members: dict[int, int], unplugged: frozenset[str]) -> list[Line]:
    """The network as one line, or one line for each leg that an open star has cut off."""
    legs: list[set[int]] = []
    for star in plan.circuit.platform.stars.values():
        if star.network != network.name:
            continue
        for number, leg in enumerate(star.legs, start=1):
            if star.name in unplugged or f"{star.name}.{number}" in unplugged:
                legs.append({plan.sleeper_number[name] for name in leg if name in plan.sleeper_number})
    is_wake_line = network.kind == "wake"
    pieces = []
    rest = dict(members)
    for its in legs:
        cut_off = tuple((sleeper, rest.pop(sleeper)) for sleeper in sorted(its) if sleeper in rest)
        pieces.append(Line(network.name, is_wake_line, cut_off, True))
    return [Line(network.name, is_wake_line, tuple(sorted(rest.items())), bool(legs)), *pieces]


def _crossings(
    plan: Plan, fitting: Fitting, lines: list[Line], lines_of: list[list[tuple[int, int]]]
) -> tuple[tuple[int, int, int, int], ...]:
    """Where waking passes between lines. A gateway passes as its sheet says, or may where it does not say. What a
    wake line wakes keeps its networks awake. Another part on two networks may carry waking across."""
    found: list[tuple[int, int, int, int]] = []
    gateways = plan.circuit.platform.gateways
    for sleeper, its in enumerate(lines_of):
        if len(its) < 2:
            continue
        name = plan.sleepers[sleeper].name
        mine = [g for g in gateways if g.module == name and holds(g.condition, fitting) != NO]
        for start, start_level in its:
            for end, end_level in its:
                if start == end:
                    continue
                a, b = lines[start].network, lines[end].network
                level = YES if lines[start].is_wake_line and not lines[end].is_wake_line else MAY_BE
                for gateway in mine:
                    if a in gateway.joins and b in gateway.joins and gateway.passes is not None:
                        level = int(holds(gateway.condition, fitting)) if (a, b) in gateway.passes else NO
                level = min(level, start_level, end_level)
                if level != NO:
                    found.append((start, end, sleeper, level))
    return tuple(found)


def said_awake(plan: Plan, lines: DataLines, state: VehicleState) -> tuple[list[int], list[int]]:
    """What the state itself keeps awake: each sleeper, each line.

    Until the vehicle had time to fall asleep every network may be awake. A network that is kept awake by nobody knows
    whom is in pieces when a star is open: any piece may be the one.
    """
    platform = plan.circuit.platform
    still = MAY_BE if platform.sleep is not None and state.minutes < platform.sleep.high else NO
    line_levels = [
        max(still, NO if line.network not in state.awake else MAY_BE if line.is_split else YES) for line in lines.lines
    ]
    sleeper_levels = []
    for sleeper in plan.sleepers:
        level = YES if sleeper.name in state.awake or state.minutes < sleeper.run_on_low else NO
        sleeper_levels.append(MAY_BE if level == NO and state.minutes < sleeper.run_on_high else level)
    return sleeper_levels, line_levels


def awake(
    lines: DataLines,
    said: tuple[list[int], list[int]],
    woken_by_pin: Sequence[int],
    fed: Sequence[int],
) -> Awake:
    """Any member that is awake by itself keeps its networks awake, and these whatever they reach."""
    own = [min(f, s if s > w else w) for f, s, w in zip(fed, said[0], woken_by_pin, strict=True)]
    levels = list(said[1])
    for n, line in enumerate(lines.lines):
        for sleeper, member in line.members:
            its = own[sleeper]
            if its > levels[n] and member > levels[n]:
                levels[n] = min(its, member)
    changed = bool(lines.crossings)
    while changed:
        changed = False
        for start, end, sleeper, level in lines.crossings:
            its = min(levels[start], level, fed[sleeper])
            if its > levels[end]:
                levels[end] = its
                changed = True
    result = []
    for sleeper, mine in enumerate(lines.lines_of):
        level = own[sleeper]
        for n, member in mine:
            if levels[n] > level and member > level:
                level = min(levels[n], member)
        result.append(min(level, fed[sleeper]))
    return Awake(tuple(result), tuple(levels))

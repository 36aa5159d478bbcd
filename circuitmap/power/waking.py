"""Who is awake: networks, the gateways between them, wake lines, wake pins, run-on."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from circuitmap.circuit.network_pieces import pieces_still_joined
from circuitmap.power.nets import MAY_BE, NO, YES
from circuitmap.power.plan import Plan
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Fitting, holds
from circuitmap.wiring.platform import Gateway, Member, Network

_MANY_LINES = 20
"""From this many lines on one part, waking is no longer followed from each line to each other one."""


class WakingLine(NamedTuple):
    """A network, or the piece of it that still joins some of its members.

    `members` are (sleeper, level) pairs; `is_split`: a star connector, one of its legs or a wire of the network is
    open. `by_one_wire` are those members that are on another piece and reach this one by one wire of an interrupted
    pair: perhaps (common practice, no source: one wire alone may or may not wake a member). One without a name is not a
    real line but stands inside a part that is on very many lines: what wakes one of these passes through it to the
    others.
    """

    network: str
    is_wake_line: bool
    members: tuple[tuple[int, int], ...]
    is_split: bool
    by_one_wire: frozenset[int] = frozenset()


class DataLines(NamedTuple):
    """All lines with given equipment, and with parts unplugged.

    `lines_of[s]` are (line, level) pairs of the lines that wake a sleeper, `kept_by[s]` of those that it keeps awake.
    Where waking passes from one line to another is told from both:
    `crossings_from[l]` are (to line, through sleeper, level), `crossings_to[l]` (from line, through sleeper, level).
    """

    lines: tuple[WakingLine, ...]
    lines_of: tuple[tuple[tuple[int, int], ...], ...]
    kept_by: tuple[tuple[tuple[int, int], ...], ...]
    crossings_from: tuple[tuple[tuple[int, int, int], ...], ...]
    crossings_to: tuple[tuple[tuple[int, int, int], ...], ...]


class Awake(NamedTuple):
    """How awake each sleeper and each line is, in the order of the plan and of the lines."""

    sleepers: Sequence[int]
    lines: Sequence[int]


def data_lines(plan: Plan, fitting: Fitting, unplugged: frozenset[str]) -> DataLines:
    platform = plan.circuit.platform
    lines: list[WakingLine] = []
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
        lines += _pieces(plan, network, members, fitting, unplugged)
    on_lines: list[list[tuple[int, int]]] = [[] for _ in plan.sleepers]
    for n, line in enumerate(lines):
        for sleeper, level in line.members:
            on_lines[sleeper].append((n, level))
    only: dict[tuple[str, int], str] = {
        (network.name, plan.sleeper_number[member.part]): member.waking
        for network in platform.networks.values()
        for member in network.members
        if member.waking
    }
    said = [[only.get((lines[line].network, s), "") for line, _ in its] for s, its in enumerate(on_lines)]
    lines_of = [
        [pair for pair, waking in zip(its, words, strict=True) if waking != "drives"]
        for its, words in zip(on_lines, said, strict=True)
    ]
    # What an output does at the far end of its wire is found in the copper.
    kept_by = [
        [
            (line, min(level, MAY_BE) if (lines[line].network, plan.sleepers[s].name) in plan.perhaps_driven else level)
            for (line, level), waking in zip(its, words, strict=True)
            if waking != "listens" and lines[line].network not in plan.driven_lines
        ]
        for s, (its, words) in enumerate(zip(on_lines, said, strict=True))
    ]
    drives = {pair for pair, waking in only.items() if waking == "drives"}
    crossings = _crossings(plan, fitting, lines, lines_of, kept_by, drives)
    crossings_from: list[list[tuple[int, int, int]]] = [[] for _ in lines]
    crossings_to: list[list[tuple[int, int, int]]] = [[] for _ in lines]
    for start, end, sleeper, level in crossings:
        crossings_from[start].append((end, sleeper, level))
        crossings_to[end].append((start, sleeper, level))
    return DataLines(
        tuple(lines),
        tuple(map(tuple, lines_of)),
        tuple(map(tuple, kept_by)),
        tuple(map(tuple, crossings_from)),
        tuple(map(tuple, crossings_to)),
    )


def _joined(member: Member, fitting: Fitting, unplugged: frozenset[str]) -> int:
    """Whether a member is on its network: it is fitted and its plug is in. Where its pins are not typed in, it is not
    known which plug."""
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


def _pieces(
    plan: Plan, network: Network, members: dict[int, int], fitting: Fitting, unplugged: frozenset[str]
) -> list[WakingLine]:
    """The network as one line, or one line for each leg that an open star has cut off, and for each piece of wire that
    an open connector, cavity or splice has."""
    legs: list[set[int]] = []
    for star in plan.circuit.platform.stars.values():
        if star.network != network.name:
            continue
        for number, leg in enumerate(star.legs, start=1):
            if star.name in unplugged or f"{star.name}.{number}" in unplugged:
                legs.append({plan.sleeper_number[name] for name in leg if name in plan.sleeper_number})
    rest = dict(members)
    cut_off = [{sleeper: rest.pop(sleeper) for sleeper in sorted(its) if sleeper in rest} for its in legs]
    first, *others = _pieces_of_wire(plan, network, rest, fitting, unplugged)
    is_split = bool(legs or others)
    is_wake_line = network.kind == "wake"
    return [
        WakingLine(network.name, is_wake_line, tuple(sorted(its.items())), is_split, by_one_wire)
        for its, by_one_wire in (first, *((its, frozenset()) for its in cut_off), *others)
    ]


def _pieces_of_wire(
    plan: Plan, network: Network, members: dict[int, int], fitting: Fitting, unplugged: frozenset[str]
) -> list[tuple[dict[int, int], frozenset[int]]]:
    """The members on each piece, and who of them reaches it by one wire; the piece with most members first. Whose wires
    are not typed in is on that one."""
    circuit = plan.circuit
    opened: frozenset[int] = frozenset().union(*(circuit.opened_by(name) for name in unplugged))
    on = pieces_still_joined(circuit, network, fitting, opened) if opened else {}
    together: dict[frozenset[int], dict[int, int]] = {}
    for part, pieces in on.items():
        if (sleeper := plan.sleeper_number[part]) in members:
            together.setdefault(pieces, {})[sleeper] = members[sleeper]
    if len(together) < 2:
        return [(members, frozenset())]
    in_order = sorted(together, key=lambda pieces: (-len(together[pieces]), min(pieces)))
    typed = {sleeper for its in together.values() for sleeper in its}
    together[in_order[0]] |= {sleeper: level for sleeper, level in members.items() if sleeper not in typed}
    found = []
    for pieces in in_order:
        near = [together[other] for other in in_order if other != pieces and other & pieces]
        by_one_wire = {sleeper: min(level, MAY_BE) for its in near for sleeper, level in its.items()}
        found.append((together[pieces] | by_one_wire, frozenset(by_one_wire)))
    return found


def _crossings(
    plan: Plan,
    fitting: Fitting,
    lines: list[WakingLine],
    lines_of: list[list[tuple[int, int]]],
    kept_by: list[list[tuple[int, int]]],
    drives: set[tuple[str, int]],
) -> list[tuple[int, int, int, int]]:
    """Where waking passes between lines. A gateway passes as its sheet says; where that says nothing, it may. What a
    wake line wakes keeps its networks awake, and who drives a network (`drives`: network and sleeper) keeps that awake.
    Another part on two networks may carry waking across. It only passes from a line that wakes the part, and to one
    that the part keeps awake."""
    found: list[tuple[int, int, int, int]] = []
    gateways_of: dict[str, list[Gateway]] = {}
    for gateway in plan.circuit.platform.gateways:
        if holds(gateway.condition, fitting) != NO:
            gateways_of.setdefault(gateway.module, []).append(gateway)
    for sleeper, (starts, ends) in enumerate(zip(lines_of, kept_by, strict=True)):
        mine = gateways_of.get(plan.sleepers[sleeper].name, [])
        if len(starts) > _MANY_LINES or len(ends) > _MANY_LINES:
            found += _across_many(sleeper, starts, ends, mine, fitting, lines)
            continue
        for start, start_level in starts:
            for end, end_level in ends:
                if start == end:
                    continue
                a, b = lines[start].network, lines[end].network
                surely = lines[start].is_wake_line and not lines[end].is_wake_line
                level = YES if surely or (b, sleeper) in drives else MAY_BE
                for gateway in mine:
                    if a in gateway.joins and b in gateway.joins and gateway.passes is not None:
                        level = int(holds(gateway.condition, fitting)) if (a, b) in gateway.passes else NO
                level = min(level, start_level, end_level)
                if level != NO:
                    found.append((start, end, sleeper, level))
    return found


def _across_many(
    sleeper: int,
    starts: list[tuple[int, int]],
    ends: list[tuple[int, int]],
    gateways: list[Gateway],
    fitting: Fitting,
    lines: list[WakingLine],
) -> Iterator[tuple[int, int, int, int]]:
    """The same for a part on very many lines, without going through all pairs of these: what may pass from any line to
    any other goes through a line of its own inside the part. Where a sheet says that waking does not pass from one line
    to another, it may still do so by way of a third, unless that sheet covers all of them."""
    woken_by = {lines[line].network: (line, level) for line, level in starts}
    keeps = {lines[line].network: (line, level) for line, level in ends}
    said = [gateway for gateway in gateways if gateway.passes is not None]
    for gateway in said:
        for a, b in gateway.passes or ():
            if a in woken_by and b in keeps:
                level = min(int(holds(gateway.condition, fitting)), woken_by[a][1], keeps[b][1])
                yield woken_by[a][0], keeps[b][0], sleeper, level
    if any({*woken_by, *keeps} <= set(gateway.joins) for gateway in said):
        return
    anything, woken = len(lines), len(lines) + 1
    lines += [WakingLine("", False, (), False)] * 2
    spoken_of = {network for gateway in said for network in gateway.joins}
    for line, level in starts:
        yield line, anything, sleeper, level
        if lines[line].is_wake_line and lines[line].network not in spoken_of:
            yield line, woken, sleeper, level
    for line, level in ends:
        yield anything, line, sleeper, min(level, MAY_BE)
        if not lines[line].is_wake_line:
            yield woken, line, sleeper, level


def said_awake(plan: Plan, lines: DataLines, state: VehicleState) -> tuple[list[int], list[int]]:
    """How awake the state itself keeps each sleeper and each line.

    Until the vehicle has had time to fall asleep, every network may be awake. Where it is not known who keeps a network
    awake and an open star has it in pieces, any piece may be the one.
    """
    platform = plan.circuit.platform
    still = MAY_BE if platform.sleep is not None and state.minutes < platform.sleep.high else NO
    line_levels = [
        max(still if line.network else NO, NO if line.network not in state.awake else MAY_BE if line.is_split else YES)
        for line in lines.lines
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
    """Any member that is awake by itself keeps its networks awake, and these keep awake whatever they reach."""
    own = [min(f, s if s > w else w) for f, s, w in zip(fed, said[0], woken_by_pin, strict=True)]
    levels = list(said[1])
    for sleeper, its in enumerate(own):
        for n, member in lines.kept_by[sleeper] if its else ():
            if its > levels[n] and member > levels[n]:
                levels[n] = min(its, member)
    _carry_across(lines, levels, fed, [line for line, level in enumerate(levels) if level])
    result = [_level_of(lines, sleeper, level, levels, fed) for sleeper, level in enumerate(own)]
    return Awake(tuple(result), tuple(levels))


def _carry_across(lines: DataLines, levels: list[int], fed: Sequence[int], todo: list[int]) -> set[int]:
    """Let what is awake wake other lines, starting from the lines `todo`; returns the lines that were woken further."""
    woken: set[int] = set()
    while todo:
        start = todo.pop()
        for end, sleeper, level in lines.crossings_from[start]:
            its = min(levels[start], level, fed[sleeper])
            if its > levels[end]:
                levels[end] = its
                woken.add(end)
                todo.append(end)
    return woken


def _level_of(lines: DataLines, sleeper: int, own: int, levels: Sequence[int], fed: Sequence[int]) -> int:
    """How awake a sleeper is, by itself and through its lines."""
    for line, member in lines.lines_of[sleeper]:
        if levels[line] > own and member > own:
            own = min(levels[line], member)
    return min(own, fed[sleeper])


class AwakeAgain(NamedTuple):
    """Who is awake once something has changed, and which sleepers and lines were looked at again."""

    awake: Awake
    sleepers: set[int]
    lines: set[int]


Cause = tuple[tuple[list[int], list[int]], Sequence[int], Sequence[int]]
"""What the state keeps awake, the state of each sleeper's wake pins, and how each sleeper is fed."""


def awake_again(lines: DataLines, up: Awake, before: Cause, now: Cause, changed: set[int]) -> AwakeAgain:
    """Like `awake`, worked out from what it was before: `changed` are the sleepers of which anything is different."""

    def own_of(sleeper: int, cause: Cause) -> int:
        said, woken, fed = cause
        return min(fed[sleeper], max(said[0][sleeper], woken[sleeper]))

    said_before, said_now = before[0][1], now[0][1]
    fed_before, fed_now = before[2], now[2]
    newly_said = [] if said_before is said_now else [n for n, its in enumerate(said_now) if its != said_before[n]]
    falls = any(said_now[n] < said_before[n] for n in newly_said) or any(
        fed_now[s] < fed_before[s] or own_of(s, now) < own_of(s, before) for s in changed
    )
    if falls:
        after = awake(lines, *now)
        sleepers = {s for s, (a, b) in enumerate(zip(up.sleepers, after.sleepers, strict=True)) if a != b}
        its_lines = {n for n, (a, b) in enumerate(zip(up.lines, after.lines, strict=True)) if a != b}
        return AwakeAgain(after, sleepers | changed, its_lines)
    levels = list(up.lines)
    raised: set[int] = set()
    for n in newly_said:
        if said_now[n] > levels[n]:
            levels[n] = said_now[n]
        raised.add(n)
    across: set[int] = set()
    for sleeper in changed:
        own = own_of(sleeper, now)
        for line, member in lines.kept_by[sleeper]:
            if own > levels[line] and member > levels[line]:
                levels[line] = min(own, member)
                raised.add(line)
        for line, _ in (*lines.lines_of[sleeper], *lines.kept_by[sleeper]):
            across.add(line)  # a gateway that is fed now may carry across what was awake before
    raised |= _carry_across(lines, levels, fed_now, list(raised | across))
    again = set(changed)
    for line in raised:
        again.update(sleeper for sleeper, _ in lines.lines[line].members)
        again.update(sleeper for _, sleeper, _ in lines.crossings_from[line])
    result = list(up.sleepers)
    for sleeper in again:
        result[sleeper] = _level_of(lines, sleeper, own_of(sleeper, now), levels, fed_now)
    return AwakeAgain(Awake(result, levels), again, raised)

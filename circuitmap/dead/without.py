"""What no longer works without each thing: settled anew with that thing interrupted, relays and modules and all."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.dead.breaks import Break, breaks_in, rows_of
from circuitmap.dead.may_matter import MayMatter
from circuitmap.dead.watched import WatchedStates
from circuitmap.effort import Effort
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.functions import Function, functions_of, levels_of_functions
from circuitmap.power.nets import NO, YES
from circuitmap.power.state import VehicleState
from circuitmap.wiring.parts import Relay, Terminal

MOST_WORK = 1_500_000
"""Work for all things interrupted one after another, in links looked at; beyond, the rest is left out and said (`cut
off`; judgement: some fifteen seconds)."""


class Waiting(NamedTuple):
    """What is dead while one output waits for a message, by numbers, and how likely it does wait for one."""

    loads: frozenset[int]
    chance: float


class DeadWithout(NamedTuple):
    """What is dead with something interrupted: `kills` surely, or with no more than the current of something else
    (two lamps in a row glow); `weakens`: it may be, because what is left is not known for sure; `perhaps`: for each
    output that may wait for a message that no longer comes, what is dead with it. By their numbers among
    `functions_of`. `off`: links of outputs that are taken to be off for want of a message, because what they feed was
    said to be dead."""

    powered: Powered
    kills: frozenset[int]
    weakens: frozenset[int]
    perhaps: frozenset[Waiting] = frozenset()
    off: frozenset[int] = frozenset()


class Interrupted(NamedTuple):
    """For each thing that may be interrupted, what then is dead. Only things that kill or weaken anything are there."""

    sound: Powered
    without: Mapping[Break, DeadWithout]
    settled: int
    cut_off: bool


MOST_ROWS = 60
"""Rows up to which every one is settled; of more only those that may matter to the loads that are asked about
(judgement)."""


def interrupted_one_by_one(sound: Powered, loads: Sequence[str]) -> Interrupted:
    """Everything that may be interrupted in this state, one after another, and may matter to these parts; one of each
    row without a branch is settled for the whole row."""
    effort = Effort(MOST_WORK)
    found: dict[Break, DeadWithout] = {}
    settled = 0
    rows = rows_of(sound, breaks_in(sound))
    if len(rows) > MOST_ROWS:
        matter = MayMatter(sound, loads)
        own = set(loads)
        rows = tuple(row for row in rows if row[0].network or any(_matters(matter, own, its) for its in row))
    for row in rows:
        if not effort.spend(len(sound.circuit.links)):
            break
        settled += 1
        its = without(sound, row[0])
        if its.kills or its.weakens:
            found.update(dict.fromkeys(row, its))
    return Interrupted(sound, found, settled, effort.used_up)


def _matters(matter: MayMatter, own: set[str], its: Break) -> bool:
    """Whether one thing may matter: of a load, only where it was asked about, or what it switches."""
    if its.kind != "load":
        return matter.may(its.links)
    part = matter.powered.circuit.links[its.links[0]].part
    return part in own or part in matter.asked


def without(sound: Powered, *breaks: Break) -> DeadWithout:
    """The state with these things interrupted."""
    state = sound.state
    silent = {its.network for its in breaks if its.network}
    if silent:
        state = replace(state, awake=state.awake - silent)
    opened = frozenset(i for its in breaks for i in its.links)
    powered = settled_with(sound, state, opened)
    before, after = sound.derived(levels_of_functions), levels_of_functions(powered)
    functions = functions_of(sound.circuit)
    dim = set(powered.in_series) - set(sound.in_series)
    kills = frozenset(
        n
        for n, level in enumerate(before)
        if level != NO
        and (
            after[n] == NO
            or (after[n] < YES and functions[n].part in dim and (level == YES or _lost(sound, powered, functions[n])))
        )
    )
    weakens = frozenset(n for n, level in enumerate(before) if level == YES and NO < after[n] < YES) - kills
    weakens |= _switched_by_unfed(sound, powered, after) - kills
    return DeadWithout(powered, kills, weakens)


def _switched_by_unfed(sound: Powered, powered: Powered, after: Sequence[int]) -> frozenset[int]:
    """What a module switches that surely had its supply and no longer has it for sure: though it was not known for sure
    that it is on, it is less so now."""
    fed, still = sound.settled.standing.fed, powered.settled.standing.fed
    return frozenset(
        n
        for sleeper, its in sound.derived(_switched_by).items()
        if fed[sleeper] == YES and still[sleeper] < YES
        for n in its
        if NO < after[n] < YES
    )


def _switched_by(sound: Powered) -> dict[int, tuple[int, ...]]:
    """For each module, by its number among the sleepers, what hangs on one of its outputs, by numbers."""
    circuit, nets = sound.circuit, sound.nets
    at: dict[int, set[int]] = {}
    for links in circuit.contacts.values():
        output = circuit.links[links[0]].output
        if output is not None and output.terminal in circuit.number:
            sleeper = sound.plan.sleeper_number.get(output.module)
            if sleeper is not None:
                at.setdefault(nets.net_of[circuit.number[output.terminal]], set()).add(sleeper)
    found: dict[int, list[int]] = {}
    for n, its in enumerate(functions_of(circuit)):
        pins = (circuit.number[pin] for pin in (*its.supplies, *its.grounds) if pin in circuit.number)
        for sleeper in {sleeper for node in pins for sleeper in at.get(nets.net_of[node], ())}:
            found.setdefault(sleeper, []).append(n)
    return {sleeper: tuple(its) for sleeper, its in found.items()}


def settled_with(sound: Powered, state: VehicleState, opened: frozenset[int]) -> Powered:
    """A state with these links interrupted; a flasher that has lost its ground by that no longer closes."""
    circuit = sound.circuit
    while True:
        powered = evaluate(circuit, state, opened=opened)
        more = {
            i
            for part, ground in flashers_grounded(sound)
            if not _reached(powered, ground, supply=False)
            for i in circuit.inside.get(part, ())
            if circuit.links[i].kind == "contact"
        }
        if more <= opened:
            return powered
        opened |= more


def flashers_grounded(sound: Powered) -> tuple[tuple[str, Terminal], ...]:
    """The flashers with a ground of their own, and that pin, which is grounded while all is well."""
    return sound.derived(_flashers)


def _flashers(sound: Powered) -> tuple[tuple[str, Terminal], ...]:
    circuit = sound.circuit
    pins = (
        (part.name, Terminal(part.name, part.coil[1]))
        for part in circuit.platform.parts.values()
        if isinstance(part, Relay) and part.flashes
    )
    return tuple((name, pin) for name, pin in pins if pin in circuit.number and _reached(sound, pin, supply=False))


def _lost(sound: Powered, powered: Powered, its: Function) -> bool:
    """Whether one of its pins no longer is on plus, or grounded, by a way of its own: only then is it left with the
    current of something else, and not just beside something that is."""
    return any(
        _reached(sound, pin, supply=supply) and not _reached(powered, pin, supply=supply)
        for pins, supply in ((its.supplies, True), (its.grounds, False))
        for pin in pins
    )


def _reached(powered: Powered, pin: Terminal, *, supply: bool) -> bool:
    reach = powered.settled.reach
    net = powered.nets.net_of[powered.circuit.number[pin]]
    return bool(reach.supply[net] if supply else reach.ground[net])


def in_all_states(watched: WatchedStates) -> Interrupted:
    """The same for what is watched in several states: what is dead in another state stands beside, by its number."""
    functions = functions_of(watched.main.circuit)
    parts = [functions[its.function].part for its in watched.items]
    found = interrupted_one_by_one(watched.main, parts)
    without_each = dict(found.without)
    cut_off = found.cut_off
    for number, state in enumerate(watched.states[1:], start=1):
        here = {its.function: its.number for its in watched.items if its.state == number}
        there = interrupted_one_by_one(state.powered, [functions[n].part for n in here])
        cut_off |= there.cut_off
        for its, dead in there.without.items():
            kills = frozenset(here[n] for n in dead.kills if n in here)
            weakens = frozenset(here[n] for n in dead.weakens if n in here)
            if kills or weakens:
                known = without_each.get(its) or without(watched.main, its)
                without_each[its] = known._replace(kills=known.kills | kills, weakens=known.weakens | weakens)
    return Interrupted(watched.main, without_each, found.settled, cut_off)

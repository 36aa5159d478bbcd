"""How long everything that is awake stays so once nothing keeps it awake: what runs on, and who sleeps with it.

A member of a network that keeps it awake runs on from the beginning; one that only listens from the network's last
message on. A module that an output wakes sleeps with the module of that output.
"""

from typing import NamedTuple

from circuitmap.effort import Effort
from circuitmap.power.evaluate import Powered
from circuitmap.power.nets import YES
from circuitmap.power.state import rest_position
from circuitmap.power.why import why
from circuitmap.power.why_awake import brought_by
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load, Part, Switch, Terminal

MOST_WAYS = 5_000
"""How many networks are passed on ways from one to the next (judgement: a truck with six needs forty)."""
AT_ONCE = Band(0.0, 0.0)


class RunsOn(NamedTuple):
    """A module or network that runs on, how long."""

    name: str
    minutes: Band


class AsleepAgain(NamedTuple):
    """A module, the minutes that it stays awake, what runs on until then one after the other, and what it sleeps
    `with`: a network, or the module that wakes it; empty for its own time. `only_while` are the switches without which
    its feed, and with it its time, ends at once."""

    name: str
    minutes: Band
    steps: tuple[RunsOn, ...]
    sleeps_with: str
    only_while: tuple[str, ...]


def asleep_again(powered: Powered) -> tuple[AsleepAgain, ...]:
    """Every module that is surely awake; nothing where no time is typed in for any of them, or it takes too long."""
    found = powered.derived(_Times)
    if found.effort.used_up or not any(its.minutes.high > 0 for its in found.all):
        return ()
    return found.all


class _Last(NamedTuple):
    minutes: Band
    steps: tuple[RunsOn, ...]
    by: str


_NOTHING = _Last(AT_ONCE, (), "")


class _Times:
    def __init__(self, powered: Powered) -> None:
        self._powered = powered
        self.effort = Effort(MOST_WAYS)
        awake = powered.settled.standing.awake
        self._awake = [level == YES for level in awake]
        self._networks: dict[int, _Last] = {}
        parts = powered.circuit.platform.parts
        modules = [
            number
            for number, sleeper in enumerate(powered.plan.sleepers)
            if self._awake[number] and _sleeps(parts.get(sleeper.name))
        ]
        self.all = tuple(self._told(number) for number in modules)

    def _told(self, number: int) -> AsleepAgain:
        its = self._of_module(number, frozenset())
        name = self._powered.plan.sleepers[number].name
        only = self._only_while(name) if its.minutes.high > 0 else ()
        return AsleepAgain(name, its.minutes, its.steps, its.by, only)

    def _of_module(self, number: int, passed: frozenset[int]) -> _Last:
        powered, run = self._powered, self._powered.run
        name, own = powered.plan.sleepers[number].name, self._own(number)
        best = _Last(own, (RunsOn(name, own),), "") if own.high > 0 else _NOTHING
        keeps = {line for line, _ in run.lines.kept_by[number]}
        for line, _ in run.lines.lines_of[number]:
            if powered.settled.lines[line] == YES and run.lines.lines[line].network:
                its = self._of_network(line)
                more = own if line not in keeps and its.minutes.high > 0 else AT_ONCE
                steps = (*its.steps, RunsOn(name, more)) if more.high > 0 else its.steps
                best = _later(best, _Last(_sum(its.minutes, more), steps, run.lines.lines[line].network))
        for pin in powered.plan.sleepers[number].wake_pins:
            if run.pin_wakes(pin, powered.settled.reach) == YES:
                for module in brought_by(powered, pin):
                    if module not in passed and module != number and not self.effort.used_up:
                        self.effort.spend(1)
                        its = self._of_module(module, passed | {number})
                        best = _later(best, its._replace(by=powered.plan.sleepers[module].name))
        return best

    def _of_network(self, line: int) -> _Last:
        if line not in self._networks:
            self._networks[line] = self._looked_for(line, frozenset())
        return self._networks[line]

    def _looked_for(self, line: int, passed: frozenset[int]) -> _Last:
        """The last of its members, or of the networks that wake it, then its own time."""
        powered, lines = self._powered, self._powered.run.lines
        self.effort.spend(1)
        best = _NOTHING
        for number, _ in lines.lines[line].members:
            own = self._own(number)
            if own.high > 0 and any(line == its for its, _ in lines.kept_by[number]):
                best = _later(best, _Last(own, (RunsOn(powered.plan.sleepers[number].name, own),), ""))
        for start, _, level in lines.crossings_to[line]:
            if level == YES and start not in passed and powered.settled.lines[start] == YES and not self.effort.used_up:
                best = _later(best, self._looked_for(start, passed | {line}))
        network = powered.circuit.platform.networks.get(lines.lines[line].network)
        more = network.run_on if network is not None and network.run_on is not None else AT_ONCE
        if more.high <= 0:
            return best
        return _Last(_sum(best.minutes, more), (*best.steps, RunsOn(lines.lines[line].network, more)), best.by)

    def _own(self, number: int) -> Band:
        part = self._powered.circuit.platform.parts.get(self._powered.plan.sleepers[number].name)
        runs_on = isinstance(part, Load) and part.run_on is not None and self._awake[number]
        return part.run_on or AT_ONCE if isinstance(part, Load) and runs_on else AT_ONCE

    def _only_while(self, name: str) -> tuple[str, ...]:
        """The switches on all of its feeds that are open when parked; none where one of them needs no contact."""
        powered = self._powered
        pins = powered.circuit.loads.get(name)
        ways = [why(powered, pin).contacts for pin in (pins.supplies if pins else ()) if _is_live(powered, pin)]
        common = [its for its in ways[0] if all(its in way for way in ways)] if ways else []
        return tuple(its for its in common if self._opens(its))

    def _opens(self, contact: str) -> bool:
        circuit = self._powered.circuit
        part = circuit.platform.parts.get(contact.rpartition(".")[0])
        links = (circuit.links[i] for i in circuit.contacts.get(contact, ()))
        return isinstance(part, Switch) and not any(rest_position(part) in link.closed_in for link in links)


def _sleeps(part: Part | None) -> bool:
    """Whether it makes a difference to be awake or asleep: a socket on a network is awake to no purpose."""
    return isinstance(part, Load) and (part.kind == "module" or part.awake is not None)


def _is_live(powered: Powered, pin: Terminal) -> bool:
    return pin in powered.circuit.number and powered.supply[pin] == YES


def _later(one: _Last, other: _Last) -> _Last:
    return other if other.minutes.high > one.minutes.high else one


def _sum(one: Band, other: Band) -> Band:
    return Band(one.low + other.low, one.high + other.high)

"""What could be live for certain if some things never happened: switches never in some positions, networks asleep.

It errs on the side of live. What is not live here is live in no state in which those things do not happen, so a list of
conditions is known to be whole without trying every state.
"""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from circuitmap.power.nets import YES
from circuitmap.power.one_position import Standings, joined_in_some_state
from circuitmap.power.plan import SwitchContact
from circuitmap.power.state import rest_position
from circuitmap.power.survey import StateChange, Survey
from circuitmap.power.wake_pins import WakePin
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Output

Never = frozenset[StateChange]
"""What does not happen. Of a switch also its first position may be among it."""

_REMEMBERED = 9
"""Switches and relays of one way whose standing is remembered (judgement: with fewer, a stalk with many groups seems to
feed itself)."""


class Hopeful(NamedTuple):
    """The nets that could be live, or grounded, for certain, and the gates that could conduct."""

    supply: frozenset[int]
    ground: frozenset[int]
    closes: tuple[bool, ...]


def hopeful(survey: Survey, never: Never) -> Hopeful:
    """What could be, were everything done but this."""
    return survey.derived(_Table).within(never)


def positions_left(survey: Survey, name: str, never: Never) -> tuple[str, ...]:
    """The positions in which a switch may stand, the key's of its outputs included."""
    return survey.derived(_Table).positions_left(name, never)


class _Table:
    """What stays the same in all of them."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        self.run, self.nets, self.plan = survey.parked.run, survey.parked.nets, survey.plan
        self._kept: dict[Never, Hopeful] = {}
        self.requested = frozenset(survey.other_changes)
        platform = survey.circuit.platform
        keys = self.plan.keys
        self.key = keys[0].name if keys else "key"
        self.positions: dict[str, tuple[str, ...]] = {
            part.name: part.positions for part in platform.parts.values() if isinstance(part, Switch)
        }
        rest = (rest_position(keys[0]),) if keys else ("",)
        self.positions[self.key] = tuple(dict.fromkeys((*rest, *(its.position for its in survey.key_changes))))

    @cached_property
    def standings(self) -> Standings:
        return Standings(self.plan, self.nets)

    @cached_property
    def drives(self) -> Mapping[str, frozenset[str]]:
        """The outputs by which a wake line is held up by wire."""
        return {name: frozenset(its.contact for its in outputs) for name, outputs in self.plan.driven_lines.items()}

    def positions_left(self, name: str, never: Never) -> tuple[str, ...]:
        out = {its.position for its in never if its.name == name and its.kind in ("key", "switch")}
        return tuple(its for its in self.positions[name] if its not in out)

    def within(self, never: Never) -> Hopeful:
        found = self._kept.get(never)
        if found is None:
            found = self._kept[never] = _Within(self, never).settled()
        return found


class _Within:
    """One of these questions: grows until no more relays could pull in and nobody more could wake."""

    def __init__(self, table: _Table, never: Never) -> None:
        self.table, self.never = table, never
        self.run, self.nets, self.plan = table.run, table.nets, table.plan
        self.left = {its.name: table.positions_left(its.name, never) for its in never if its.kind in ("key", "switch")}
        self.asleep = {its.name for its in never if its.kind == "network"}
        self.off = {its.name for its in never if its.kind == "output"}
        for name in self.asleep:
            self.off |= table.drives.get(name, frozenset())
        self.key_positions = table.positions_left(table.key, never)
        self.relays: set[int] = set()
        self.fed: set[int] = set()
        self.awake: set[int] = set()
        self.standings = table.standings.with_only(self.left) if self.left else table.standings

    def settled(self) -> Hopeful:
        nets, starts = self.nets, self.run.starts
        supply_starts = {net for net, bits in starts.supply if bits}
        supply_starts |= {
            nets.net_of[node]
            for node, stated in self.plan.stated
            if stated.always or set(stated.positions) & set(self.key_positions)
        }
        ground_starts = {net for net, bits in starts.ground if bits}
        self.always_grounded = self._always(ground_starts)
        work = self.table.survey.effort
        while True:
            closes = tuple(self._closes(gate) for gate in range(len(nets.gate_link)))
            supply = joined_in_some_state(
                supply_starts, nets.towards_load, closes, nets.keeps_supply_out, self.standings, _REMEMBERED
            )
            ground = joined_in_some_state(
                ground_starts, nets.towards_supply, closes, nets.keeps_ground_out, self.standings, _REMEMBERED
            )
            work.spend(len(closes) + len(supply) + len(ground))
            if not self._grows(supply, ground):
                return Hopeful(frozenset(supply), frozenset(ground), closes)

    def _grows(self, supply: set[int], ground: set[int]) -> bool:
        before = len(self.relays), len(self.fed), len(self.awake)
        for relay, plus, minus, ceiling, *_ in self.run.coils:
            if ceiling == YES and ((plus in supply and minus in ground) or (minus in supply and plus in ground)):
                self.relays.add(relay)
        for number, sleeper in enumerate(self.plan.sleepers):
            if number not in self.fed and any(self._flows(path, supply, ground) for path in sleeper.paths):
                self.fed.add(number)
            if number in self.fed and number not in self.awake and self._wakes(number, supply, ground):
                self.awake.add(number)
        return before != (len(self.relays), len(self.fed), len(self.awake))

    def _flows(self, path: int, supply: set[int], ground: set[int]) -> bool:
        start, end, ceiling, _, either_way, _, needs, _ = self.run.paths[path]
        known = self.plan.paths[path].ground_known
        there = start in supply and (end in ground or not known)
        if ceiling != YES or any(net not in supply for net in needs):
            return False
        return there or (either_way and end in supply and start in ground)

    def _wakes(self, number: int, supply: set[int], ground: set[int]) -> bool:
        sleeper, lines = self.plan.sleepers[number], self.run.lines
        if any(level == YES and lines.lines[n].network not in self.asleep for n, level in lines.lines_of[number]):
            return True
        if any(level == YES and lines.lines[n].network in self.asleep for n, level in lines.kept_by[number]):
            return False  # awake by itself it would keep up what is said to be asleep
        change = StateChange("module", sleeper.name)
        if change in self.table.requested and change not in self.never:
            return True
        pins = [self._pin_wakes(pin, supply, ground) for pin in sleeper.wake_pins]
        return bool(pins) and (all if sleeper.needs_all else any)(pins)

    def _pin_wakes(self, pin: WakePin, supply: set[int], ground: set[int]) -> bool:
        if pin.absent:
            return True
        net = self.nets.net_of[pin.node]
        by = self.plan.wakes.by(pin, self.run.state.fitting)
        if by == "opening":
            return net not in self.always_grounded
        return net in (supply if by == "plus" else ground)

    def _closes(self, gate: int) -> bool:
        link = self.nets.gate_link[gate]
        if self.nets.ceiling[gate] != YES:
            return False
        if link in self.plan.switch_contacts:
            contact = self.plan.switch_contacts[link]
            return any(its in contact.closed_in for its in self._stands(contact))
        if link in self.plan.relay_contacts:
            contact_of = self.plan.relay_contacts[link]
            return not contact_of.energised or contact_of.relay in self.relays
        if link in self.plan.outputs:
            return self._is_on(*self.plan.outputs[link])
        return True

    def _stands(self, contact: SwitchContact) -> tuple[str, ...]:
        """The positions of its switch that are left."""
        if contact.switch in self.left:
            return self.left[contact.switch]
        return self.table.positions.get(contact.switch, ())

    def _is_on(self, sleeper: int, output: Output) -> bool:
        if output.contact in self.off:
            return False
        match output.when:
            case "awake" | "live":
                return sleeper in self.awake
            case "in":
                return sleeper in self.fed and any(its in output.positions for its in self.key_positions)
            case "always":
                return sleeper in self.fed
            case _:
                return sleeper in self.fed and StateChange("output", output.contact) in self.table.requested

    def _always(self, starts: set[int]) -> set[int]:
        """The nets that are grounded however the switches stand in what is left to them."""
        nets, seen = self.nets, set(starts)
        stack = list(seen)
        while stack:
            for other, gate in nets.towards_supply[stack.pop()]:
                if other not in seen and not nets.keeps_ground_out[other] and self._never_opens(gate):
                    seen.add(other)
                    stack.append(other)
        return seen

    def _never_opens(self, gate: int) -> bool:
        link = self.nets.gate_link[gate]
        if self.nets.ceiling[gate] != YES or link in self.plan.relay_contacts or link in self.plan.outputs:
            return False
        if link in self.plan.switch_contacts:
            contact = self.plan.switch_contacts[link]
            return all(its in contact.closed_in for its in self._stands(contact))
        return True


def switches_between(survey: Survey, found: Hopeful) -> Iterator[str]:
    """Switches of which several contacts could conduct: what is thought to be live may want two positions at once."""
    count: dict[str, set[tuple[str, ...]]] = {}
    for gate, closed in enumerate(found.closes):
        link = survey.parked.nets.gate_link[gate]
        if closed and link in survey.plan.switch_contacts:
            contact = survey.plan.switch_contacts[link]
            count.setdefault(contact.switch, set()).add(contact.closed_in)
    return (name for name, its in count.items() if len(its) > 1)

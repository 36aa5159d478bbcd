"""A second evaluator, slow and written the other way round: no nets, no arrays, no bits.

It goes by terminals and names, takes every conductor from the platform itself, and finds what is live by going through
the whole list again and again until nothing is added. Which terminals are unknown for want of a transcription is taken
from the circuit, which has to say so.
"""

from dataclasses import dataclass, field

from circuitmap.circuit.links import Circuit
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Condition, Load, Relay, Switch, Terminal
from tests.power.resistor_network import Network
from tests.power.slow_waking import SlowWaking
from tests.power.slow_wiring import BODY, Cell, Level, World


@dataclass
class Sides:
    """For each cell, and `?` for a supply of unknown origin: the terminals on its plus and on its minus side. What may
    be is told for each full choice of equipment, by its number."""

    plus: dict[tuple[str, int], set[Terminal]] = field(default_factory=dict)
    minus: dict[tuple[str, int], set[Terminal]] = field(default_factory=dict)

    def live(self, terminal: Terminal) -> bool:
        return any(terminal in its for its in self.plus.values())

    def grounded(self, terminal: Terminal) -> bool:
        return any(terminal in its for its in self.minus.values())

    def between(self, one: Terminal, other: Terminal, choices: set[int]) -> bool:
        return any(
            one in its and other in self.minus[name] for name, its in self.plus.items() if name[1] in choices
        )  # fmt: skip


class SlowEvaluator(SlowWaking):
    """One state of one vehicle, settled by going through everything again and again."""

    def __init__(self, circuit: Circuit, state: VehicleState, world: World | None = None) -> None:
        self.certain, self.possible = Sides(), Sides()
        super().__init__(circuit, state, world)
        self.pinned: set[str] = set()
        self.cells: list[Cell] = []
        cells = list(self._cells())
        self.cells = [cell for cell in cells if cell.plus not in self._closure({cell.minus}, 2, "minus", set(), True)]
        self.left_out = len(cells) - len(self.cells)
        self.in_series: set[str] = set()

    def _closure(
        self, start: set[Terminal], least: Level, side: str, keep_out: set[Terminal], only_copper: bool = False,
        choice: int | None = None,
    ) -> set[Terminal]:  # fmt: skip
        """Everything that is joined to `start`, looked for again and again; `side` is plus or minus. With a choice of
        equipment only what is there then conducts."""
        found = start - keep_out if not only_copper else set(start)
        while True:
            before = len(found)
            for it in self.conductors if choice is None else self.conducting_with[choice]:
                if it.now < least or (only_copper and (it.moves or it.one_way or it.now < 2)):
                    continue
                pairs = [(it.a, it.b), (it.b, it.a)]
                if it.one_way:
                    pairs = pairs[:1] if side == "plus" else pairs[1:]
                found.update(end for begin, end in pairs if begin in found and end not in keep_out)
            for cell in self.cells if not only_copper else []:
                if cell.feeds or (choice is not None and not holds(cell.condition, self.choices[choice])):
                    continue
                begin, end = (cell.minus, cell.plus) if side == "plus" else (cell.plus, cell.minus)
                if cell.level >= least and begin in found and end not in keep_out:
                    found.add(end)
            if len(found) == before:
                return found

    def _bridges(self) -> list[tuple[Terminal, Terminal]]:
        known = self.circuit.number
        both = [(a, b) for a, b in self.state.bridged if a in known and b in known]
        return [*both, *((b, a) for a, b in both)]

    def look(self) -> None:
        """What is live and grounded, with relays and modules as they are."""
        self._ask()
        returns = {terminal for terminal in self.circuit.returns if terminal == BODY}
        certain = Sides()
        cells = [cell for cell in self.cells if cell.level == 2]
        own_ground = {cell.name: self._closure({cell.minus}, 2, "minus", set(), True) for cell in cells}
        own_ground |= {cell.name: set() for cell in cells if cell.feeds}  # what feeds keeps nothing out of its posts
        own_supply = {cell.name: self._closure({cell.plus}, 2, "plus", set(), True) for cell in cells}
        own_supply |= {cell.name: set() for cell in cells if cell.feeds}
        bodies = {terminal for terminal in self.circuit.on_ground if terminal == BODY}
        all_ground = self._closure(bodies, 2, "minus", set(), True)
        all_ground = all_ground.union(*(own_ground[cell.name] for cell in cells if not cell.feeds))
        all_supply = set().union(*(own_supply[cell.name] for cell in cells if not cell.feeds))
        labels = {t for t, its in self.stated if self._fitted(its.condition) == 2 and self._hot(its)}
        if self.world is not None:  # what may be live is live here, or it is not
            labels |= self.unknown_supplies - self._resolved()
            returns |= self.unknown_grounds
        labels_may = {t for t, its in self.stated if self._fitted(its.condition) == 1 and self._hot(its)}
        out = {"plus": {**own_ground, "?": all_ground}, "minus": {**own_supply, "?": all_supply}}
        for cell in cells:
            certain.plus[cell.name, 0] = self._closure({cell.plus}, 2, "plus", own_ground[cell.name] - {cell.plus})
            begins = {cell.minus} | (self.unknown_grounds if self.world is not None else set())
            certain.minus[cell.name, 0] = self._closure(begins, 2, "minus", own_supply[cell.name] - {cell.minus})
        certain.plus["?", 0] = self._closure(labels, 2, "plus", all_ground - labels)
        begins = returns | {cell.minus for cell in cells}
        certain.minus["?", 0] = self._closure(begins, 2, "minus", all_supply - begins)
        for cell in self.cells:
            certain.plus.setdefault((cell.name, 0), set())
            certain.minus.setdefault((cell.name, 0), set())
        possible = self._possible(certain, labels_may, bridged=False)
        live = {t for its in possible.plus.values() for t in its}
        grounded = {t for its in possible.minus.values() for t in its}
        copper = {t: self._closure({t}, 2, "plus", set(), True) for pair in self._bridges() for t in pair}
        for sides, opposite, side in ((certain.plus, grounded, "plus"), (certain.minus, live, "minus")):
            for name in sides:
                while True:
                    more = {
                        b for a, b in self._bridges()
                        if copper[a] & sides[name] and not copper[b] & opposite and b not in sides[name]
                        and not copper[b] & out[side].get(name[0], set())
                    }  # fmt: skip
                    if not more:
                        break
                    sides[name] = self._closure(
                        sides[name] | more, 2, side, out[side].get(name[0], set()) - sides[name]
                    )
        possible = self._possible(certain, labels_may, bridged=True)
        self.certain, self.possible = certain, possible
        self.in_series = through_others(self)

    def _possible(self, certain: Sides, labels: set[Terminal], bridged: bool) -> Sides:
        """What may be on either side, up to what is surely on the other; in a possible world only what really is."""
        if self.world is not None:
            return certain
        live = {t for its in certain.plus.values() for t in its}
        grounded = {t for its in certain.minus.values() for t in its}
        unknown = self.unknown_supplies - self._resolved()
        maybe = [cell for cell in self.cells if cell.level == 1]
        possible = Sides()
        for n, choice in enumerate(self.choices):
            there = [cell for cell in maybe if holds(cell.condition, choice)]
            said = labels & {t for t, its in self.stated if holds(its.condition, choice)}
            for name, _ in certain.plus:
                sure = certain.plus[name, 0]
                begins = sure | {c.plus for c in there if c.name == name} | (unknown | said if name == "?" else set())
                possible.plus[name, n] = self._spread(begins, sure, "plus", grounded, bridged, n)
                sure = certain.minus[name, 0]
                begins = sure | {c.minus for c in there if name in (c.name, "?")} | self.unknown_grounds
                possible.minus[name, n] = self._spread(begins, sure, "minus", live, bridged, n)
        return possible

    def _resolved(self) -> set[Terminal]:
        resolved = {t for t, its in self.stated if self._fitted(its.condition)}
        return self._closure(resolved, 2, "plus", set(), True) if resolved else set()

    def _spread(
        self, begins: set[Terminal], sure: set[Terminal], side: str, opposite: set[Terminal], bridged: bool,
        choice: int,
    ) -> set[Terminal]:  # fmt: skip
        keep_out = opposite - sure
        found = self._closure(begins, 1, side, keep_out, choice=choice)
        while True:
            more = {b for a, b in self._bridges() if a in found and b not in found and b not in keep_out}
            if not more or not bridged:
                return found
            found = self._closure(found | more, 1, side, keep_out, choice=choice)

    def _hot(self, stated) -> bool:  # type: ignore[no-untyped-def]
        return stated.always or self.key in stated.positions

    @property
    def shorted(self) -> bool:
        """Whether something is on both sides of one battery, or a battery is left out because copper joins its posts."""
        return self.left_out > 0 or any(its & self.certain.minus[name] for name, its in self.certain.plus.items())

    def has_plus(self, terminal: Terminal) -> Level:
        return 2 if self.certain.live(terminal) else 1 if self.possible.live(terminal) else 0

    def has_ground(self, terminal: Terminal) -> Level:
        return 2 if self.certain.grounded(terminal) else 1 if self.possible.grounded(terminal) else 0

    def between(self, plus: Terminal, minus: Terminal, needs: Condition = ()) -> Level:
        """How surely one is live and the other grounded by one battery, where what `needs` say is fitted."""
        if self.certain.between(plus, minus, {0}):
            return 2
        there = {n for n, choice in enumerate(self.choices) if holds(needs, choice)}
        return 1 if self.possible.between(plus, minus, there) else 0

    def coil(self, relay: Relay) -> Level:
        if relay.name in self.out or relay.flashes:  # a flasher is taken to be closed, whatever hangs on it
            return 0
        if relay.name in self.state.driven:
            return self._fitted(relay.condition)
        plus, minus = (Terminal(relay.name, pin) for pin in relay.coil)
        released = relay.name in self.state.released
        level: Level = 0
        if not released:
            needs = relay.condition
            level = max(self.between(plus, minus, needs), self.between(minus, plus, needs))
        if relay.holds is not None and self.state.minutes < relay.holds.high:
            level = max(level, 1)
        level = min(self._fitted(relay.condition), level)
        return level or (1 if relay.name in self.in_series and not released else 0)

    def draws(self, name: str) -> Level:
        part = self.platform.parts[name]
        if name not in self.circuit.loads:
            return 1
        if name in self.out or self.feeds(name):
            return 0
        if isinstance(part, Switch):
            ends = [(Terminal(name, plus), Terminal(name, minus)) for plus, minus in part.coils]
            needs = part.condition
            level = max(max(self.between(a, b, needs), self.between(b, a, needs)) for a, b in ends)
            if not self.ground_is_drawn(name):
                level = max(self.has_plus(plus) for plus, _ in ends)
            return min(level, self._fitted(part.condition)) or (1 if name in self.in_series else 0)
        pins = self.circuit.loads[name]
        ground_drawn = self.ground_is_drawn(name)
        both_ways = part.kind in ("lamp", "motor", "heater", "solenoid", "horn")
        both_ways = both_ways and len(pins.supplies) == len(pins.grounds) == 1 and ground_drawn
        level = 0
        for plus in pins.supplies:
            for minus in pins.grounds:
                if ground_drawn and pins.supply_drawn:
                    its = self.between(plus, minus, part.condition)
                elif pins.supply_drawn:
                    its = self.has_plus(plus)
                elif ground_drawn:
                    its = max(self.between(plus, minus, part.condition), 1 if self.possible.grounded(minus) else 0)
                else:
                    its = 1
                if both_ways:
                    its = max(its, self.between(minus, plus, part.condition))
                level = max(level, its)
        return min(level, self.controlled(name), self._fitted(part.condition)) or (1 if name in self.in_series else 0)

    def controlled(self, name: str) -> Level:
        """How surely a control pin switches it on: by plus where any way leads there from a battery, else by ground."""
        levels = []
        for pin in self.controls_of(name):
            if self._leads_to(pin, {cell.plus for cell in self.cells}, True):
                levels.append(self.has_plus(pin))
            elif self._leads_to(pin, set(self.circuit.returns), False):
                levels.append(self.has_ground(pin))
            else:
                levels.append(1)
        return max(levels, default=2)

    def controls_of(self, name: str) -> list[Terminal]:
        part = self.platform.parts[name]
        if not isinstance(part, Load) or part.kind == "module":
            return []
        return [Terminal(name, pin) for pin, role in part.roles.items() if role == "control"]

    def ground_is_drawn(self, name: str) -> bool:
        pins = self.circuit.loads[name].grounds
        wired = {end for wire in self.platform.wires_at.get(name, ()) for end in (wire.a, wire.b)}
        for part in self.platform.parts.values():
            if isinstance(part, Switch) and part.inside == name:  # its switch leads on from a pin that has a wire
                ends = [(Terminal(name, c.pin_a), Terminal(name, c.pin_b)) for c in part.contacts]
                wired |= {b for a, b in ends if a in wired} | {a for a, b in ends if b in wired}
        return any(pin in wired or pin.pin == "case" for pin in pins)

    def settle(self) -> Answer:
        """Everything at once from rest, until it stays the same; what comes back again and again is "may be"."""
        while True:
            past: list[tuple[object, ...]] = []
            while True:
                levels = tuple(it.level() for it in self.conductors)
                if levels in [its[0] for its in past]:
                    break
                self.look()
                for relay in self.relays:
                    part = self.platform.parts[relay]
                    assert isinstance(part, Relay)
                    self.relays[relay] = 1 if relay in self.pinned else self.coil(part)
                self.wake()
                past.append((levels, dict(self.relays)))
            turns = [relays for its, relays in past[[its[0] for its in past].index(levels) :]]
            moving = {name for name in self.relays if len({turn[name] for turn in turns}) > 1}
            if not moving:
                return Answer.YES
            self.pinned |= moving
            for name in self.pinned:
                self.relays[name] = 1


def through_others(slow: SlowEvaluator) -> set[str]:
    """Loads and coils that carry current at all in a network of resistors but would carry none alone."""
    network = Network(slow.circuit.nodes)
    for it in slow.conductors:
        if it.now == 2 and it.one_way:
            network.put_diode(it.a, it.b)
        elif it.now == 2:
            network.join(it.a, it.b)
    for name, pins in slow.circuit.loads.items():
        part = slow.platform.parts[name]
        if isinstance(part, Switch):
            there = name not in slow.out and slow._fitted(part.condition) and slow.ground_is_drawn(name)
            for plus, minus in part.coils if there else ():
                network.put(name, Terminal(name, plus), Terminal(name, minus))
            continue
        if slow.feeds(name) or part.kind == "alternator":  # its rectifier blocks what comes from the battery
            continue
        drawn = pins.supply_drawn and slow.ground_is_drawn(name)
        if drawn and not slow.controls_of(name) and name not in slow.out and slow._fitted(part.condition) == 2:
            for plus in pins.supplies:
                for minus in pins.grounds:
                    network.put(name, plus, minus)
    for name in slow.relays:
        part = slow.platform.parts[name]
        assert isinstance(part, Relay)
        if name not in slow.out and slow._fitted(part.condition) and not part.flashes:
            network.put(name, Terminal(name, part.coil[0]), Terminal(name, part.coil[1]))
    for node in slow.circuit.nodes:
        if slow.certain.live(node):
            network.hold(node, 12.0)
        elif slow.certain.grounded(node):
            network.hold(node, 0.0)
    return network.carrying()

"""Loads with two ends: whichever way the arrows point, the current that comes in at one end goes out at the other.

Wires conduct both ways. A direction may suggest which end is the feed, but it never makes a ground that nobody drew:
where both ends are read as feeds, or both as grounds, one of them is the other side all the same.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property

from circuitmap.wiring.nets import JoinedNets
from circuitmap.wiring.parts import (
    WORKS_EITHER_WAY,
    Battery,
    Fuse,
    Ground,
    Load,
    OpenEnd,
    Part,
    Relay,
    Role,
    Switch,
    Terminal,
    is_unnamed,
)
from circuitmap.wiring.platform import Output


class Sides:
    """What supply may reach, and what ground may reach, over contacts but not through a load; worked out when first
    asked for."""

    def __init__(self, parts: Mapping[str, Part], nets: JoinedNets, outputs: Iterable[Output]) -> None:
        self.parts, self.nets = parts, nets
        self.feeding = {output.terminal for output in outputs if output.action == "feeds"}
        self.grounding = {output.terminal for output in outputs if output.action == "grounds"}

    @cached_property
    def _beyond(self) -> Mapping[Terminal, tuple[Terminal, ...]]:
        """For each net, the nets that a contact joins it to."""
        found: dict[Terminal, list[Terminal]] = {}
        for part in self.parts.values():
            if isinstance(part, Switch | Relay):
                for contact in part.contacts:
                    ends = [self.nets.key(Terminal(part.name, pin)) for pin in (contact.pin_a, contact.pin_b)]
                    for one, other in (ends, ends[::-1]):
                        found.setdefault(one, []).append(other)
        return {key: tuple(others) for key, others in found.items()}

    @cached_property
    def supplied(self) -> frozenset[Terminal]:
        return self._reached(self._feeds)

    @cached_property
    def at_minus(self) -> frozenset[Terminal]:
        """What is one piece of copper with a battery's minus."""
        return frozenset(self.nets.keys_with(lambda end: isinstance(self.parts[end.part], Battery) and end.pin == "-"))

    @cached_property
    def grounded(self) -> frozenset[Terminal]:
        return self._reached(self._grounds)

    def _feeds(self, terminal: Terminal) -> bool:
        part = self.parts[terminal.part]
        if isinstance(part, Battery):
            return terminal.pin != "-"
        return isinstance(part, Fuse) or (isinstance(part, OpenEnd) and part.from_supply) or terminal in self.feeding

    def _grounds(self, terminal: Terminal) -> bool:
        part = self.parts[terminal.part]
        if isinstance(part, Battery):
            return terminal.pin == "-"
        return isinstance(part, Ground) or terminal.pin == "case" or terminal in self.grounding

    def _reached(self, starts: Callable[[Terminal], bool]) -> frozenset[Terminal]:
        todo = list(self.nets.keys_with(starts))
        todo += [self.nets.key(end) for key in self._beyond for end in (key,) if starts(end)]
        seen = set(todo)
        while todo:
            for other in self._beyond.get(todo.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    todo.append(other)
        return frozenset(seen)


def opposite_ends(load: Part, roles: Mapping[str, Role], sides: Sides) -> dict[str, Role]:
    """The roles of a load with two wired ends, where the directions suggest the same role for both.

    They stay two feeds where supply comes to both and ground to neither: a lamp with two filaments, a motor with two
    speeds, whose ground is its mounting or not drawn.
    """
    if not isinstance(load, Load):
        return {}
    pins = tuple(dict.fromkeys((*load.roles, *roles)))
    if load.kind not in WORKS_EITHER_WAY or len(pins) != 2 or any(map(is_unnamed, pins)):
        return {}
    its = {pin: load.roles.get(pin) or roles.get(pin, "") for pin in pins}
    same = set(its.values())
    if same not in ({"supply"}, {"ground"}):
        return {}
    free = [pin for pin in pins if pin not in load.roles]
    if not free:
        return {}
    keys = {pin: sides.nets.key(Terminal(load.name, pin)) for pin in pins}
    fed = {pin for pin in pins if keys[pin] in sides.supplied}
    grounded = {pin for pin in pins if keys[pin] in sides.grounded}
    if same == {"supply"} and len(fed) == 2 and not grounded:
        return {}
    other: Role = "ground" if same == {"supply"} else "supply"
    if len(free) == 1:
        return {free[0]: other}
    wanted = fed if other == "supply" else grounded
    against = grounded if other == "supply" else fed
    turned = next((pin for pin in pins if pin in wanted and pin not in against), None)
    if turned is None:
        turned = next((pin for pin in pins if pin not in against), None) if len(against) == 1 else None
    if turned is None and other == "supply":  # across a main switch in the minus: plus comes from the body's side
        away = [pin for pin in pins if keys[pin] not in sides.at_minus]
        turned = away[0] if len(away) == 1 else None
    if turned is None:
        turned = pins[1] if other == "ground" else pins[0]
    return {turned: other}

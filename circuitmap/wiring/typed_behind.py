"""Switches, relays and fuses behind which everything was typed `not hands-off`: their own words give way to that.

Only what hangs behind makes a switch hands-off. Where any of it is not typed in, was not said to be free, or is on
another sheet, the words stay.
"""

from collections.abc import Iterable, Iterator

from circuitmap.wiring.parts import (
    FIRST,
    SECOND,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Part,
    Relay,
    Resistor,
    Switch,
    Terminal,
)
from circuitmap.wiring.platform import Platform

Point = tuple[str, str]
"""A part and its pin; of a splice or bar, all of it."""


def give_way(platform: Platform, by_words: Iterable[str], things: Iterable[str]) -> set[str]:
    """Those of the parts that are hands-off `by_words` alone whose words give way; `things` are all that are hands-off.
    One of them behind another does not keep that one's words, as long as both give way."""
    asked = {name for name in by_words if isinstance(platform.parts[name], Switch | Relay | Fuse)}
    if not asked or not any(part.hands_off == "not" for part in platform.parts.values()):
        return set()
    behind = _Behind(platform)
    stays = set(things) - asked
    left = {name for name in asked if behind.is_all_free(platform.parts[name])}
    while True:
        kept = {name for name in left if behind.passed[name] & (stays | asked - left)}
        if not kept:
            return left
        left -= kept


class _Behind:
    """`passed` are the parts behind each one that was asked about."""

    def __init__(self, platform: Platform) -> None:
        self._platform = platform
        self._wires: dict[Point, list[Point]] = {}
        for wire in platform.wires:
            a, b = self._point(wire.a), self._point(wire.b)
            self._wires.setdefault(a, []).append(b)
            self._wires.setdefault(b, []).append(a)
        self._outputs: dict[str, list[Point]] = {}
        for output in platform.outputs:
            self._outputs.setdefault(output.module, []).append((output.module, output.pin))
        self.passed: dict[str, set[str]] = {}

    def _point(self, end: Terminal) -> Point:
        part = self._platform.parts.get(end.part)
        whole = isinstance(part, Ground) or (isinstance(part, Joint) and part.kind != "connector")
        return end.part, "" if whole else end.pin

    def is_all_free(self, part: Part) -> bool:
        """Whether loads hang behind it, and each was typed as not hands-off."""
        found: set[str] = set()
        passed: set[str] = set()
        for side in dict.fromkeys(_sides(part)):
            seen = self._reached(side, part.name)
            if seen is None:
                continue  # from there it is fed
            its = [self._platform.parts.get(name) for name, _ in seen]
            loads = [one for one in its if isinstance(one, Load)]
            rest = [one for one in its if not isinstance(one, Load | Joint | Ground | Fuse | Switch | Diode | Resistor)]
            if any(one is None or not (isinstance(one, Relay) and self._are_contacts(one, seen)) for one in rest):
                return False
            if any(one.hands_off != "not" for one in loads):
                return False
            found.update(one.name for one in loads)
            passed.update(name for name, _ in seen if name != part.name)
        self.passed[part.name] = passed
        return bool(found)

    def _are_contacts(self, relay: Relay, seen: Iterable[Point]) -> bool:
        """Whether only contacts of a relay were reached: what its coil switches is not followed."""
        return not any((relay.name, pin) in seen for pin in relay.coil)

    def _reached(self, start: Point, without: str) -> set[Point] | None:
        """All that current gets to from one side of a part; None where that side is fed itself: by a battery, or by
        the outgoing side of a fuse."""
        seen, todo = {start}, [start]
        while todo:
            here = todo.pop()
            part = self._platform.parts.get(here[0])
            if here != start and part is not None and part.kind in ("battery", "alternator", "charger"):
                return None
            if here != start and isinstance(part, Fuse) and here[1] == SECOND:
                return None
            if isinstance(part, Ground) or here[0] == "case":
                continue
            for there in (*self._wires.get(here, ()), *self._through(part, here, without)):
                if there not in seen:
                    seen.add(there)
                    todo.append(there)
        return {point for point in seen if point[0] != "case"}

    def _through(self, part: Part | None, here: Point, without: str) -> Iterator[Point]:
        if part is None or part.name == without:
            return
        if isinstance(part, Fuse) and here[1] == FIRST:
            yield part.name, SECOND
        elif isinstance(part, Diode | Resistor):
            yield part.name, SECOND if here[1] == FIRST else FIRST
        elif isinstance(part, Relay):
            for contact in part.contacts:
                yield from _over((contact.pin_a, contact.pin_b), here)
        elif isinstance(part, Load) and part.roles.get(here[1], "") == "supply":
            yield from self._outputs.get(part.name, ())
        for switch in self._switches(here[0]):
            if switch.name != without:
                for closes in switch.contacts:
                    yield from _over(closes[:2], here)

    def _switches(self, owner: str) -> Iterator[Switch]:
        part = self._platform.parts.get(owner)
        if isinstance(part, Switch):
            yield part
        for its in self._platform.parts.values():
            if isinstance(its, Switch) and its.inside == owner:
                yield its


def _over(pins: tuple[str, str], here: Point) -> Iterator[Point]:
    owner, pin = here
    if pin in pins:
        yield owner, pins[1] if pin == pins[0] else pins[0]


def _sides(part: Part) -> Iterator[Point]:
    if isinstance(part, Fuse):
        yield part.name, SECOND
    elif isinstance(part, Relay):
        yield from ((part.name, pin) for its in part.contacts for pin in (its.pin_a, its.pin_b))
    elif isinstance(part, Switch):
        yield from ((part.owner, pin) for its in part.contacts for pin in its[:2])

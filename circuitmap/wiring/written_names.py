"""From a name as written to the part and the pin it means."""

from collections.abc import Collection
from dataclasses import replace
from typing import NamedTuple

from circuitmap.notation.statements import Word
from circuitmap.source import Span
from circuitmap.wiring.declared_parts import named_part
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.near_names import NearNames, digits_of
from circuitmap.wiring.parts import (
    BODY,
    FIRST,
    SECOND,
    Battery,
    Box,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    OpenEnd,
    Part,
    Relay,
    Resistor,
    Role,
    Switch,
    Terminal,
    Undeclared,
)
from circuitmap.wiring.pins import contact_pins, known_pins, pin_as_known
from circuitmap.wiring.splitting import split_name

OPEN = "?"
"""The mark, as written, for a place where a sheet goes on."""


class WireEnd(NamedTuple):
    """The point where a wire ends, before it is known on which side: the pin is empty for a two-terminal part named
    without one.

    `sided`: which half of a cavity, or which side of a two-terminal part, follows from the reading direction.
    """

    part: str
    pin: str
    sided: bool

    def __str__(self) -> str:
        return f"{self.part}.{self.pin}" if self.pin else self.part


_KEPT = "It is kept as a load of which nothing is known."
_KINDS_BY_BEGINNING = (
    ("SP", "splice"), ("S", "splice"), ("X", "connector"), ("C", "connector"), ("G", "ground"), ("F", "fuse"),
)  # fmt: skip


class WrittenNames:
    """Finds what written names mean; enters names that were never declared and reports each of them once."""

    def __init__(self, draft: PlatformDraft) -> None:
        self._draft = draft
        self._unknown: dict[str, Word] = {}
        self._by_pattern: dict[str, tuple[Word, str]] = {}
        self._split: dict[str, tuple[str, str]] = {}
        self._points: dict[str, WireEnd] = {}
        self._pins_inside: dict[str, tuple[str, ...]] = {}

    def put_inside(self, switch: str, word: Word) -> None:
        """Know the part that a switch is inside of, whose terminals are then those of the switch, too."""
        part = self._draft.parts.get(switch)
        owner = self.part(word)
        if not isinstance(part, Switch):
            return
        self._draft.parts[switch] = replace(part, inside=owner if owner != switch else "")
        its = self._pins_inside.get(owner, ())
        self._pins_inside[owner] = tuple(dict.fromkeys((*its, *contact_pins(part))))

    def part_and_pin(self, word: Word) -> tuple[str, str]:
        """The longest name that is a part, and the rest, which is its pin, as it is declared: sheets print a stroke or
        a point between plug and pin."""
        found = self._split.get(word.text)
        if found is None:
            name, pin = self._look_up(word)
            found = self._split[word.text] = name, self.pin_of(name, pin)
        return found

    def pin_of(self, name: str, pin: str) -> str:
        """A pin of a part as it is declared, if it is."""
        return pin_as_known(pin, known_pins(self._draft.parts[name], self._pins_inside.get(name, ())))

    def part(self, word: Word) -> str:
        """The part that is meant, where only a part makes sense."""
        name, pin = self.part_and_pin(word)
        if pin:
            self._draft.error(
                "pin-not-wanted", f"A part stands here, not a pin: {word.text}.", word.span, suggestion=name
            )
        return name

    def is_ground(self, word: Word) -> bool:
        """Whether this is a ground point, or the minus post of a battery."""
        if word.text == OPEN:
            return False
        name, pin = self.part_and_pin(word)
        part = self._draft.parts[name]
        return isinstance(part, Ground) or (isinstance(part, Battery) and pin == "-")

    def point(self, word: Word, wanted: Role = "") -> WireEnd:
        """Where a wire written as going to `word` ends. What it is `wanted` for decides which pins are asked for where
        none is written."""
        known = self._points.get(word.text)
        if known is not None:
            return known
        name, pin = self.part_and_pin(word)
        point = self._points[word.text] = self._point_at(self._draft.parts[name], pin, word, wanted)
        return point

    def _look_up(self, word: Word) -> tuple[str, str]:
        draft = self._draft
        name, pin, kind, begins = split_name(word.text, draft.parts, draft.patterns)
        if name in draft.parts:
            return name, pin
        if name == BODY:
            self._enter(Ground(name=BODY, kind="ground", description="the body", first_use=word.span))
        elif kind:
            box = name.rpartition(".")[0]
            part = named_part(kind, {"name": name, "first_use": word.span}, draft.slots.get(box, 0))
            if isinstance(part, Fuse):
                draft.slots[box] = draft.slots.get(box, 0) + 1
            self._enter(part)
            self._by_pattern[name] = word, begins
        else:
            self._enter(Undeclared(name=name, kind="undeclared", first_use=word.span))
            self._unknown[name] = word
        return name, pin

    def _enter(self, part: Part) -> None:
        self._draft.parts[part.name] = part

    def report_unknown(self, led_through: Collection[WireEnd] = ()) -> None:
        """One problem for each name that is not declared, or for each row of such names. To be called when all names
        have been met: a misspelt splice may be near to one that was not declared either. `led_through` are points at
        which wires both arrive and leave."""
        pins_led_through = {point.part: point.pin for point in led_through}
        draft = self._draft
        index = NearNames(name for name, part in draft.parts.items() if not isinstance(part, Undeclared | OpenEnd))
        for head, (word, prefix) in self._by_pattern.items():
            if not head[len(prefix)].isdigit():
                self._report_doubled(index, head, word)
        reported: dict[Span, int] = {}
        for head, word in self._unknown.items():
            if not {head, word.text}.isdisjoint(draft.doubted) or head.startswith(draft.doubted_prefixes):
                continue
            if word.span in reported:  # a row such as F50..F59 is one place
                number = reported[word.span]
                first = draft.problems[number].headline.partition(" ")[0]
                headline = f"{first} and others of this row are not declared."
                draft.problems[number] = replace(draft.problems[number], headline=headline, suggestion="", advice=_KEPT)
                continue
            if self._is_post(word):
                continue
            written, near = self._meant(index, head, word)
            draft.doubted.update(near)
            reported[word.span] = len(draft.problems)
            span = replace(word.span, end=word.span.start + len(written))
            draft.warning(
                "unknown-name",
                f"{written} is not declared.",
                span if span.text == written else word.span,
                suggestion=" or ".join(near) if len(near) < 3 else "",
                advice="" if near else _through(head, pins_led_through[head]) if head in pins_led_through else _KEPT,
            )

    def _is_post(self, word: Word) -> bool:
        """`BAT+`, `E12+`: a post or a plus pin without the point before it, reported here."""
        name, post = word.text[:-1], word.text[-1]
        if post != "+" or not isinstance(self._draft.parts.get(name), Battery | Load):
            return False
        self._draft.doubted.add(name)
        headline = f"{word.text} is not declared: a post stands behind a point."
        self._draft.error("unknown-name", headline, word.span, suggestion=f"{name}.+")
        return True

    def _report_doubled(self, index: NearNames, head: str, word: Word) -> None:
        """GG11 begins like a ground point, G*, but is one slip from G11: `naming` must not hide that."""
        near = [n for n in index.nearest(head) if digits_of(n) == digits_of(head) != []]
        if near and head not in self._draft.doubted:
            self._draft.doubted.update((head, *near))
            self._draft.warning(
                "unknown-name",
                f"{head} is not declared, and its name is near to one that is there.",
                replace(word.span, end=word.span.start + len(head)),
                suggestion=" or ".join(near[:2]),
                advice=f"If it is another one, declare it: {self._draft.parts[head].kind} {head}.",
            )

    def _meant(self, index: NearNames, head: str, word: Word) -> tuple[str, tuple[str, ...]]:
        """The part of the name that is misspelt and the names that it may mean; or else the whole name and none."""
        owner, slash, pin = head.rpartition("/")
        if slash and owner in self._draft.parts:  # nobody declared it, but another wire names it with a point
            return head, (f"{owner}.{pin}",)
        levels = word.text.split(".")
        for count in range(len(levels), 0, -1):
            written = ".".join(levels[:count])
            whole = index.behind_a_point(written)
            if len(whole) == 1:
                return written, (whole[0],)
        for count in range(len(levels), 0, -1):
            written, pin = ".".join(levels[:count]), ".".join(levels[count:])
            near = [name for name in index.nearest(written) if not (pin and isinstance(self._draft.parts[name], Box))]
            with_this_pin = [name for name in near if pin in getattr(self._draft.parts[name], "roles", ())]
            if near:
                return written, tuple(with_this_pin or near)
        return head, ()

    def _point_at(self, part: Part, pin: str, word: Word, wanted: Role) -> WireEnd:
        name = part.name
        if isinstance(part, Joint):
            if part.kind == "connector":
                return WireEnd(name, pin, True)
            return self._pinless(part, pin, word)
        if isinstance(part, Ground):
            return self._pinless(part, pin, word)
        if isinstance(part, (Fuse, Diode, Resistor)):
            return self._two_sided(part, pin, word)
        pins = known_pins(part, self._pins_inside.get(name, ()))
        if isinstance(part, Battery):
            return self._one_of(part, pin, pins, word, "post")
        if isinstance(part, Relay):
            return self._one_of(part, pin, pins, word, "terminal")
        if isinstance(part, Switch):
            return self._one_of(part, pin, pins, word, "terminal")._replace(part=part.owner)
        if isinstance(part, Load):
            if pin or part.kind != "module":
                return WireEnd(name, pin, not pin)
            asked = [its for its, role in part.roles.items() if not wanted or role != "ground"]
            return self._one_of(part, pin, tuple(asked), word, "pin")
        if isinstance(part, Box):
            self._draft.doubted.add(name)
            self._draft.error("box-in-wire", f"{name} is a box: a wire ends at something in it.", word.span)
            return WireEnd(name, "?", False)
        return WireEnd(name, pin, not pin)

    def _pinless(self, part: Part, pin: str, word: Word) -> WireEnd:
        if pin:
            self._draft.doubted.add(part.name)
            self._draft.error(
                "no-such-pin",
                f"{part.name} is a {part.kind} and has no pins: all its wires meet in one point.",
                word.span,
                suggestion=part.name,
            )
        return WireEnd(part.name, "", False)

    def _two_sided(self, part: Part, pin: str, word: Word) -> WireEnd:
        if pin not in ("", FIRST, SECOND):
            self._draft.doubted.add(part.name)
            self._draft.error(
                "no-such-pin",
                f"{part.name} has no terminal {pin}.",
                word.span,
                expected="1 (the side of the supply) or 2",
            )
            return WireEnd(part.name, "", True)
        return WireEnd(part.name, pin, not pin)

    def _one_of(self, part: Part, pin: str, pins: tuple[str, ...], word: Word, noun: str) -> WireEnd:
        """A point on a part whose pins are known (or, when `pins` is empty, on one whose pin must be given)."""
        if pin in pins or (pin and not pins):
            return WireEnd(part.name, pin, False)
        self._draft.doubted.add(part.name)
        expected = ", ".join(f"{part.name}.{its}" for its in pins)
        if not pin:
            self._draft.error(
                "pin-needed", f"Which {noun} of {part.name}, {_a_kind(part)}?", word.span, expected=expected
            )
        else:
            near = NearNames(pins).near(pin)
            self._draft.error(
                "no-such-pin",
                f"{part.name}, {_a_kind(part)}, has no {noun} {pin}.",
                word.span,
                expected=expected,
                suggestion=f"{part.name}.{near}" if near else "",
            )
        return WireEnd(part.name, "?", False)


def _through(name: str, pin: str) -> str:
    """What to do about an undeclared name that wires lead through."""
    kind = "connector" if pin else next((kind for begins, kind in _KINDS_BY_BEGINNING if _numbered(name, begins)), "")
    if "." in name and not pin:
        kind = "fuse"
    declare = f"Declare it: {kind} {name}." if kind else f"Declare it, for instance: splice {name}."
    return f"{declare} As long as it is not, the feed is cut there."


def _numbered(name: str, begins: str) -> bool:
    return name.startswith(begins) and name[len(begins) :].isdigit()


def _a_kind(part: Part) -> str:
    return f"a {part.kind}"


def first_side(part: Part, pin: str) -> Terminal:
    """Where a wire arrives at a sided point: half `a` of a cavity, the supply side of a two-terminal part."""
    if part.kind == "connector":
        return Terminal(part.name, pin, "a")
    if isinstance(part, Load):
        supplies = part.pins_with("supply")
        return Terminal(part.name, supplies[0] if len(supplies) == 1 else FIRST)
    return Terminal(part.name, FIRST)


def second_side(part: Part, pin: str) -> Terminal:
    """Where a wire leaves a sided point."""
    if part.kind == "connector":
        return Terminal(part.name, pin, "l")
    if isinstance(part, Load):
        grounds = part.pins_with("ground")
        return Terminal(part.name, grounds[0] if len(grounds) == 1 else SECOND)
    return Terminal(part.name, SECOND)

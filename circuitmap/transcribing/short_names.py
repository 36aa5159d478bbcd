"""Names in small letters and without what stands before them: `f40` for FRM.F40, `lift.a1` for LIFT.A1.

All that a word may mean is found, never the likeliest: whether there is only one is for the caller to see.
"""

import re
from collections.abc import Iterable, Iterator

from circuitmap.notation.names import DEEPEST_NAME, NAME, complaint_about_name
from circuitmap.wiring.known_names import KnownNames
from circuitmap.wiring.names import owners_in
from circuitmap.wiring.parts import BODY, Box, Joint, Load, OpenEnd, Part, Switch, Undeclared
from circuitmap.wiring.pins import asks_pin, contact_pins, has_printed_pins, is_two_sided, known_pins, with_points
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.splitting import split_name

_WRITTEN = re.compile(rf"{NAME}\Z")
_POINTS = ("splice", "bar", "terminal")


class ShortNames:
    """The names of a platform, and those that its `naming` lines allow: `patterns` are beginnings and kinds."""

    def __init__(self, platform: Platform, patterns: Iterable[tuple[str, str]]) -> None:
        self.parts = platform.parts
        self.options = KnownNames(platform.options)
        self._patterns = tuple(sorted(patterns, key=lambda pattern: -len(pattern[0])))
        self._known = KnownNames([*(name for name, part in self.parts.items() if _ends_wires(part)), BODY])
        self._boxes = {name.casefold(): name for name, part in self.parts.items() if isinstance(part, Box)}
        self._inside: dict[str, list[str]] = {}
        for part in self.parts.values():
            if isinstance(part, Switch) and part.inside:
                self._inside.setdefault(part.inside, []).extend(contact_pins(part))
            if isinstance(part, Load):  # named without a role
                self._inside.setdefault(part.name, []).extend(pin for pair in part.joined for pin in pair)
        for output in platform.outputs:
            self._inside.setdefault(output.module, []).extend((output.pin, *output.inputs, *output.without))
        for end in (end for wire in platform.wires for end in (wire.a, wire.b)):
            if end.pin and isinstance(self.parts.get(end.part), Load):
                self._inside.setdefault(end.part, []).append(end.pin)

    def meant(self, word: str) -> tuple[str, ...]:
        """The ends of a wire that `word` may mean, in full. What has capital letters and is a whole name means just
        that, as it does in the notation."""
        if any(self._is_whole(owner, pin) for owner, pin in owners_in(word)):
            return (word,)
        found = dict.fromkeys(end for owner, pin in owners_in(word) for end in self._known_ends(owner, pin))
        return tuple(found or dict.fromkeys(self._behind_a_slash(word)) or dict.fromkeys(self._new_names(word)))

    def at(self, part: str, pin: str) -> tuple[str, ...]:
        """The ends that terminal `pin` of this part may mean."""
        if part not in self.parts and self.is_connector(part):  # it needs no declaration
            return tuple(f"{part}.{its}" for its in _spellings(with_points(pin)))
        return tuple(dict.fromkeys(self._ends_of(part, pin)))

    def terminals_asked(self, word: str) -> tuple[str, ...]:
        """Where `word` names parts that no wire can end at without a terminal: those terminals."""
        found = [name for name in self._with_tail(word) if self._asks_pin(name)]
        return tuple(f"{name}.{pin}" for name in found for pin in self.pins(name))

    def near(self, word: str) -> tuple[str, ...]:
        """Known names that are one slip away from a name, or from the part of a terminal."""
        for owner, pin in owners_in(word):
            near = self._known.near.nearest(owner)
            if not near:
                tails = self._known.near_tails.nearest(owner)
                near = tuple(name for tail in tails for name in self._known.by_last_level[tail])
            ends = tuple(dict.fromkeys(end for name in near for end in self._ends_of(name, pin)))
            if ends:
                return ends
        return ()

    def pins(self, name: str) -> tuple[str, ...]:
        """The terminals that a part is known to have."""
        return known_pins(self.parts.get(name), self._inside.get(name, ()))

    def parts_with_tail(self, word: str) -> tuple[str, ...]:
        """The known parts that `word` may mean."""
        return self._with_tail(word)

    def terminals_of(self, word: str) -> tuple[str, ...]:
        """The known terminals of the part that `word` means, where there is one and they are all known."""
        found = self._with_tail(word)
        part = self.parts.get(found[0]) if len(found) == 1 else None
        if part is None or isinstance(part, Undeclared):
            return ()
        return tuple(f"{part.name}.{pin}" for pin in self.pins(part.name))

    def is_two_sided(self, word: str) -> bool:
        """Whether `word` means a fuse, or anything else whose sides are 1 and 2."""
        found = self._with_tail(word)
        return len(found) == 1 and is_two_sided(self.parts.get(found[0]))

    def connectors(self, word: str) -> tuple[str, ...]:
        """The known connectors that `word` may mean."""
        return tuple(name for name in self._with_tail(word) if self.is_connector(name))

    def is_connector(self, name: str) -> bool:
        part = self.parts.get(name)
        if part is not None:
            return part.kind == "connector"
        return any(name.startswith(begins) for begins, kind in self._patterns if kind == "connector")

    def owner_and_pin(self, end: str) -> tuple[str, str]:
        """The part and the pin of an end that is written in full; both empty where it names no pin. The part is empty
        where nobody knows one of that name, and it may be a pin."""
        split = split_name(end, self.parts, self._patterns)
        known = split.name in self.parts or bool(split.kind)
        if not known and (split.pin or "/" in split.name):
            return "", split.pin or split.name.rpartition("/")[2]
        return (split.name, split.pin) if split.pin else ("", "")

    def begins_like_connector(self, name: str) -> bool:
        """Whether a name that is not there yet would be a connector's, in small letters or in large ones."""
        return self.is_connector(name) or self.is_connector(name.upper())

    # ---- what a name and a terminal may mean ----

    def _known_ends(self, owner: str, pin: str) -> Iterator[str]:
        for name in self._with_tail(owner):
            yield from self._ends_of(name, pin)

    def _is_whole(self, owner: str, pin: str) -> bool:
        """Whether this is a known end letter by letter, its part with a capital."""
        if owner not in self._known or not _has_capitals(owner):
            return False
        return pin in self.pins(owner) if pin else not self._asks_pin(owner)

    def _behind_a_slash(self, word: str) -> Iterator[str]:
        """`e20/2`, as sheets print terminal 2 of E20."""
        owner = word
        while "/" in owner:
            owner = owner.rpartition("/")[0]
            pin = word[len(owner) + 1 :]
            found = tuple(self._known_ends(owner, pin)) if owner and pin else ()
            if found:
                yield from found
                return

    def _with_tail(self, word: str) -> tuple[str, ...]:
        return self._known.having_tail_in_any_case(word)

    def _ends_of(self, name: str, pin: str) -> Iterator[str]:
        part = self.parts.get(name)
        if not pin:
            if not self._asks_pin(name):
                yield name
            return
        pins = self.pins(name)
        known = [its for its in pins if with_points(its.casefold()) == with_points(pin.casefold())]
        if _has_capitals(pin) and pin in known:
            known = [pin]
        if known:
            yield from (f"{name}.{its}" for its in known)
        elif isinstance(part, Load | Undeclared) or (isinstance(part, Joint) and _has_cavities(part) and not pins):
            yield from (f"{name}.{its}" for its in _spellings(with_points(pin)))

    def _asks_pin(self, name: str) -> bool:
        return asks_pin(self.parts.get(name))

    def _new_names(self, word: str) -> Iterator[str]:
        """Names that a `naming` line allows. Behind what the line says there must be a digit, so that no colour is
        taken for a ground point."""
        levels = word.split(".")
        if len(levels) > 2 * DEEPEST_NAME:
            return
        box = self._boxes.get(levels[0].casefold()) if len(levels) > 1 else None
        for prefix, kind in self._patterns:
            before = int(box is not None and "." not in prefix)
            count = before + prefix.count(".") + 1
            begins, pin = ".".join(levels[before:count]), ".".join(levels[count:])
            if has_printed_pins(kind) and not pin and "/" in begins:  # X1/1 is cavity 1 of X1
                begins, _, pin = begins.rpartition("/")
            rest = begins[len(prefix) :]
            if not begins.casefold().startswith(prefix.casefold()) or not rest[:1].isdecimal():
                continue
            if (pin and kind in (*_POINTS, "ground")) or (not pin and kind in ("connector", "module")):
                continue
            head = f"{box}." if before else ""
            if self._known.having_tail_in_any_case(f"{head}{begins}"):
                return  # it is there, and has no such terminal
            for spelt in _spellings(rest):
                for its in _spellings(pin) if pin else ("",):
                    name = f"{head}{prefix}{spelt}{'.' if its else ''}{its}"
                    if _WRITTEN.match(name) and not complaint_about_name(name):
                        yield name
            return


def _ends_wires(part: Part) -> bool:
    """Whether a wire can end at something of this name. The terminals of a switch inside a part are that part's."""
    return not isinstance(part, OpenEnd | Box) and not (isinstance(part, Switch) and part.inside)


def _has_cavities(part: Joint) -> bool:
    return part.kind == "connector"


def _has_capitals(word: str) -> bool:
    return word != word.lower()


def _spellings(word: str) -> tuple[str, ...]:
    """How something may be spelt that nobody wrote yet: as it was typed, if that has capitals or no letters."""
    return (word,) if _has_capitals(word) else tuple(dict.fromkeys((word.upper(), word)))

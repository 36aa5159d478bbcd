"""Two wires that lead between two parts to pins of each other's names."""

import re
from collections.abc import Iterator
from itertools import combinations

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.parts import Joint, Terminal
from circuitmap.wiring.platform import Platform

_SAYS_SOMETHING = re.compile(r"[^\W\d_]+\w*")
"""A pin whose name begins with a letter, such as R, W or UP: numbers of plugs say nothing of each other."""

_CROSSED_BY_DESIGN = ({"IN", "OUT"}, {"TX", "RX"}, {"T", "R"}, {"TXD", "RXD"})
"""Names of pins of which one leads to the other (common practice, no source)."""

_MOST_PINS = 10
"""Pins of a net that are compared; with more of them it is a rail, and nothing is crossed there."""


def names_crossed(platform: Platform) -> Iterator[Problem]:
    """`S30.W -> E15.R` beside `S30.R -> E15.W`, where both have a pin W and a pin R."""
    at: dict[Terminal, list[Terminal]] = {}
    for name in platform.wires_at:
        part = platform.parts.get(name)
        if part is None or isinstance(part, Joint) or name in platform.doubted:
            continue
        its_own = {end for wire in platform.wires_at[name] for end in (wire.a, wire.b) if end.part == name}
        for end in sorted(its_own):
            if _SAYS_SOMETHING.fullmatch(end.pin):
                at.setdefault(platform.nets.key(end), []).append(end)
    seen: dict[tuple[Terminal, Terminal], Terminal] = {}
    for key, ends in at.items():
        for one, other in combinations(sorted(ends), 2) if len(ends) <= _MOST_PINS else ():
            if (
                one.part == other.part
                or one.pin == other.pin
                or {one.pin.upper(), other.pin.upper()} in _CROSSED_BY_DESIGN
            ):
                continue
            seen[one, other] = key
            turned = Terminal(one.part, other.pin), Terminal(other.part, one.pin)
            if seen.get(turned, key) != key:
                yield _problem(platform, one, other, *turned)


def _problem(platform: Platform, *ends: Terminal) -> Problem:
    """`ends` are those of the one wire, then those of the other; told from the part whose name comes first."""
    first, second = sorted(tuple(sorted(pair)) for pair in (ends[:2], ends[2:]))
    parts = {end.part for end in ends}
    spans = [wire.spans[0] for part in parts for wire in platform.wires_at[part] if {wire.a, wire.b} & set(ends)]
    return Problem(
        "names-crossed",
        Severity.NOTE,
        f"{first[0]} leads to {first[1]}, and {second[0]} to {second[1]}: is one the other?",
        max(spans),
    )

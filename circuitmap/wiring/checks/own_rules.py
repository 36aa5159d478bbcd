"""What a text does nearly everywhere, and not here: sheets whose splices have one colour each, whose in-line fuses have
one colour on both sides, that number every wire, that draw both wires of a cavity and every contact of a switch, or
whose fuses protect the wires behind a switch as well. A maker whose sheets do otherwise never hears of it."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TypeVar

from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import Span
from circuitmap.wiring.ampacity import most_amperes
from circuitmap.wiring.checks.behind_contacts import wires_behind_contacts
from circuitmap.wiring.checks.connectors import wires_at_cavities
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.parts import ANY_PIN, BODY, SECOND, Fuse, Joint, Switch
from circuitmap.wiring.platform import Platform, Wire

NEARLY_ALL = 0.9
AT_LEAST = 10
"""So many, and so large a share of them, make a rule of a text's own (judgement)."""
CODES_AT_LEAST, NEARLY_ALL_CODES = 30, 0.95
"""A circuit code is often printed on many wires of one circuit, so more must speak for it (judgement)."""

_Thing = TypeVar("_Thing")


def _exceptions(
    things: Sequence[_Thing], odd: Sequence[_Thing], least: int = AT_LEAST, share: float = NEARLY_ALL
) -> Sequence[_Thing]:
    """Those that break a rule that nearly all keep; none where it is no rule."""
    return odd if len(things) >= least and len(things) - len(odd) >= share * len(things) else ()


def splices_of_several_colours(platform: Platform) -> Iterator[Problem]:
    splices = []
    for part in platform.parts.values():
        if isinstance(part, Joint) and part.kind == "splice":
            wires = [wire for wire in platform.wires_at.get(part.name, ()) if wire.colour]
            if len(wires) > 2:
                splices.append((part.name, wires))
    odd = [its for its in splices if len({wire.colour for wire in its[1]}) > 1]
    for name, wires in _exceptions(splices, odd):
        (usual, times), *_ = Counter(wire.colour for wire in wires).most_common()
        others = [wire for wire in wires if wire.colour != usual]
        if times > len(others):
            other = others[0]
            yield Problem(
                "splice-colours",
                Severity.WARNING,
                f"{other.colour_written} at {name}, where all other wires are {'/'.join(usual)}: at the other splices "
                "all wires have one colour.",
                _span(other),
            )


def fuses_of_two_colours(platform: Platform) -> Iterator[Problem]:
    fuses = []
    for fuse in platform.fuses:
        sides: dict[str, list[Wire]] = {}
        for wire in platform.wires_at.get(fuse.name, ()):
            for end in (wire.a, wire.b):
                if end.part == fuse.name and wire.colour:
                    sides.setdefault(end.pin, []).append(wire)
        if len(sides) == 2:
            fuses.append((fuse, [wire for its in sides.values() for wire in its]))
    odd = [its for its in fuses if len({wire.colour for wire in its[1]}) > 1]
    for fuse, wires in _exceptions(fuses, odd):
        yield _two_colours(fuse, wires)


def _two_colours(fuse: Fuse, wires: Sequence[Wire]) -> Problem:
    first, other = wires[0], next(wire for wire in wires if wire.colour != wires[0].colour)
    return Problem(
        "fuse-colours",
        Severity.WARNING,
        f"{fuse.name} has {first.colour_written} on one side and {other.colour_written} on the other: the other "
        "in-line fuses have one colour on both.",
        _span(other),
        related=(Related(_span(first), f"{first.colour_written} here"),),
    )


def cavities_with_one_wire(platform: Platform) -> Iterator[Problem]:
    """In-line cavities with a wire on one half only. A connector that has more of these goes on to another sheet."""
    by_part: dict[str, list[tuple[str, dict[str, list[Wire]]]]] = {}
    for (part, pin), halves in wires_at_cavities(platform).items():
        if pin and part not in platform.doubted:
            by_part.setdefault(part, []).append((pin, halves))
    inside = [its for its in by_part.values() if sum(len(halves) > 1 for _, halves in its) > len(its) / 2]
    cavities = [(pin, halves) for its in inside for pin, halves in its]
    odd = [its for its in cavities if len(its[1]) == 1]
    if not _exceptions(cavities, odd):
        return
    for part, its in by_part.items():
        alone = [(pin, next(iter(halves.values()))) for pin, halves in its if len(halves) == 1]
        if its in inside and alone:
            names = listed(f"{part}.{pin}" for pin, _ in alone)
            verb = "has a wire" if len(alone) == 1 else "have wires"
            yield Problem(
                "cavity-one-wire",
                Severity.WARNING,
                f"{names} {verb} on one side only: nearly all other cavities have one on both.",
                _span(alone[-1][1][0]),
                related=tuple(Related(_span(wires[0]), f"{part}.{pin}") for pin, wires in alone[:-1]),
            )


def switch_contacts_left_open(platform: Platform) -> Iterator[Problem]:
    """Terminals of switches without a wire, where nearly all others have one."""
    pins: list[tuple[str, str]] = []
    wired: dict[str, set[str]] = {}
    for part in platform.parts.values():
        if isinstance(part, Switch) and not part.coils and part.name not in platform.doubted:
            ends = {pin for wire in platform.wires_at.get(part.owner, ()) for pin in _pins_at(wire, part.owner)}
            if ends and ANY_PIN not in ends:
                wired[part.name] = ends
                own = dict.fromkeys(pin for contact in part.contacts for pin in contact[:2] if pin != BODY)
                pins += [(part.name, pin) for pin in own]
    odd = [its for its in pins if its[1] not in wired[its[0]]]
    for name, pin in _exceptions(pins, odd):
        yield Problem(
            "contact-no-wire",
            Severity.NOTE,
            f"No wire is typed in at {name}.{pin}: nearly all other contacts of switches have one.",
            platform.parts[name].span,
        )


def wires_too_thin_behind_contacts(platform: Platform) -> Iterator[Problem]:
    """Wires behind a switch or relay, thinner than those before it, that the fuse does not protect, where other fuses
    do. A coil or an input takes so little that its thin wire is usual (practice)."""
    behind = list(wires_behind_contacts(platform))
    thin: dict[str, list[Wire]] = {}
    for wire, fuse in behind:
        carries = most_amperes(wire.size) if wire.size is not None else None
        before = [
            its.size for its in platform.wires_at.get(fuse.name, ()) if its.size and SECOND in _pins_at(its, fuse.name)
        ]
        thinner = wire.size is not None and bool(before) and wire.size < min(before)
        if thinner and carries is not None and fuse.rating is not None and fuse.rating > carries.stands:
            thin.setdefault(fuse.name, []).append(wire)
    fuses = list({fuse.name: None for _, fuse in behind})
    for name in _exceptions(fuses, list(thin)):
        its_fuse = platform.parts[name]
        assert isinstance(its_fuse, Fuse) and its_fuse.rating is not None
        wire = min(thin[name], key=lambda its: (its.size or 0.0, _span(its)))
        yield Problem(
            "wire-too-thin",
            Severity.WARNING,
            f"{wire.size_written} is too thin for {name} of {its_fuse.rating:g} A, which it is behind by way of a "
            "contact: the other fuses protect what is behind theirs.",
            _span(wire),
            related=(Related(its_fuse.span, f"{name} is declared here"),),
        )


def wires_without_their_equipment(platform: Platform) -> Iterator[Problem]:
    """Wires at a part that only some vehicles have, and that are said to be in all of them."""
    at_some = [
        (wire, part)
        for wire in platform.wires
        if wire.kind == "wire"
        for part in (platform.parts[wire.a.part], platform.parts[wire.b.part])
        if part.condition and part.name not in platform.doubted
    ]
    odd = [(wire, part) for wire, part in at_some if not wire.condition]
    for wire, part in _exceptions(at_some, odd):
        yield Problem(
            "wire-without-if",
            Severity.WARNING,
            f"This wire of {part.name} has no if, as nearly all others at parts that only some vehicles have.",
            _span(wire),
            related=(Related(part.span, f"{part.name} is declared here"),),
        )


def codes_on_two_wires(platform: Platform) -> Iterator[Problem]:
    by_code: dict[str, list[list[Wire]]] = {}
    for wire in dict.fromkeys(wire for wires in platform.wires_at.values() for wire in wires):
        if wire.code:
            _add(platform, by_code.setdefault(wire.code, []), wire)
    odd = [code for code, runs in by_code.items() if len(runs) > 1]
    for code in _exceptions(list(by_code), odd, CODES_AT_LEAST, NEARLY_ALL_CODES):
        first, other, *_ = by_code[code]
        yield Problem(
            "code-twice",
            Severity.WARNING,
            f'The code "{code}" stands on two wires; all others stand on one.',
            _span(other[0]),
            related=(Related(_span(first[0]), "the other one"),),
        )


def codes_twice_at_a_splice(platform: Platform) -> Iterator[Problem]:
    """Two wires of one splice with the same code, where at nearly all splices each wire has a code of its own: there it
    is a wire's number. Two wires side by side between the same ends may share theirs."""
    splices = []
    for part in platform.parts.values():
        if isinstance(part, Joint) and part.kind == "splice" and part.name not in platform.doubted:
            by_ends = {wire.ends: wire for wire in platform.wires_at.get(part.name, ()) if wire.code}
            if len(by_ends) > 1:
                splices.append((part.name, tuple(by_ends.values())))
    odd = [its for its in splices if len({wire.code for wire in its[1]}) < len(its[1])]
    for name, wires in _exceptions(splices, odd, CODES_AT_LEAST, NEARLY_ALL_CODES):
        (code, _), *_ = Counter(wire.code for wire in wires).most_common()
        first, other, *_ = [wire for wire in wires if wire.code == code]
        yield Problem(
            "code-twice",
            Severity.WARNING,
            f'The code "{code}" stands on two wires of {name}: at the other splices each wire has its own.',
            _span(other),
            related=(Related(_span(first), "the other one"),),
        )


def _add(platform: Platform, runs: list[list[Wire]], wire: Wire) -> None:
    """Put a wire to those that it goes on from: through a connector, a splice or a ground point, or side by side."""
    touching = [run for run in runs if any(_meet(platform, wire, one) for one in run)]
    rest = [run for run in runs if all(run is not its for its in touching)]
    runs[:] = [*rest, [*(one for run in touching for one in run), wire]]


def _meet(platform: Platform, one: Wire, other: Wire) -> bool:
    joints = {end.part for end in one.ends} & {end.part for end in other.ends}
    ends = {(end.part, end.pin) for end in one.ends} & {(end.part, end.pin) for end in other.ends}
    return bool(ends) or any(isinstance(platform.parts.get(name), Joint) for name in joints)


def _span(wire: Wire) -> Span:
    return wire.spans[0]


def _pins_at(wire: Wire, part: str) -> list[str]:
    return [end.pin for end in (wire.a, wire.b) if end.part == part]

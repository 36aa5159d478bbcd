"""Cavities of connectors: one wire comes, one goes, and it keeps its colour."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.parts import Joint
from circuitmap.wiring.platform import Platform, Wire

Cavity = tuple[str, str]


def cavities_with_one_side(platform: Platform) -> Iterator[Problem]:
    """Two wires on the same half of a cavity and none on the other: one of them was read in the wrong direction."""
    for (part, pin), halves in wires_at_cavities(platform).items():
        for half, other in (("a", "l"), ("l", "a")):
            wires = halves.get(half, ())
            if len(wires) > 1 and not halves.get(other) and part not in platform.doubted:
                does, other_does = ("arrive", "leaves") if half == "a" else ("leave", "arrives")
                yield Problem(
                    "cavity-one-side",
                    Severity.WARNING,
                    f"{len(wires)} wires {does} at {_name(part, pin)} and none {other_does}.",
                    wires[-1].spans[0],
                    advice="A wire is written from supply to load; the two halves are told by that.",
                    related=(Related(wires[0].spans[0], "the other one"),),
                )


def cavities_beyond_the_last(platform: Platform) -> Iterator[Problem]:
    """A wire at a cavity that the connector does not have, where it was said how many it has."""
    for (part, pin), halves in wires_at_cavities(platform).items():
        its = platform.parts[part]
        if isinstance(its, Joint) and its.cavities and pin.isdecimal() and not 1 <= int(pin) <= its.cavities:
            wires = [*halves.get("a", ()), *halves.get("l", ())]
            yield Problem(
                "no-such-cavity",
                Severity.WARNING,
                f"{_name(part, pin)}: {part} has {its.cavities} cavities.",
                wires[0].spans[0],
                related=(Related(its.span, "said here"),),
            )


def connectors_without_cavities(platform: Platform) -> Iterator[Problem]:
    """A connector that several wires arrive at and leave, with no cavity named for any of them: all of them are
    joined."""
    for (part, pin), halves in wires_at_cavities(platform).items():
        if not _is_joined_by_name(pin, halves) or part in platform.doubted:
            continue
        arriving = halves["a"]
        yield Problem(
            "cavity-needed",
            Severity.WARNING,
            f"Wires to {part} name no cavity: all of them are joined.",
            arriving[1].spans[0],
            advice=f"Say the cavity of each: {part}.1, {part}.2.",
            related=(Related(arriving[0].spans[0], "the first one"),),
        )


def _is_joined_by_name(pin: str, halves: dict[str, list[Wire]]) -> bool:
    return not pin and all(len(halves.get(half, ())) > 1 for half in ("a", "l"))


def colours_changing(platform: Platform) -> Iterator[Problem]:
    """Wires of different colours on one half of a cavity; or, as a note, a colour that changes in the connector."""
    changing: dict[str, list[tuple[str, Wire, Wire]]] = {}
    for (part, pin), halves in wires_at_cavities(platform).items():
        if part in platform.doubted or _is_joined_by_name(pin, halves):
            continue
        odd = False
        for half, other in (("a", "l"), ("l", "a")):
            coloured = [wire for wire in halves.get(half, ()) if wire.colour]
            different = [wire for wire in coloured if wire.colour != coloured[0].colour]
            if different and halves.get(other):
                odd = True
                side = "arriving" if half == "a" else "leaving"
                yield Problem(
                    "colour-change-on-half",
                    Severity.WARNING,
                    f"The {side} half of {_name(part, pin)} has wires of different colours: "
                    f"{coloured[0].colour_written} and {different[0].colour_written}.",
                    different[0].spans[0],
                    related=(Related(coloured[0].spans[0], coloured[0].colour_written),),
                )
        arriving = [wire for wire in halves.get("a", ()) if wire.colour]
        leaving = [wire for wire in halves.get("l", ()) if wire.colour]
        if arriving and leaving and not odd and arriving[0].colour != leaving[0].colour:
            changing.setdefault(part, []).append((pin, arriving[0], leaving[0]))
    for part, cavities in changing.items():
        said = listed(f"{_name(part, pin)} ({a.colour_written} to {b.colour_written})" for pin, a, b in cavities)
        yield Problem(
            "colour-change",
            Severity.NOTE,
            f"The colour changes in the connector: {said}.",
            cavities[0][2].spans[0],
            related=(Related(cavities[0][1].spans[0], cavities[0][1].colour_written),),
        )


def wires_at_cavities(platform: Platform) -> dict[Cavity, dict[str, list[Wire]]]:
    """The wires at each half (`a` arriving, `l` leaving) of each cavity, as they were written."""
    found: dict[Cavity, dict[str, list[Wire]]] = {}
    for wire in platform.wires:
        if wire.kind == "wire":
            for terminal in (wire.a, wire.b):
                if terminal.half:
                    halves = found.setdefault((terminal.part, terminal.pin), {})
                    halves.setdefault(terminal.half, []).append(wire)
    for halves in found.values():
        for wires in halves.values():
            if len(wires) > 1:
                wires.sort(key=lambda its: its.spans[0])
    return found


def _name(part: str, pin: str) -> str:
    return f"{part}.{pin}" if pin else part

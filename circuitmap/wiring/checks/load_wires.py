"""Wires at a load that are too thin for what it takes, whatever fuse is before them: the ground wire above all, which
is compared with no fuse."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.ampacity import most_amperes
from circuitmap.wiring.parts import Load, Terminal
from circuitmap.wiring.platform import Platform, Wire


def wires_thinner_than_their_load(platform: Platform) -> Iterator[Problem]:
    for load in platform.loads:
        if load.running is None or load.name in platform.doubted:
            continue
        ends = [(wire, end) for wire in platform.wires_at.get(load.name, ()) for end in (wire.a, wire.b)]
        at_pins: dict[Terminal, list[Wire]] = {}
        for wire, end in ends:
            if end.part == load.name:
                at_pins.setdefault(end, []).append(wire)
        for pin, wires in at_pins.items():
            takes = _takes(load, pin)
            carries = most_amperes(wires[0].size) if len(wires) == 1 and wires[0].size is not None else None
            if takes is not None and carries is not None and takes > carries.stands:
                wire = wires[0]
                yield Problem(
                    "wire-too-thin",
                    Severity.WARNING,
                    f"{wire.size_written} carries at most {carries.amperes:g} A; {load.name} takes up to {takes:g} A, "
                    "as typed.",
                    wire.spans[0],
                    related=(Related(load.span, f"{load.name} is declared here"),),
                )


def _takes(load: Load, pin: Terminal) -> float | None:
    """The most that flows at a pin: at a ground pin what the hungriest supply pin takes, because they need not be on
    together. None where several pins share it, or nothing tells."""
    role = load.roles.get(pin.pin, "")
    if role == "supply" and load.running_at:
        its = load.running_at.get(pin.pin)
        return its.high if its is not None else None
    if role not in ("supply", "ground") or len(load.pins_with(role)) > 1 or load.running is None:
        return None
    return max((its.high for its in load.running_at.values()), default=load.running.high)

"""Which contacts are open in a car that is parked, shut and asleep, told from their kind alone."""

from dataclasses import replace

from circuitmap.circuit.link import Link
from circuitmap.circuit.path import Path
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def opens_when_parked(platform: Platform, link: Link) -> bool:
    """A relay's make contact, a switch contact that its rest position leaves open, an output that is not always on.

    A relay is taken to be at rest: evaluating the circuit would find one that is pulled in all the time.
    """
    if link.output is not None:
        return link.output.when != "always"
    if link.energised is not None:
        return link.energised
    switch = platform.parts.get(link.part)
    return bool(link.contact) and isinstance(switch, Switch) and not {*switch.positions[:1]} & {*link.closed_in}


def opened_by(platform: Platform, path: Path) -> tuple[str, ...]:
    """The contacts on a way that are open when parked."""
    return tuple(dict.fromkeys(step.link.contact for step in path.steps if opens_when_parked(platform, step.link)))


def told_apart(platform: Platform, ways: list[Path]) -> list[Path]:
    """The same ways to one place, marked `second` where they come from a battery that does not normally drive it."""
    if len({path.start for path in ways if path.known}) < 2:
        return ways
    needed = [frozenset(opened_by(platform, path)) for path in ways]
    main = [(path.start, needs) for path, needs in zip(ways, needed, strict=True) if path.known]
    return [
        replace(path, second=True) if any(start != path.start and its < needs for start, its in main) else path
        for path, needs in zip(ways, needed, strict=True)
    ]


def open_when_parked(platform: Platform, path: Path, part: str) -> str:
    """The first contact after `part` on a way that is open when parked; empty when the way conducts from there on."""
    after = 0
    for number, step in enumerate(path.steps):
        if part in (step.start.part, step.end.part):
            after = number + 1
    # A contact may be `part` itself: what is behind it hangs on it whether it is open or closed.
    return next((s.link.contact for s in path.steps[after:] if opens_when_parked(platform, s.link)), "")

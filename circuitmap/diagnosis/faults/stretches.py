"""The wiring behind a fuse, cut where it can be parted: at each connector and each diode. What lies beyond one of them
ends with it; so whoever parts it learns on which side of it a wire is chafed, or something hangs that is on no sheet.

Stretches are told as one until one of their plugs was out.
"""

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from circuitmap.diagnosis.car.live_wires import LiveWire
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.input_wires import parts_a_wire


class Stretch(NamedTuple):
    """Some wires behind one fuse, that the same plugs part from it.

    `share` is theirs among all of them: no sheet prints lengths, so each wire counts the same (judgement). `through` is
    all that its current passes, `ends` are the terminals of its wires, or the plugs before it where nobody typed in
    what is behind them. `where` tells it from the others, as far as plugs were out: ` from X61 to X70`."""

    share: float
    through: frozenset[str]
    ends: tuple[str, ...]
    where: str
    at_the_fuse: bool


def stretches_behind(parked: Parked, fuse: str, way: Way) -> tuple[Stretch, ...]:
    """The stretches of the wiring behind a fuse, given the way to its outgoing side; empty where nothing parts it."""
    wires = parked.wires_behind.get(parked.place_of(fuse), ())
    before: dict[str, frozenset[str]] = {}  # for each plug those before it
    groups: dict[frozenset[str], list[LiveWire]] = {frozenset(): []}
    for one in wires:
        plugs = frozenset(name for name in one.way.through - way.through if parts_a_wire(parked.platform, name))
        groups.setdefault(plugs, []).append(one)
        if parts_a_wire(parked.platform, one.far.part) and one.far.part not in plugs:
            before.setdefault(one.far.part, plugs)
    if not before:
        return ()
    for plug, plugs in before.items():
        if not any(plug in group for group in groups):
            groups[plugs | {plug}] = []
    whole = sum(max(len(its), 1) for its in groups.values())
    cavities = _cavities(wires, before)
    told = {plug for plug in before if not parked.told_apart.isdisjoint((plug, *cavities[plug]))}
    found = []
    for plugs, its in groups.items():
        passed = frozenset.intersection(*(one.way.through for one in its)) if its else frozenset[str]()
        alone = (cavities[plug] for plug in plugs if len(cavities.get(plug, ())) == 1)
        ends = dict.fromkeys(str(end) for one in its for end in (one.near, one.far)) or dict.fromkeys(sorted(plugs))
        where = _where(plugs & told, before, told) if told else ""
        through = way.through.union(passed, plugs, *alone)
        found.append(Stretch(max(len(its), 1) / whole, through, tuple(ends), where, not plugs))
    return tuple(found)


def _cavities(wires: Iterable[LiveWire], plugs: Collection[str]) -> dict[str, frozenset[str]]:
    """The cavities of each plug by which these wires pass it."""
    found: dict[str, set[str]] = {plug: set() for plug in plugs}
    for its in wires:
        for end in (its.near, its.far):
            if end.part in found and end.pin:
                found[end.part].add(str(end))
    return {plug: frozenset(its) for plug, its in found.items()}


def _where(passed: frozenset[str], before: Mapping[str, frozenset[str]], told: Collection[str]) -> str:
    """Between which of the plugs that were out a stretch lies that passes some of them."""
    last = sorted(plug for plug in passed if not any(plug in before[other] for other in passed))
    next_ones = sorted(plug for plug in told if plug not in passed and before[plug] & set(told) == passed)
    to = " and ".join(next_ones)
    if not last:
        return f" as far as {to}"
    return f" from {' and '.join(last)} to {to}" if to else f" beyond {' and '.join(last)}"

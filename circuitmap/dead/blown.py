"""Where the short is that a fuse blew for: on the metal behind its outgoing side in the state in which it blows, and
not on what was behind it, too, when it held.
"""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED, Circuit
from circuitmap.circuit.path import PROTECTIVE
from circuitmap.dead.half_interval import Splitting, first_test
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import NO
from circuitmap.power.state import VehicleState
from circuitmap.power.state_for import FurtherChange, changed
from circuitmap.wiring.parts import Joint, Switch, Terminal

ShortKind = Literal["wire", "cavity", "contact", "load", "other"]
SHORT_SHARE: Mapping[ShortKind, float] = {"wire": 0.5, "load": 0.3, "cavity": 0.2, "contact": 0.1, "other": 0.05}
"""How often each kind of thing is what is shorted (judgement): a chafed wire before a motor that sticks or water in a
plug."""
_PART, _SWITCH, _UNPLUG = 4.0, 1.0, 5.0
"""Minutes to part a plug, to turn a switch, to take a load's plug off, where nobody said how far it is (judgement)."""


class ToldOfFuse(NamedTuple):
    """In which positions a fuse blows, or holds (`works`)."""

    name: str
    works: bool
    said: tuple[FurtherChange, ...] = ()

    @property
    def words(self) -> str:
        return self.name + "".join(f" with {its.what} at {its.to}" for its in self.said)


class ShortAt(NamedTuple):
    """One place where it may be: a link by its number, or a load (`load`), and how likely."""

    kind: ShortKind
    link: int
    load: str
    odds: float


class Parting(NamedTuple):
    """One thing to do with the fuse out, the meter between its outgoing side and ground: part a plug, turn a switch
    back, take a load off. `behind` are the places that are off the meter then."""

    how: Literal["plug", "switch", "load"]
    part: str
    minutes: float
    behind: tuple[ShortAt, ...]
    before: tuple[ShortAt, ...]


@dataclass(frozen=True)
class BlownFuse:
    """The answer: `places` likeliest first, `cleared` links that were behind the fuse while it held, what to part first
    and then, `loads` all that takes current there (their ohms are in a row with nothing: the meter sees them, too)."""

    circuit: Circuit
    fuse: str
    told: tuple[ToldOfFuse, ...]
    state: VehicleState
    places: tuple[ShortAt, ...]
    cleared: tuple[int, ...]
    partings: tuple[Parting, ...]
    loads: tuple[str, ...]


def blown_fuse(circuit: Circuit, said: VehicleState, told: Sequence[ToldOfFuse]) -> BlownFuse:
    """Where the short of one fuse may be. What it blew in decides, and what it held in."""
    fuse = told[0].name
    blew = [evaluate(circuit, changed(circuit, said, its.said)) for its in told if not its.works]
    held = [evaluate(circuit, changed(circuit, said, its.said)) for its in told if its.works]
    behind = [_Behind(its, fuse) for its in blew]
    before = [_Behind(its, fuse) for its in held]
    common = behind[0]
    links = [i for i in common.links if all(i in its.links for its in behind)]
    cleared = tuple(i for i in links if any(i in its.links for its in before))
    loads = [name for name in common.loads if all(name in its.loads for its in behind)]
    places = [(_kind(circuit, i), i, "") for i in links if i not in cleared]
    places += [("load", -1, name) for name in loads if not any(name in its.loads for its in before)]
    shares = [SHORT_SHARE[kind] for kind, _, _ in places]
    whole = sum(shares) or 1.0
    found = tuple(ShortAt(*its, share / whole) for its, share in zip(places, shares, strict=True))
    return BlownFuse(
        circuit, fuse, tuple(told), blew[0].state, found, cleared, _partings(blew[0], fuse, found), tuple(loads)
    )  # fmt: skip


class _Behind:
    """What hangs on a fuse's outgoing side in a state, nearest first: `links` and `loads` (by their supply pins)."""

    def __init__(self, powered: Powered, fuse: str, without: frozenset[int] = frozenset()) -> None:
        circuit = powered.circuit
        start = circuit.number.get(Terminal(fuse, "2"))
        nodes = dict.fromkeys(() if start is None else (start,))
        links: dict[int, None] = {}
        queue = deque(nodes)
        while queue:
            here = queue.popleft()
            for i in circuit.at[here]:
                link = circuit.links[i]
                if i in without or link.kind in NEVER_CROSSED or link.kind in PROTECTIVE or link.kind == "body":
                    continue
                a, b = circuit.ends[i]
                if level_of(powered, i) == NO or (link.one_way and here != a):
                    continue
                links[i] = None
                there = b if here == a else a
                if there not in nodes:
                    nodes[there] = None
                    queue.append(there)
        self.nodes, self.links = nodes, links
        supplies = {circuit.number[pin]: name for name, pins in circuit.loads.items() for pin in pins.supplies
                    if pin in circuit.number}  # fmt: skip
        coils = {circuit.ends[i][0]: link.part for i, link in enumerate(circuit.links) if link.kind == "coil"}
        self.loads = dict.fromkeys(its for node in nodes if (its := supplies.get(node) or coils.get(node)))


def _kind(circuit: Circuit, i: int) -> ShortKind:
    link = circuit.links[i]
    if link.wire is not None:
        return "wire"
    if link.kind == "cavity":
        return "cavity"
    return "contact" if link.contact else "other"


def _partings(blew: Powered, fuse: str, places: tuple[ShortAt, ...]) -> tuple[Parting, ...]:
    """What can be parted, the first one to do first."""
    circuit = blew.circuit
    parts = circuit.platform.parts
    ways: list[tuple[Literal["plug", "switch", "load"], str, frozenset[int]]] = []
    for i in dict.fromkeys(its.link for its in places if its.link >= 0):
        part = parts.get(circuit.links[i].part)
        if isinstance(part, Joint) and part.kind == "connector":
            ways.append(("plug", part.name, frozenset(circuit.inside.get(part.name, ()))))
        elif isinstance(part, Switch) and circuit.links[i].contact:
            ways.append(("switch", part.name, frozenset((i,))))
    found: dict[str, Parting] = {}
    hands_off = circuit.hands_off
    for how, name, opened in ways:
        if hands_off.may_touch(name) and name not in found:
            left = _Behind(blew, fuse, opened)
            off = [
                its for its in places if (its.link not in left.links if its.link >= 0 else its.load not in left.loads)
            ]
            found[name] = _parting(how, name, _minutes_to(blew, name, _PART if how == "plug" else _SWITCH), off, places)
    for its in places:
        if its.load and hands_off.may_touch(its.load):
            found[its.load] = _parting("load", its.load, _minutes_to(blew, its.load, _UNPLUG), [its], places)
    telling = [its for its in found.values() if its.behind and its.before]
    plan = first_test(
        [its.odds for its in places],
        [Splitting(its.minutes, tuple(int(one in its.behind) for one in places)) for its in telling],
    )
    if plan.first is None:
        return tuple(telling)
    first = telling[plan.first]
    return (first, *(its for its in telling if its is not first))


def _parting(
    how: Literal["plug", "switch", "load"], name: str, minutes: float, off: Sequence[ShortAt], places: Sequence[ShortAt]
) -> Parting:
    return Parting(how, name, minutes, tuple(off), tuple(its for its in places if its not in off))


def _minutes_to(powered: Powered, name: str, usual: float) -> float:
    reach = powered.circuit.platform.parts[name].reach
    return usual + (reach.middle if reach is not None else 0.0)

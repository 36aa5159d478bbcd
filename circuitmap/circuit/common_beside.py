"""What belongs to the circuit of a fuse beside the way of its current: the plugs that the other wires of its modules
pass, the modules that switch what hangs on it, and which fuses have a feed in common when not all have."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.circuit.feeding import SIGNALS, Feeding, Taking
from circuitmap.circuit.isolation import CommonSupply, common_supply
from circuitmap.circuit.links import LinkKind
from circuitmap.circuit.path import Path
from circuitmap.circuit.worked_by import working
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Joint, Load, Switch, Terminal
from circuitmap.wiring.platform import Platform

_CARRIES: frozenset[LinkKind] = frozenset(("wire", "cavity", "joint"))
_SIGNAL_ROLES = ("wake", "sense", "signal", "network")


class FeedOfSome(NamedTuple):
    """Some of the fuses, and the feed that these have in common."""

    fuses: tuple[str, ...]
    supply: CommonSupply


class BesideTheCurrent:
    """Looked up once for each part and relay of one question."""

    def __init__(self, feeding: Feeding) -> None:
        self._feeding = feeding
        self._cavities: dict[str, tuple[str, ...]] = {}
        self._workers: dict[str, tuple[str, ...]] = {}

    def signal_cavities(self, part: str) -> tuple[str, ...]:
        """The cavities that the wires of a load's inputs and networks pass, and those on the ways from its inputs to
        ground. What plus comes to hangs on the fuse that it comes from, and is told there."""
        if part not in self._cavities:
            self._cavities[part] = tuple(dict.fromkeys(self._signal_cavities(part)))
        return self._cavities[part]

    def _signal_cavities(self, part: str) -> Iterator[str]:
        feeding = self._feeding
        its = feeding.circuit.platform.parts.get(part)
        roles = its.roles if isinstance(its, Load) else {}
        for pin in (Terminal(part, name) for name, role in roles.items() if role in _SIGNAL_ROLES):
            if feeding.supply.to(pin).direct:
                continue
            for path in feeding.grounded_inputs[pin].direct if pin in feeding.grounded_inputs else ():
                yield from path.cavities
            yield from self._along_the_wires(pin)

    def _along_the_wires(self, pin: Terminal) -> Iterator[str]:
        circuit, fitting = self._feeding.circuit, self._feeding.fitting
        parts = circuit.platform.parts
        start = circuit.number.get(pin)
        todo = [] if start is None else [start]
        seen = set(todo)
        while todo:
            here = todo.pop()
            its = parts.get(circuit.nodes[here].part)
            if here != start and not (isinstance(its, Joint) and its.kind != "bar"):
                continue  # another load, a contact, a ground point, a bar: the wire ends there
            for i in circuit.at[here]:
                link = circuit.links[i]
                if link.kind not in _CARRIES or link.part == pin.part or holds(link.condition, fitting) == Answer.NO:
                    continue
                if link.kind == "cavity":
                    yield str(link.a)
                new = {*circuit.ends[i]} - seen
                seen |= new
                todo += new

    def switching(self, takings: Iterable[Taking], fuse: str, grounds: Mapping[str, Sequence[Path]]) -> Iterator[str]:
        """The modules whose outputs pull the relays behind a fuse, or give what hangs on it its ground."""
        for taking in takings:
            for path in taking.ahead(fuse):
                after = path.parts[path.parts.index(fuse) :] if fuse in path.parts else ()
                for link in path.contacts:
                    if link.energised is not None and link.part in after:
                        yield from self._pulling(link.part, link.contact)
            for path in grounds.get(taking.part, ()) if taking.kind in ("load", "reversed", "coil") else ():
                yield from (link.output.module for link in path.contacts if link.output is not None)

    def _pulling(self, relay: str, contact: str) -> tuple[str, ...]:
        if relay not in self._workers:
            its = next((its for its in working(self._feeding, (contact,))[0] if its.part == relay), None)
            ways = [path for pin in its.pins for path in (*pin.supply, *pin.ground)] if its else []
            outputs = (link.output for path in ways for link in path.contacts if link.output is not None)
            self._workers[relay] = tuple(dict.fromkeys(output.module for output in outputs))
        return self._workers[relay]


def feeds_of_some(feeding: Feeding, main: Mapping[str, Sequence[Path]]) -> tuple[FeedOfSome, ...]:
    """Where the fuses have no feed in common: those that the same batteries normally feed, and what these share."""
    groups: dict[frozenset[str], list[str]] = {}
    for fuse, paths in main.items():
        groups.setdefault(frozenset(path.start.part for path in paths if path.known), []).append(fuse)
    found = (FeedOfSome(tuple(its), common_supply(feeding, its)) for by, its in groups.items() if by and len(its) > 1)
    return tuple(its for its in found if its.supply.nearest is not None)


def fed_by_an_output(taking: Taking, fuse: str) -> bool:
    """It is an input to which only the output of another module brings the fuse's plus: its own module does not draw
    from there, so that module's ground is none of the fuse."""
    ways = taking.ahead(fuse)
    outputs = [any(link.output is not None for link in path.contacts) for path in ways]
    return taking.kind in SIGNALS and bool(ways) and all(outputs)


def positions_apart(
    platform: Platform, switch: str, takings: Mapping[str, Sequence[Taking]]
) -> Mapping[str, tuple[str, ...]]:
    """The positions in which the ways behind each fuse pass a switch, where no two of the fuses share one."""
    its = platform.parts.get(switch)
    if not isinstance(its, Switch) or len(takings) < 2:
        return {}
    closed = {
        fuse: {
            position
            for taking in on
            for path in taking.ahead(fuse)
            for link in path.contacts
            if link.part == switch
            for position in link.closed_in
        }
        for fuse, on in takings.items()
    }
    every = [position for positions in closed.values() for position in positions]
    if not all(closed.values()) or len(every) != len({*every}):
        return {}
    return {fuse: tuple(at for at in its.positions if at in positions) for fuse, positions in closed.items()}

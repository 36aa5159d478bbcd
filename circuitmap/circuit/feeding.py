"""Which fuses feed what: every place where current is taken, with all ways from the batteries to it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from circuitmap.circuit.demands import DemandSubject
from circuitmap.circuit.link import UNDRAWN_GROUND_PIN, Link
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.parked import told_apart
from circuitmap.circuit.path import PROTECTIVE, Path, Paths, ahead_of
from circuitmap.circuit.ways import Ways
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Fuse, Load, OpenEnd, Part, Relay, Switch, Terminal
from circuitmap.wiring.platform import Output

TakingKind = Literal["load", "wake", "sense", "control", "signal", "coil", "open end", "end", "reversed", "battery"]
SIGNALS: tuple[TakingKind, ...] = ("wake", "sense", "control")
"""Pins that get plus without feeding the part: they are told as hanging on their fuse, but draw next to nothing."""


class Taking(NamedTuple):
    """A place where current is or may be taken, and every way from a battery to it.

    `kind`: a `load`'s supply pin; its `wake`, `sense` or `control` pin; a relay's `coil`; an `open end`, behind which
    an unknown load is; an `end`, a fuse, contact or output behind which nothing was typed in; `reversed`, the ground
    pin of a two-terminal load that is also fed in some state (a motor that runs both ways); the `battery` at the far
    end of a way from another one. A `signal` is a pin that was said to take nothing: only what a way leads to.
    """

    part: str
    terminal: Terminal
    kind: TakingKind
    paths: Paths

    def through(self, part: str) -> tuple[Path, ...]:
        """The main ways on which current passes `part` and goes on."""
        return tuple(path for path in self.paths.main if path.end.part != part and path.passes(part))

    def ahead(self, part: str) -> tuple[Path, ...]:
        """As `through`, of the ways that do not run back through a fuse."""
        return tuple(path for path in self.ways_ahead if path.end.part != part and path.passes(part))

    def also_through(self, part: str) -> tuple[Path, ...]:
        """Like `through`, but from a battery that does not normally drive this place."""
        second = (path for path in self.paths.direct if path.second)
        return tuple(path for path in second if path.end.part != part and path.passes(part))

    @property
    def ways_ahead(self) -> tuple[Path, ...]:
        """The main ways that do not run back through a fuse; all of them, where every one does."""
        return ahead_of(self.paths.main)

    @property
    def fuses(self) -> tuple[str, ...]:
        """Every fuse that it hangs on, the ones nearest the battery first: not those that only feed it backwards."""
        return tuple(dict.fromkeys(fuse for path in self.ways_ahead for fuse in path.fuses))

    @property
    def last_fuses(self) -> tuple[str, ...]:
        """The fuses that it hangs on directly, with no other in between."""
        return tuple(dict.fromkeys(path.fuses[-1] for path in self.ways_ahead if path.fuses))

    @property
    def unfused(self) -> bool:
        """Some way from a battery passes no fuse."""
        return any(path.known and not path.fuses for path in self.paths.direct)


@dataclass(frozen=True)
class Feeding:
    """All places where current is taken in one circuit with one fitting, each with its ways from the batteries."""

    circuit: Circuit
    fitting: Fitting
    supply: Ways
    ground: Ways

    @cached_property
    def takings(self) -> tuple[Taking, ...]:
        return tuple(Taking(end.part, end, kind, self.supply.to(end)) for end, kind in self._ends())

    @cached_property
    def not_followed(self) -> bool:
        """Whether some place where current is taken was not followed to its fuses, because there is too much."""
        return any(taking.paths.cut_off and not taking.paths.paths for taking in self.takings)

    @cached_property
    def between_batteries(self) -> tuple[Path, ...]:
        """Every way (not roundabout) from the post of one battery to that of another; each runs either way."""
        posts = self.supply.known_ends
        return tuple(path for post in posts for path in self.supply.to(post).direct if path.steps)

    @cached_property
    def between_batteries_over(self) -> Mapping[str, tuple[Path, ...]]:
        """The ways between two batteries, by each part that they touch; those with the fewest contacts first."""
        found: dict[str, list[Path]] = {}
        for path in sorted(self.between_batteries, key=lambda path: len(path.contacts)):
            for part in path.parts:
                found.setdefault(part, []).append(path)
        return {part: tuple(paths) for part, paths in found.items()}

    @cached_property
    def of_part(self) -> Mapping[str, tuple[Taking, ...]]:
        found: dict[str, list[Taking]] = {}
        for taking in self.takings:
            found.setdefault(taking.part, []).append(taking)
        return {part: tuple(takings) for part, takings in found.items()}

    @cached_property
    def on_fuse(self) -> Mapping[str, tuple[Taking, ...]]:
        """What hangs on each fuse, also through other fuses. A fuse with nothing on it is there too, with an empty
        list."""
        found: dict[str, dict[Terminal, Taking]] = {fuse.name: {} for fuse in self.circuit.platform.fuses}
        for taking in self.takings:
            for fuse in taking.fuses:
                if fuse != taking.part:
                    found[fuse][taking.terminal] = taking
        return {fuse: tuple(takings.values()) for fuse, takings in found.items()}

    @cached_property
    def passing(self) -> Mapping[str, tuple[Taking, ...]]:
        """For each part, the places where current is taken that some main way through it leads to, or that belong to
        it."""
        found: dict[str, dict[int, Taking]] = {}
        for number, taking in enumerate(self.takings):
            for path in taking.paths.main:
                for part in path.parts:
                    found.setdefault(part, {})[number] = taking
        return {part: tuple(takings.values()) for part, takings in found.items()}

    @cached_property
    def ground_paths(self) -> Mapping[Terminal, Paths]:
        """Ways to ground from every ground pin of a load and from both sides of every coil."""
        return {end: grounded(self.back_from(end.part).to(end)) for end in self._ground_ends()}

    @cached_property
    def ways_back_of(self) -> Mapping[str, tuple[tuple[Terminal, Path], ...]]:
        """The ways to ground of each part's pins, coils and grounded inputs, each with its pin."""
        found: dict[str, list[tuple[Terminal, Path]]] = {}
        for end, paths in (*self.ground_paths.items(), *self.grounded_inputs.items()):
            found.setdefault(end.part, []).extend((end, path) for path in paths.direct)
        return {part: tuple(its) for part, its in found.items()}

    @cached_property
    def grounded_over(self) -> Mapping[str, tuple[str, ...]]:
        """For each part, those some of whose ways to ground pass it."""
        found: dict[str, dict[str, None]] = {}
        for name, its in self.ways_back_of.items():
            for part in dict.fromkeys(part for _, path in its for part in path.parts):
                found.setdefault(part, {})[name] = None
        return {part: tuple(names) for part, names in found.items()}

    @cached_property
    def made_for(self) -> Mapping[str, Output]:
        """The loads and relays whose plus is a voltage that some module makes itself, each with that output."""
        found: dict[str, dict[str, Output]] = {}
        others: set[str] = set()
        for taking in self.takings:
            for path in taking.paths.direct if taking.kind in ("load", "reversed", "coil") else ():
                made = [its for link in path.contacts if (its := link.output) is not None and its.volts]
                if made:
                    found.setdefault(taking.part, {})[made[-1].module] = made[-1]
                else:
                    others.add(taking.part)
        return {part: next(iter(its.values())) for part, its in found.items() if len(its) == 1 and part not in others}

    @cached_property
    def _back_to(self) -> dict[str, Ways]:
        return {}

    def back_from(self, part: str) -> Ways:
        """The ways on which current returns from a part: to the batteries, or to the module that makes its voltage."""
        if not any(output.volts for output in self.circuit.platform.outputs) or part not in self.made_for:
            return self.ground
        module = self.made_for[part].module
        if module not in self._back_to:
            pins = self.circuit.loads[module].grounds
            self._back_to[module] = Ways(self.circuit, self.fitting, "ground", pins)
        return self._back_to[module]

    @cached_property
    def grounded_inputs(self) -> Mapping[Terminal, Paths]:
        """Ways to a ground that is typed in, from every wake, sense and control pin."""
        found = {}
        for name in self.circuit.loads:
            for end in self._signal_pins(name) if self.fitted(name) else ():
                ways = self.ground.to(end)
                known = tuple(path for path in ways.direct if path.known and path.steps)
                if known:
                    found[end] = Paths(known, ways.cut_off)
        return found

    def fitted(self, name: str) -> bool:
        """Whether a part is, or may be, in this car."""
        part = self.circuit.platform.parts.get(name)
        return part is None or holds(part.condition, self.fitting) != Answer.NO

    def feeds_of(self, name: str) -> tuple[Path, ...]:
        """The ways (not roundabout) from a battery into a part: to a fuse's feed, a contact, a load's pins, a splice.

        A way that already went through the part does not count, nor does a way to a fuse's outgoing side from a battery
        that is also on its feed.
        """
        found: list[Path] = []
        for end in self.circuit.terminals_of.get(name, ()):
            found += self.ways_into(end)
        direct = [path for path in found if not path.roundabout]
        platform = self.circuit.platform
        # A fuse is one place, whichever side of it is fed.
        return tuple(told_apart(platform, direct) if isinstance(platform.parts.get(name), Fuse) else direct)

    def ways_into(self, end: Terminal) -> tuple[Path, ...]:
        """Like `feeds_of`, but to one terminal, and including the roundabout ones."""
        paths = into(self.circuit, self.supply, end).paths
        for link in self.circuit.links_at(end):
            if link.part == end.part and link.kind in PROTECTIVE and link.b == end:
                before = {path.start for path in into(self.circuit, self.supply, link.a).direct}
                return tuple(path for path in paths if path.start not in before)
        return paths

    def _ends(self) -> Iterator[tuple[Terminal, TakingKind]]:
        circuit, parts = self.circuit, self.circuit.platform.parts
        for name, pins in circuit.loads.items():
            if not self.fitted(name):
                continue
            for pin in pins.supplies:
                yield pin, "load"
            if len(pins.supplies) == len(pins.grounds) == 1 and pins.grounds[0].pin != UNDRAWN_GROUND_PIN:
                ground = pins.grounds[0]
                if self.supply.to(ground).direct:
                    yield ground, "reversed"
            yield from self._signals(name)
        for name, part in parts.items():
            if not self.fitted(name):
                continue
            if isinstance(part, Relay):
                for side in (Terminal(name, pin) for pin in part.coil):
                    if any(self.supply.to(side)):
                        yield side, "coil"
            elif isinstance(part, OpenEnd) and not part.from_supply:
                for end in circuit.terminals_of.get(name, ()):
                    if any(self.supply.to(end)):
                        yield end, "open end"
        for end, links in self._dead_ends():
            part_there = parts.get(end.part)
            if _ends_a_circuit(part_there, links[0]) and self.fitted(end.part) and any(self.supply.to(end)):
                yield end, "end"

    def _signals(self, name: str) -> Iterator[tuple[Terminal, TakingKind]]:
        for pin, role in self._signal_pins(name).items():
            if any(self.supply.to(pin)):
                yield pin, role

    def _signal_pins(self, name: str) -> Mapping[Terminal, TakingKind]:
        part = self.circuit.platform.parts[name]
        roles = part.roles.items() if isinstance(part, Load) else ()
        return {
            Terminal(name, pin): role for pin, role in roles if role == "wake" or role == "sense" or role == "control"
        }

    @cached_property
    def at_signals(self) -> tuple[Taking, ...]:
        """Pins that were said to be signals, to which plus comes: D+ behind the charge lamp."""
        loads = (part for part in self.circuit.platform.loads if self.fitted(part.name))
        ends = (Terminal(its.name, pin) for its in loads for pin in its.pins_with("signal"))
        return tuple(Taking(end.part, end, "signal", self.supply.to(end)) for end in ends if any(self.supply.to(end)))

    def _dead_ends(self) -> Iterator[tuple[Terminal, tuple[Link, ...]]]:
        circuit = self.circuit
        unknown = circuit.unknown_supplies
        for terminal, at in zip(circuit.nodes, circuit.at, strict=True):
            if len(at) == 1 and terminal not in unknown:
                yield terminal, (circuit.links[at[0]],)

    def _ground_ends(self) -> Iterator[Terminal]:
        for name, pins in self.circuit.loads.items():
            if self.fitted(name):
                yield from pins.grounds
                if len(pins.supplies) == len(pins.grounds) == 1 and self.ground.to(pins.supplies[0]).direct:
                    yield pins.supplies[0]
        for name, part in self.circuit.platform.parts.items():
            if isinstance(part, Relay) and self.fitted(name):
                for pin in part.coil:
                    yield Terminal(name, pin)


def _ends_a_circuit(part: Part | None, link: Link) -> bool:
    return isinstance(part, (Fuse, Relay, Switch)) and (link.kind in PROTECTIVE or link.kind == "contact")


def grounded(ways: Paths) -> Paths:
    """Ways to ground without those to places that nobody typed in, where a typed one conducts whenever they do (in a
    car that is equipped so): a minus strip that goes on to another sheet is grounded here."""
    known = {frozenset(_positions(path)) for path in ways.direct if path.known}
    return ways._replace(
        paths=tuple(path for path in ways.paths if path.known or not any(its <= _positions(path) for its in known))
    )


def _positions(path: Path) -> set[tuple[DemandSubject, frozenset[str]]]:
    """What must hold for a way to conduct, equipment left aside."""
    return {(subject, states) for subject, states in path.demands.items() if subject.kind != "option"}


def into(circuit: Circuit, ways: Ways, end: Terminal) -> Paths:
    """Ways to a terminal from outside its part, so that a fuse's outgoing side is not fed by the fuse itself."""
    number = circuit.number.get(end)
    if number is None:
        return Paths(())
    links = circuit.links
    own = frozenset(
        i for i in circuit.at[number] if links[i].part == end.part and links[i].kind not in ("joint", "body")
    )
    return ways.to(end, without=own)


def feeding_of(circuit: Circuit, fitting: Fitting | None = None) -> Feeding:
    fitting = {} if fitting is None else fitting
    return Feeding(circuit, fitting, Ways(circuit, fitting, "supply"), Ways(circuit, fitting, "ground"))


def hanging_on(feeding: Feeding, fuse: str) -> tuple[str, ...]:
    """The loads that hang on a fuse, also through other fuses."""
    return tuple(dict.fromkeys(taking.part for taking in _loads(feeding.on_fuse.get(fuse, ()))))


def _loads(takings: Iterable[Taking]) -> Iterator[Taking]:
    return (taking for taking in takings if taking.kind in ("load", "reversed"))

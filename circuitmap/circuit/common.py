"""What the fuses that draw have in common, each candidate held against the fuses that are quiet."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Literal, NamedTuple

from circuitmap.circuit.common_beside import (
    BesideTheCurrent,
    FeedOfSome,
    fed_by_an_output,
    feeds_of_some,
    positions_apart,
)
from circuitmap.circuit.common_networks import NetworksInCommon, SharedNetwork, copied_members
from circuitmap.circuit.demands import Demands
from circuitmap.circuit.feed_ways import (
    Above,
    Join,
    Needs,
    Partly,
    SecondFeed,
    batteries_joined_by,
    easiest,
    fuses_above,
    main_of,
    partly,
    second_feeds,
)
from circuitmap.circuit.feeding import SIGNALS, Feeding, Taking, feeding_of
from circuitmap.circuit.in_a_row import fed_after_all
from circuitmap.circuit.isolation import CommonSupply, SupplyPoint, common_supply
from circuitmap.circuit.links import BODY, Circuit
from circuitmap.circuit.parked import open_when_parked
from circuitmap.circuit.path import Path, Step, ahead_of
from circuitmap.circuit.unknowns import open_end, options_not_said, unknowns_of
from circuitmap.circuit.worked_by import Worked, working
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.natural_order import natural
from circuitmap.wiring.parts import LOAD_KINDS, OpenEnd, Terminal

JOINING = ("splice", "bar", "terminal", "connector", "ground", "switch")

_INPUTS = ("coil", *SIGNALS)

How = Literal[
    "feed", "some feeds", "load", "wake", "sense", "control", "coil", "contact", "switches", "joins", "downstream",
    "ground side", "signal",
]  # fmt: skip
"""Where on a fuse's circuit something is: on every way to the fuse from the batteries that normally drive it (`feed`),
or on some of these ways (`some feeds`); a `load` on the fuse, or one whose `wake`, `sense` or `control` pin is on it; a
relay whose `coil` or `contact` it feeds; a module that `switches` what hangs on it; a contact that `joins` two
batteries with the fuse between them; on the way to a load (`downstream`); on a load's way to ground; a plug that the
`signal` wires of a load on the fuse pass."""
_SIGNAL_CAVITY = "signal cavity"
"""A cavity that only signals of the fuse's loads pass: it is told with its connector, never by itself."""


class Shared(NamedTuple):
    """One thing that the circuits of several drawing fuses have in common.

    `kind` is that of the part, or `cavity`, `contact` (also outputs), `sheet`. `fuses` are the drawing fuses whose
    circuits it belongs to, `missing` the others. `quiet` are the quiet fuses whose circuits it belongs to as well:
    each weakens the case that it is the cause. `how` says for each of these fuses where on its circuit it is, `partly`
    on how many of the ways to them it lies when it is not on all. `cavities` are those of a connector that each fuse's
    circuit passes. `apart` are the positions in which a switch is closed for each fuse, where no two of them share one.
    """

    kind: str
    name: str
    fuses: tuple[str, ...]
    missing: tuple[str, ...]
    quiet: tuple[str, ...]
    how: Mapping[str, tuple[How, ...]]
    partly: Partly | None = None
    cavities: Mapping[str, tuple[str, ...]] = MappingProxyType({})
    apart: Mapping[str, tuple[str, ...]] = MappingProxyType({})


@dataclass(frozen=True)
class InCommon:
    """What the drawing fuses share. Each list starts with what all of them share, followed by what all but one share.

    `loads` are all loads on any drawing fuse, with the drawing fuses each hangs on; `inputs` the relay coils and the
    wake, sense and control pins on each drawing fuse. `above` gives for each listed fuse the listed fuses that feed it,
    whose current includes its own; `above_if` those that feed it only while some contact is closed that is open when
    parked. `main_supply` are the fuses and contacts, beyond those in `supply`, that every way passes unless it comes
    from a `second` battery; `main_nearest` is the nearest place on all of those ways, where no place is on every way.
    `easiest_nearest` is that of the easiest ways from one battery, where there is neither, and `easiest_needs` what
    these ways need. `feed_of_some`: where all of them have no feed in common, those that have one. `joins` are the
    batteries that each fuse lies between.
    `worked` tells what works the contacts and outputs in `supply`, on which all of them depend too.
    `supply_quiet` are the quiet fuses that hang on the nearest common supply too; `supply_open` those that do so only
    through contacts that are open when parked, with the contacts nearest the supply: that these fuses are quiet says
    nothing about it. `relays` have their coil on one of the fuses and a contact on another. `incomplete` is what is not
    known of these circuits.
    """

    fuses: tuple[str, ...]
    quiet: tuple[str, ...]
    loads: Mapping[str, tuple[str, ...]]
    inputs: Mapping[str, tuple[Taking, ...]]
    shared: tuple[Shared, ...]
    supply: CommonSupply
    supply_quiet: tuple[str, ...]
    supply_open: Mapping[str, tuple[str, ...]]
    networks: tuple[SharedNetwork, ...]
    wake_lines: tuple[SharedNetwork, ...]
    above: Mapping[str, tuple[str, ...]]
    above_if: Mapping[str, tuple[Above, ...]]
    main_supply: tuple[str, ...]
    main_nearest: Terminal | None
    easiest_nearest: Terminal | None
    easiest_needs: Demands
    feed_of_some: tuple[FeedOfSome, ...]
    joins: Mapping[str, tuple[Join, ...]]
    second: tuple[SecondFeed, ...]
    worked: tuple[Worked, ...]
    incomplete: tuple[Unknown, ...]
    cut_off: bool

    def of_kind(self, *kinds: str) -> tuple[Shared, ...]:
        return tuple(entry for entry in self.shared if entry.kind in kinds)

    @property
    def common_loads(self) -> tuple[Shared, ...]:
        """Loads that hang on all of the fuses, if only by an input."""
        its = (entry for entry in self.of_kind(*LOAD_KINDS) if not entry.missing)
        return tuple(entry for entry in its if ("switches",) not in map(entry.how.get, entry.fuses))

    @property
    def common_splices(self) -> tuple[Shared, ...]:
        return tuple(entry for entry in self.of_kind("splice") if not entry.missing)

    @property
    def contacts(self) -> tuple[str, ...]:
        """Contacts and outputs that feed all of the fuses."""
        return self.supply.contacts

    @property
    def grounds(self) -> tuple[Shared, ...]:
        return self.of_kind("ground")

    @property
    def sheets(self) -> tuple[Shared, ...]:
        return self.of_kind("sheet")

    @property
    def relays(self) -> tuple[Shared, ...]:
        return self.of_kind("relay")


def in_common(
    circuit: Circuit, drawing: Iterable[str], quiet: Iterable[str] = (), fitting: Fitting | None = None
) -> InCommon:
    """What the `drawing` fuses share, by their full names."""
    return in_common_in(feeding_of(circuit, fitting), drawing, quiet)


def in_common_in(feeding: Feeding, drawing: Iterable[str], quiet: Iterable[str] = ()) -> InCommon:
    """Like `in_common`, for several questions about one car."""
    fuses = tuple(dict.fromkeys(drawing))
    quiet = tuple(fuse for fuse in dict.fromkeys(quiet) if fuse not in fuses)
    question = _Question(feeding, fuses, quiet)
    supply = common_supply(feeding, fuses)
    supply_quiet, supply_open = question.quiet_on(supply.nearest)
    above, above_if = fuses_above(question.feeds, question.needs)
    main_nearest = None if supply.nearest else question.nearest_on(question.main)
    easiest_nearest, easiest_needs = (None, {}) if supply.nearest or main_nearest else question.easiest()
    networks = question.network.networks()
    return InCommon(
        fuses=fuses,
        quiet=quiet,
        loads={
            load: on for load in question.loads_on_any if (on := tuple(f for f in fuses if load in question.loads[f]))
        },
        inputs={fuse: its for fuse in fuses if (its := question.inputs_on(fuse))},
        shared=question.shared(),
        supply=supply,
        supply_quiet=supply_quiet,
        supply_open=supply_open,
        networks=networks,
        wake_lines=question.network.wake_lines(),
        above=above,
        above_if=above_if,
        main_supply=question.main_supply(supply),
        main_nearest=main_nearest,
        easiest_nearest=easiest_nearest,
        easiest_needs=easiest_needs,
        feed_of_some=()
        if len(fuses) < 3 or supply.nearest or main_nearest or easiest_nearest
        else feeds_of_some(feeding, {fuse: question.main[fuse] for fuse in fuses}),
        joins={fuse: joins for fuse, joins in question.joins.items() if fuse in fuses and joins},
        second=tuple(second_feeds(feeding, {fuse: question.feeds[fuse] for fuse in fuses}, question.needs)),
        worked=working(feeding, supply.contacts if len(fuses) > 1 else ())[0],
        incomplete=(*question.incomplete(supply), *copied_members(feeding.circuit.platform, networks)),
        cut_off=question.network.cut_off
        or feeding.not_followed
        or any(taking.paths.cut_off for fuse in fuses for taking in question.takings[fuse]),
    )


class _Question:
    """The circuits of the listed fuses, gathered once."""

    def __init__(self, feeding: Feeding, fuses: tuple[str, ...], quiet: tuple[str, ...]) -> None:
        self.feeding = feeding
        self.platform = feeding.circuit.platform
        self.fuses, self.quiet = fuses, quiet
        self.feeds = {fuse: feeding.feeds_of(fuse) for fuse in (*fuses, *quiet)}
        self.main = {fuse: ahead_of(main_of(paths)) for fuse, paths in self.feeds.items()}
        self.joins = {fuse: batteries_joined_by(feeding, fuse) for fuse in (*fuses, *quiet)}
        self.needs = Needs(self.platform, feeding.fitting)
        self.takings = {fuse: feeding.on_fuse.get(fuse, ()) for fuse in (*fuses, *quiet)}
        self.loads = {
            fuse: tuple(dict.fromkeys(t.part for t in takings if t.kind in ("load", "reversed")))
            for fuse, takings in self.takings.items()
        }
        self.loads_on_any = tuple(dict.fromkeys(load for fuse in fuses for load in self.loads[fuse]))
        self.least = len(fuses) if len(fuses) < 3 else len(fuses) - 1
        self.network = NetworksInCommon(feeding, fuses, quiet, self.loads, self.least)
        self.beside = BesideTheCurrent(feeding)

    def inputs_on(self, fuse: str) -> tuple[Taking, ...]:
        return tuple(taking for taking in self.takings[fuse] if taking.kind in _INPUTS)

    @cached_property
    def _grounds_of(self) -> Mapping[str, tuple[Path, ...]]:
        found: dict[str, list[Path]] = {}
        for end, paths in self.feeding.ground_paths.items():
            found.setdefault(end.part, []).extend(paths.direct)
        return {part: tuple(paths) for part, paths in found.items()}

    def main_supply(self, supply: CommonSupply) -> tuple[str, ...]:
        """Fuses and contacts that every main way to all of the fuses passes, but not every second way."""
        known = {point.name for point in supply.chain}
        passed = [[*path.fuses, *(c.contact for c in path.contacts)] for f in self.fuses for path in self.main[f]]
        on_all = (name for name in (passed[0] if passed else ()) if all(name in its for its in passed))
        return tuple(name for name in on_all if name not in known)

    def nearest_on(self, its: Mapping[str, Sequence[Path]]) -> Terminal | None:
        """The last place that every one of these ways to all of the fuses passes; None where there is none."""
        ways = [path for fuse in self.fuses for path in its[fuse]]
        if not ways or not all(its[fuse] for fuse in self.fuses):
            return None
        on_all = set(ways[0].terminals[:-1]).intersection(*(path.terminals[:-1] for path in ways[1:]))
        return next((end for end in reversed(ways[0].terminals) if end in on_all), None)

    def easiest(self) -> tuple[Terminal | None, Demands]:
        """The last place that the easiest ways of all fuses pass, of those from one battery, and what these need; the
        battery is the one for which the fewest contacts must be closed."""
        easy = {fuse: easiest(self.platform, self.main[fuse]) for fuse in self.fuses}
        found: list[tuple[int, Terminal, Demands]] = []
        for post in dict.fromkeys(path.start for ways in easy.values() for path in ways if path.known):
            its = {fuse: [path for path in ways if path.start == post] for fuse, ways in easy.items()}
            place = self.nearest_on(its)
            if place is not None:
                needs = self.needs.of_any(path for ways in its.values() for path in ways)
                found.append((len(needs), place, needs))
        _, nearest, needed = min(found, key=lambda entry: entry[0], default=(0, None, {}))
        return nearest, needed

    def quiet_on(self, point: SupplyPoint | None) -> tuple[tuple[str, ...], Mapping[str, tuple[str, ...]]]:
        """The quiet fuses that a point feeds when parked, and those that it feeds only once some contact closes."""
        on: list[str] = []
        only_through: dict[str, tuple[str, ...]] = {}
        for fuse in self.quiet if point else ():
            paths = [path for path in self.feeds[fuse] if point and point.part in path.parts]
            opened = [open_when_parked(self.platform, path, point.part) for path in paths if point]
            if opened and all(opened):
                only_through[fuse] = tuple(dict.fromkeys(opened))
            elif opened:
                on.append(fuse)
        return tuple(on), only_through

    def shared(self) -> tuple[Shared, ...]:
        touched: dict[tuple[str, str], dict[str, dict[How, None]]] = {}
        for fuse in (*self.fuses, *self.quiet):
            for kind, name, how in self._touched(fuse):
                touched.setdefault((kind, name), {}).setdefault(fuse, {})[how] = None
        cavities: dict[str, dict[str, list[str]]] = {}
        for (kind, name), by_fuse in touched.items():
            if kind in ("cavity", _SIGNAL_CAVITY):
                connector, _, cavity = name.rpartition(".")
                for fuse in by_fuse:
                    cavities.setdefault(connector, {}).setdefault(fuse, []).append(cavity)
        found = []
        for (kind, name), by_fuse in touched.items():
            if kind == _SIGNAL_CAVITY:
                continue
            on = tuple(fuse for fuse in self.fuses if fuse in by_fuse)
            if len(on) >= self.least:
                missing = tuple(fuse for fuse in self.fuses if fuse not in by_fuse)
                quiet = tuple(fuse for fuse in self.quiet if fuse in by_fuse)
                where = {fuse: tuple(its) for fuse, its in by_fuse.items()}
                partly_on = self._partly(kind, name, on, where)
                its = cavities.get(name, {}) if kind == "connector" else {}
                passed = {fuse: tuple(sorted({*its[fuse]}, key=natural)) for fuse in by_fuse if fuse in its}
                apart = positions_apart(self.platform, name, {fuse: self.takings[fuse] for fuse in on})
                found.append(Shared(kind, name, on, missing, quiet, where, partly_on, passed, apart))
        found.sort(key=lambda entry: (len(entry.missing), len(entry.quiet), entry.kind, entry.name))
        return tuple(found)

    def _partly(self, kind: str, name: str, on: Iterable[str], how: Mapping[str, tuple[How, ...]]) -> Partly | None:
        ways = [self.main[fuse] for fuse in on if "some feeds" in how[fuse]]
        passing = [[path for path in its if (kind, name, "feed") in self._on(path.steps, "feed")] for its in ways]
        return partly(ways, passing, self.needs) if ways else None

    def _touched(self, fuse: str) -> Iterator[tuple[str, str, How]]:
        """Everything on the circuit of one fuse: kind, name, and where on it. Plugs of signals count where its current
        does not pass them anyway."""
        passed = set()
        for entry in self._touched_by_current(fuse):
            passed.add(entry[1])
            yield entry
        for load in self.loads[fuse]:
            for cavity in self.beside.signal_cavities(load):
                connector = cavity.rpartition(".")[0]
                if connector not in passed:
                    yield _SIGNAL_CAVITY, cavity, "signal"
                    yield "connector", connector, "signal"

    def _touched_by_current(self, fuse: str) -> Iterator[tuple[str, str, How]]:
        parts = self.platform.parts
        ways = [set(self._on(path.steps, "feed")) for path in self.main[fuse]]
        for kind, name, _ in set().union(*ways):
            yield kind, name, "feed" if all((kind, name, "feed") in way for way in ways) else "some feeds"
        for join in self.joins[fuse]:
            for link in (link for path in join.paths for link in path.contacts):
                yield parts[link.part].kind, link.part, "joins"
        for taking in self.takings[fuse]:
            part = parts.get(taking.part)
            if taking.kind == "coil":
                yield "relay", taking.part, "coil"
            elif taking.kind == "wake" or taking.kind == "sense" or taking.kind == "control":
                yield part.kind if part else "", taking.part, taking.kind
            elif taking.kind != "open end" and taking.kind != "end":
                yield part.kind if part else "", taking.part, "load"
            for path in taking.ahead(fuse):
                # A way that only touches the fuse's outgoing side, fed from another fuse, does not pass it.
                after = [at for at, step in enumerate(path.steps, 1) if step.link.part == fuse]
                yield from self._on(path.steps[after[-1] :] if after else (), "downstream")
            if taking.kind in ("load", "reversed", *_INPUTS) and not fed_by_an_output(taking, fuse):
                for path in self._grounds_of.get(taking.part, ()):
                    yield from self._on(path.steps, "ground side")
        for module in self.beside.switching(self.takings[fuse], fuse, self._grounds_of):
            if module not in self.loads[fuse]:
                yield parts[module].kind, module, "switches"

    def _on(self, steps: Iterable[Step], how: How) -> Iterator[tuple[str, str, How]]:
        """What these steps pass; loads, fuses and batteries are told elsewhere."""
        parts = self.platform.parts
        for step in steps:
            link = step.link
            if link.kind == "cavity":
                yield "cavity", str(link.a), how
            if link.contact:
                yield "contact", link.contact, how
                if link.energised is not None:
                    yield "relay", link.part, "contact" if how == "downstream" else how
            if link.wire is not None:
                for sheet in link.wire.sheets:
                    yield "sheet", sheet, how
            for end in (step.start, step.end):
                part = parts.get(end.part)
                if part is not None and part.kind in JOINING and end != BODY:
                    yield part.kind, part.name, how

    def incomplete(self, supply: CommonSupply) -> tuple[Unknown, ...]:
        platform, feeding = self.platform, self.feeding
        found: dict[Unknown, None] = {}
        for fuse in self.fuses:
            takings = self.takings[fuse]
            nothing = not self.loads[fuse] and not self.inputs_on(fuse) and not self.joins[fuse]
            if nothing and not feeding.not_followed:
                found[Unknown("no load typed", fuse)] = None
            for taking in takings:
                part = platform.parts.get(taking.part)
                if isinstance(part, OpenEnd):
                    found[open_end(platform, part)] = None
                elif taking.kind == "end":
                    found[Unknown("no load typed", str(taking.terminal), fuse)] = None
            if not any(path.known for path in self.feeds[fuse]) and not feeding.not_followed:
                found[Unknown("no supply typed", fuse)] = None
            paths = [path for taking in takings for path in taking.ahead(fuse)]
            found.update(dict.fromkeys(unknowns_of(feeding.circuit, feeding.fitting, [*self.feeds[fuse], *paths])))
        for load in self.loads_on_any:
            part = platform.parts[load]
            found.update(dict.fromkeys(options_not_said(feeding.fitting, (part.condition,))))
            if part.kind == "module" and load not in platform.networks_of:
                found[Unknown("no network typed", load)] = None
        for taking in feeding.takings:
            elsewhere = taking.kind in ("load", "coil") and taking.part not in self.loads_on_any
            unfed = elsewhere and not taking.paths.cut_off and not any(path.known for path in taking.paths.direct)
            if unfed and not fed_after_all(feeding, taking.terminal):
                found[Unknown("may hang here", str(taking.terminal))] = None
        return tuple(found)

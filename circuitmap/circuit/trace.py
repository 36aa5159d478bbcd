"""One part in its circuit: from the battery to it, from it to ground, and everything downstream."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from circuitmap.circuit.branches import Branch, beyond, branches_from
from circuitmap.circuit.feed_ways import Join, batteries_joined_by
from circuitmap.circuit.feeding import Feeding, Taking, feeding_of, grounded, into
from circuitmap.circuit.in_a_row import goes_on_through, side_by_side, wired_to
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.path import PROTECTIVE, Path, Paths
from circuitmap.circuit.set_apart import SetApart, Usual
from circuitmap.circuit.unknowns import no_feed, no_ground, open_end, options_not_said, unknowns_of
from circuitmap.circuit.wires_on import InCavity, wires_on
from circuitmap.circuit.worked_by import Worked, worked_by
from circuitmap.circuit.worked_through import NOTHING, WorkedThrough, worked_through
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import Fuse, Ground, Joint, Load, OpenEnd, Relay, Role, Terminal, Undeclared, is_unnamed
from circuitmap.wiring.platform import Output, Wire


class PinTrace(NamedTuple):
    """One terminal of the part: the ways from the batteries to it and from it to ground, not through the part.

    `role` is that of a load's pin, `assumed` if it follows from the reading direction only. A cavity of a connector is
    one terminal for each half. Roundabout ways come last. `through` are the loads in series with it: a supply pin gets
    its supply, or a ground pin its ground, through them alone; or the module that it is wired to, as with a sensor.
    `beyond` are the ways to ground of these loads.
    """

    terminal: Terminal
    role: Role
    assumed: bool
    supply: tuple[Path, ...]
    ground: tuple[Path, ...]
    through: tuple[str, ...] = ()
    beyond: tuple[Path, ...] = ()


class Downstream(NamedTuple):
    """A place that takes current through the part.

    `paths` are the whole ways from the batteries through the part, only the main ones if there are any; `fuses` are the
    fuses passed after it. `besides`: it is only fed so from a battery that does not normally drive it. `apart`: it
    hangs on the part only in doubt, or on a way that nobody means.
    """

    taking: Taking
    paths: tuple[Path, ...]
    fuses: tuple[str, ...]
    besides: bool = False
    apart: SetApart | None = None

    @property
    def part(self) -> str:
        return self.taking.part


class Lug(NamedTuple):
    """A wire that lies on a ground point itself, and its far end."""

    wire: Wire
    at: Terminal


class Returns(NamedTuple):
    """The batteries whose current takes the ways to ground, where there are several: each current returns to its own.
    `main` normally feed the part, `besides` only with something closed that is open when parked. Both are empty where
    ways to ground cannot be told apart: one battery, batteries in series, a part that no battery feeds."""

    main: frozenset[str] = frozenset()
    besides: frozenset[str] = frozenset()

    def of(self, path: Path) -> Literal["main", "besides", "other"]:
        """Whose current takes this way to ground; a way to the body is everybody's."""
        post = path.end
        if not self.main or post.pin != "-" or post.part in self.main or not path.known:
            return "main"
        return "besides" if post.part in self.besides else "other"


@dataclass(frozen=True)
class Trace:
    """What is known of one part's circuit.

    `downstream` lists everything that takes current through the part; `branches` is the same as trees, one for each
    terminal that current leaves by. `backwards` lists what takes current through it only against a fuse's direction,
    from a battery that does not normally drive it. `signals` are pins that a way through it leads to and that take
    nothing; they stand in `branches`, too. `joins` are the batteries that the part lies between.
    `through_coils` is what stops with a fuse that does not feed it. `side_by_side` are fuses that feed the same with
    it. `made_by` is the output that gives its plus, where a module makes that voltage itself. `returns` pairs its ways
    to ground with the batteries that feed it. `worked` tells what works the relays and outputs that its own ways need.
    `grounded_here` are the pins whose way to ground passes the part, each with these ways; `across` are those of loads
    that lie across a switch there, grounded at their other end without it. `lugs` are the wires that
    lie on a ground point itself, `cavities` those that come to a connector. `open_ends` are places where the sheets go
    on, on any of these ways. `unknown` is what the answer rests on that nobody typed. `cut_off`: there are more ways
    than were looked for.
    """

    part: str
    kind: str
    pins: tuple[PinTrace, ...]
    downstream: tuple[Downstream, ...]
    branches: tuple[Branch, ...]
    backwards: tuple[Downstream, ...]
    signals: tuple[Terminal, ...]
    joins: tuple[Join, ...]
    grounded_here: tuple[tuple[Terminal, tuple[Path, ...]], ...]
    across: frozenset[Terminal]
    lugs: tuple[Lug, ...]
    cavities: tuple[InCavity, ...]
    returns: Returns
    made_by: Output | None
    through_coils: WorkedThrough
    side_by_side: tuple[str, ...]
    networks: tuple[str, ...]
    worked: tuple[Worked, ...]
    open_ends: tuple[Unknown, ...]
    unknown: tuple[Unknown, ...]
    sheets: tuple[str, ...]
    cut_off: bool

    @cached_property
    def supply(self) -> tuple[Path, ...]:
        """Ways to the part from a battery, or from a place not typed in."""
        return tuple(path for pin in self.pins for path in pin.supply)

    @cached_property
    def ground(self) -> tuple[Path, ...]:
        return tuple(path for pin in self.pins for path in pin.ground)

    @property
    def loads(self) -> tuple[str, ...]:
        """The loads downstream that it normally feeds; all, where it feeds none normally."""
        return self._loads(besides=False) or self._loads(besides=True)

    @property
    def loads_besides(self) -> tuple[str, ...]:
        """The loads downstream that it feeds only from a battery that does not normally drive them."""
        usual = self._loads(besides=False)
        return tuple(name for name in self._loads(besides=True) if name not in usual) if usual else ()

    @property
    def loads_apart(self) -> Mapping[SetApart, tuple[str, ...]]:
        """Of `loads` those that hang on it only in doubt, or on a way that nobody means."""
        kinds = ("load", "reversed")
        its = [d for d in self.downstream if d.taking.kind in kinds and not d.besides]
        surely = {d.part for d in its if d.apart is None}
        found: dict[SetApart, dict[str, None]] = {}
        for there in its:
            if there.apart is not None and there.part not in surely:
                found.setdefault(there.apart, {})[there.part] = None
        return {apart: tuple(names) for apart, names in found.items()}

    def _loads(self, besides: bool) -> tuple[str, ...]:
        kinds = ("load", "reversed")
        return tuple(dict.fromkeys(d.part for d in self.downstream if d.taking.kind in kinds and d.besides == besides))


def trace(circuit: Circuit, part: str, fitting: Fitting | None = None) -> Trace:
    """The circuit of one part, by its full name."""
    return trace_in(feeding_of(circuit, fitting), part)


def trace_in(feeding: Feeding, part: str) -> Trace:
    """Like `trace`, for several questions about one car."""
    platform = feeding.circuit.platform
    its = platform.parts[part]
    cut_off = feeding.not_followed
    pins = []
    not_followed: set[Terminal] = set()
    for terminal in _terminals(feeding.circuit, part):
        if isinstance(its, Load) and its.roles.get(terminal.pin) == "network":
            continue  # what data wires lead to is told with the network
        supply = into(feeding.circuit, feeding.supply, terminal)
        ground = grounded(into(feeding.circuit, feeding.back_from(part), terminal))
        cut_off = cut_off or supply.cut_off or ground.cut_off
        if any(ways.cut_off and not ways.paths for ways in (supply, ground)):
            not_followed.add(terminal)
        in_series = _through(feeding, terminal)
        pins.append(
            PinTrace(
                terminal,
                its.roles.get(terminal.pin, "") if isinstance(its, Load) else "",
                isinstance(its, Load) and its.is_role_assumed(terminal.pin),
                tuple(path for path in feeding.ways_into(terminal) if path.steps),
                tuple(path for path in ground.paths if path.steps),
                in_series,
                _beyond(feeding, terminal, in_series),
            )
        )
    downstream: list[Downstream] = []
    backwards: list[Downstream] = []
    joins = batteries_joined_by(feeding, part)
    usual = Usual(feeding)
    for taking in (*feeding.takings, *_batteries(joins)):
        if taking.part == part and taking.kind == "battery":
            continue
        paths = taking.ahead(part)
        also = () if paths else (*taking.through(part), *taking.also_through(part))
        if not paths and not also:
            continue
        cut_off = cut_off or taking.paths.cut_off
        onward = paths or tuple(path for path in also if not path.goes_back)
        apart = usual.apart(part, paths) if taking.kind in ("load", "reversed") else None
        there = Downstream(taking, onward or also, _fuses_after(part, onward or also), not paths, apart)
        (downstream if onward else backwards).append(there)
    at_signals = [(taking, paths) for taking in feeding.at_signals if (paths := taking.ahead(part))]
    through_it = []
    for end, ways in (*feeding.ground_paths.items(), *feeding.grounded_inputs.items()):
        through = tuple(path for path in ways.direct if end.part != part and path.passes(part))
        if through:
            through_it.append((end, through))

    has_made = any(output.volts for output in platform.outputs)
    own = [path for pin in pins for path in (*pin.supply, *pin.ground)]
    after = (path for pin in pins for path in pin.beyond)
    worked, more_work = worked_by(feeding, part, (*main_ways(pins), *after))
    cut_off = cut_off or more_work
    behind = [path for there in downstream for path in there.paths]
    others = [path for _, through in through_it for path in through]
    unknown = dict.fromkeys(unknowns_of(feeding.circuit, feeding.fitting, [*own, *behind, *others]))
    followed = [pin for pin in pins if pin.terminal not in not_followed]
    unknown.update(dict.fromkeys(_missing(feeding, part, followed, not not_followed)))
    unknown.update(
        dict.fromkeys(
            open_end(platform, platform.parts[there.part])
            for there in downstream
            if isinstance(platform.parts.get(there.part), OpenEnd)
        )
    )
    if cut_off:
        unknown[Unknown("cut off", part)] = None
    sheets = dict.fromkeys(its.sheets)
    for path in [*own, *behind, *others]:
        sheets.update(dict.fromkeys(path.sheets))
    for wire in platform.wires_at.get(part, ()):
        sheets.update(dict.fromkeys(wire.sheets))
    fed = [its.part for its in downstream if its.taking.kind in ("load", "reversed")]
    return Trace(
        part=part,
        kind=its.kind,
        pins=tuple(pins),
        downstream=tuple(downstream),
        branches=branches_from(part, (*((there.taking, there.paths) for there in downstream), *at_signals)),
        backwards=tuple(backwards),
        signals=tuple(taking.terminal for taking, _ in at_signals),
        joins=joins,
        grounded_here=tuple(through_it),
        across=frozenset(end for end, _ in through_it if its.kind == "switch" and _lies_across(feeding, end, part)),
        lugs=tuple(_lugs(feeding, part)) if isinstance(its, Ground) else (),
        cavities=tuple(wires_on(feeding, its)),
        networks=platform.networks_of.get(part, ()),
        worked=worked,
        returns=returns_of(feeding, part, pins),
        made_by=feeding.made_for.get(part) if has_made else None,
        through_coils=worked_through(feeding, part, fed) if isinstance(its, Fuse) else NOTHING,
        side_by_side=side_by_side(feeding, part) if isinstance(its, Fuse) else (),
        open_ends=tuple(entry for entry in unknown if entry.kind == "open end"),
        unknown=tuple(entry for entry in unknown if entry.kind != "open end"),
        sheets=tuple(sheets),
        cut_off=cut_off,
    )


def returns_of(feeding: Feeding, part: str, pins: Iterable[PinTrace]) -> Returns:
    """The batteries that feed these pins of a part; of a relay those of its coil, which alone has a way to ground."""
    circuit = feeding.circuit
    batteries = [its for its in circuit.platform.parts.values() if its.kind == "battery"]
    minuses = {end.part for end in circuit.returns}
    if len(batteries) < 2 or any(battery.name not in minuses for battery in batteries):
        return Returns()
    its = circuit.platform.parts[part]
    own = [pin for pin in pins if not isinstance(its, Relay) or pin.terminal.pin in its.coil]
    ways = [path for pin in own for path in pin.supply if path.known and not path.roundabout]
    main = frozenset(path.start.part for path in ways if not path.second)
    return Returns(main, frozenset(path.start.part for path in ways) - main)


def main_ways(pins: Iterable[PinTrace]) -> Iterator[Path]:
    """The ways to and from these pins that are told in full."""
    return (path for pin in pins for path in (*pin.supply, *pin.ground) if not path.roundabout and not path.second)


def _lies_across(feeding: Feeding, end: Terminal, switch: str) -> bool:
    """Whether a load with two ends that comes to ground over a switch is grounded at its other end without that."""
    load = feeding.circuit.loads.get(end.part)
    if load is None or len(load.supplies) != 1 or len(load.grounds) != 1:
        return False
    other = load.grounds[0] if end == load.supplies[0] else load.supplies[0]
    return any(path.known and not path.passes(switch) for path in feeding.ground.to(other).direct)


def _lugs(feeding: Feeding, ground: str) -> Iterator[Lug]:
    for wire in feeding.circuit.platform.wires_at.get(ground, ()):
        if holds(wire.condition, feeding.fitting) != Answer.NO:
            yield Lug(wire, wire.b if wire.a.part == ground else wire.a)


def _fuses_after(part: str, paths: Iterable[Path]) -> tuple[str, ...]:
    steps = (step for path in paths for step in beyond(path, part)[1])
    return tuple(dict.fromkeys(step.link.part for step in steps if step.link.kind in PROTECTIVE))


def _batteries(joins: Iterable[Join]) -> Iterator[Taking]:
    """The far batteries, each with its way from the near one."""
    for join in joins:
        for path in join.paths:
            yield Taking(path.end.part, path.end, "battery", Paths((path,)))


def _through(feeding: Feeding, terminal: Terminal) -> tuple[str, ...]:
    """The loads in series with one side of a load or coil that no wire leads to supply or ground."""
    part = feeding.circuit.platform.parts.get(terminal.part)
    if isinstance(part, Relay) and terminal.pin in part.coil:
        if feeding.supply.to(terminal).direct or feeding.ground.to(terminal).direct:
            return ()
        return goes_on_through(feeding, terminal, "supply" if terminal.pin == part.coil[0] else "ground")
    load = feeding.circuit.loads.get(terminal.part)
    if load is None or not (load.supply_drawn and load.ground_drawn):
        return ()
    if terminal in load.grounds and not feeding.ground.to(terminal).direct:
        return goes_on_through(feeding, terminal, "ground") or wired_to(feeding, terminal)
    if terminal in load.supplies and not feeding.supply.to(terminal).direct:
        return goes_on_through(feeding, terminal, "supply") or wired_to(feeding, terminal)
    return ()


def _beyond(feeding: Feeding, terminal: Terminal, in_series: tuple[str, ...]) -> tuple[Path, ...]:
    """The ways to ground of the loads through which a ground pin has its own."""
    loads = feeding.circuit.loads
    if terminal.part not in loads or terminal not in loads[terminal.part].grounds:
        return ()
    far = (pin for name in in_series if name in loads for pin in loads[name].grounds)
    return tuple(path for pin in far for path in feeding.ground.to(pin).direct if path.known)


def _terminals(circuit: Circuit, part: str) -> tuple[Terminal, ...]:
    """The terminals to trace: one for a part that only joins wires; a load's pins in the order supply, others,
    ground."""
    found = circuit.terminals_of.get(part, ())
    its = circuit.platform.parts[part]
    if isinstance(its, Joint) and its.kind != "connector":
        return found[:1]
    order = {"supply": 0, "ground": 2}
    roles = its.roles if isinstance(its, Load) else {}
    return tuple(sorted(found, key=lambda terminal: order.get(roles.get(terminal.pin, ""), 1)))


def _missing(feeding: Feeding, part: str, pins: list[PinTrace], all_followed: bool) -> Iterator[Unknown]:
    """What is missing at this part itself, as far as its pins were followed."""
    platform, circuit = feeding.circuit.platform, feeding.circuit
    its = platform.parts[part]
    if isinstance(its, Undeclared):
        yield Unknown("not declared", part)
    if its.copied:
        yield Unknown("copied", part, its.copied, its.sheets)
    yield from options_not_said(feeding.fitting, (its.condition,))
    load = circuit.loads.get(part)
    for pin in pins:
        if pin.assumed and pin.role:
            yield Unknown("role assumed", str(pin.terminal), pin.role)
        if load and pin.terminal in load.supplies and not pin.through and not any(path.known for path in pin.supply):
            yield Unknown("no supply typed", part) if is_unnamed(pin.terminal.pin) else no_feed(pin.terminal)
        if load and pin.terminal in load.grounds and not pin.through and not any(path.known for path in pin.ground):
            yield no_ground(pin.terminal)
    if load and load.grounds[0].pin == "case" and not load.ground_drawn:
        yield Unknown("ground assumed", part)
    if isinstance(its, Fuse) and all_followed and not any(path.known for pin in pins for path in pin.supply):
        yield no_feed(Terminal(part, "1"))
    for pin in pins:
        if pin.terminal in circuit.unknown_supplies and not load and not isinstance(its, (Fuse, OpenEnd)):
            yield no_feed(pin.terminal)

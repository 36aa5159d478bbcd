"""Everything about one car that does not depend on a reading: worked out once, kept with its circuit."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.added import standing_by, ways_to_added
from circuitmap.diagnosis.car.currents import ANYTHING, STANDING_BY_AT_LEAST
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow, FlowKey, moments
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.empty_slots import slots_seen_filled
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS
from circuitmap.diagnosis.faults.found_faults import found_faults
from circuitmap.diagnosis.faults.input_wires import parts_a_wire
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.next_test.expectations import Expectations
from circuitmap.diagnosis.next_test.handling import Handling
from circuitmap.diagnosis.seen.both_ends import Chains
from circuitmap.diagnosis.seen.long_parked import stood_when_read
from circuitmap.diagnosis.seen.netting import Netted, Routes
from circuitmap.diagnosis.seen.on_plus_by_draw import points_by_draw
from circuitmap.diagnosis.seen.points_probed import points_on_plus
from circuitmap.diagnosis.seen.switched_on import switched_on
from circuitmap.diagnosis.weighing.known_tables import KnownTables
from circuitmap.diagnosis.weighing.weights import Together
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.log_states import comes_again_and_again
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Fuse, Load, Switch, Terminal

_KEPT = 4


@dataclass(frozen=True, slots=True)
class Prepared:
    """The parked vehicle, where its current can be measured, and every fault it may have. `dead_added` is what is on no
    sheet and fed from a place that is dead on a sound vehicle, each with that place."""

    parked: Parked
    tree: PlaceTree
    faults: tuple[Fault, ...]
    joint: tuple[Fault, ...]
    together: tuple[Together, ...]
    expectations: Expectations
    handling: Handling
    routes: Routes
    joins: Chains
    dead_added: Mapping[str, str] = field(default_factory=dict)
    known: KnownTables = field(default_factory=KnownTables)
    _without: dict[tuple[str, ...], Without] = field(default_factory=dict)

    def without(self, out: tuple[str, ...]) -> Without:
        """The vehicle with parts out, kept for the next time."""
        if out not in self._without:
            fed_from = {name: place for name, place in self.dead_added.items() if name in out}
            self._without[out] = Without(self.parked, out, frozenset(fed_from.values()))
        return self._without[out]


_Key = tuple[
    frozenset[tuple[str, bool]],
    tuple[str, ...],
    tuple[tuple[str, str], ...],
    tuple[tuple[str, Band], ...],
    frozenset[str],
    frozenset[tuple[str, str]],
    frozenset[str],
    frozenset[str],
    frozenset[str],
    tuple[tuple[Terminal, tuple[frozenset[str], ...]], ...],
    float,
    frozenset[str],
    frozenset[str],
    bool,
    frozenset[str],
]


class _Kept:
    """The last few cars that were prepared on one circuit."""

    def __init__(self, _circuit: Circuit) -> None:
        self.cars: dict[_Key, Prepared] = {}


def prepared_for(circuit: Circuit, fitting: Fitting, evidence: Evidence) -> Prepared:
    """The car that the evidence describes: its equipment, what was added and what is missing."""
    its_fitting = {**fitting, **evidence.options}
    absent = tuple(sorted(set(evidence.absent)))
    added = tuple(dict.fromkeys((part.name, part.fed_from) for part in evidence.added))
    said = tuple((part.name, part.asleep) for part in evidence.added if part.asleep is not None)
    off = _seen_off(evidence)
    own_battery = frozenset(evidence.own_battery)
    seen_wrong = frozenset(one.part for one in evidence.inputs if not one.right)
    seen_wrong |= frozenset(one.part for one in evidence.switches if not one.fine)
    fine = frozenset(one.part for one in evidence.switches if one.fine)
    told_apart = _looked_at(circuit, evidence, seen_wrong | fine)
    positions = frozenset(evidence.positions.items())
    on_plus = points_on_plus((its for its in evidence.volts if its.pin in circuit.number), circuit.platform)
    on_plus |= points_by_draw(circuit, its_fitting, evidence)
    stood = stood_when_read(circuit.platform, evidence)
    running = switched_on(circuit, its_fitting, evidence)
    comes = comes_again_and_again(evidence.readings)
    filled = slots_seen_filled(circuit.platform, evidence, its_fitting)
    key: _Key = (
        frozenset(its_fitting.items()), absent, added, said, off, positions, own_battery, told_apart, seen_wrong,
        tuple(on_plus.items()), stood, frozenset(one.load for one in running), fine, comes,
        filled,
    )  # fmt: skip
    kept = circuit.derived(_Kept).cars
    found = kept.get(key)
    if found is None:
        parked = Parked(
            circuit, its_fitting, frozenset(absent), evidence.positions, own_battery, told_apart, on_plus, seen_wrong,
            stood, fine, comes, filled,
        )  # fmt: skip
        run_by = {one.load: one.switch for one in running}
        ways = ways_to_added(parked, added)
        parked.let_run(
            (f for one in running for f in one.flows), (f for one in running for f in one.perhaps), run_by,
            standing_by(ways, dict(said), off),
        )  # fmt: skip
        faults, joint, together, *_ = found_faults(parked, added, key)
        tree = PlaceTree(parked, ways)
        know = Expectations(parked, tree, faults)
        hand = Handling(parked, added)
        dead_added = {name: fed_from for name, fed_from in added if name not in ways}
        found = Prepared(
            parked, tree, faults, joint, together, know, hand, _routes(faults, tree), _joins(faults, tree), dead_added
        )
        while len(kept) >= _KEPT:
            kept.pop(next(iter(kept)))
        kept[key] = found
    return found


def _seen_off(evidence: Evidence) -> frozenset[str]:
    """What was added and takes nothing: nothing flowed in its own cable, or where it is fed, when that was read last.
    A drop of nothing across a fuse hides more than such things take."""
    asleep = (reading for reading in evidence.readings if reading.speaks == "parked" and not reading.without)
    latest = {reading.place: reading for reading in asleep}
    read = {
        place: reading.amps for place, reading in latest.items() if reading.drop is None and reading.amps is not None
    }
    none = {place for place, amps in read.items() if amps < STANDING_BY_AT_LEAST}
    return frozenset(part.name for part in evidence.added if part.name in none or part.fed_from in none)


def _looked_at(circuit: Circuit, evidence: Evidence, seen: frozenset[str]) -> frozenset[str]:
    """The parts whose input was seen wrong, or that were out: what is left is then the wire. And the plugs, cavities
    and diodes that were out: they part such a wire."""
    out = {name for attempt in evidence.tries if not attempt.turned for name in attempt.out}
    platform = circuit.platform
    its = {name for name in seen | out if isinstance(platform.parts.get(name), Switch | Load)}
    return frozenset(its | {name for name in out if parts_a_wire(platform, name)})


def _routes(faults: tuple[Fault, ...], tree: PlaceTree) -> Routes:
    """The ways by which faults feed places that are dead on a sound parked car."""
    found: dict[str, dict[tuple[str, ...], None]] = {}
    dead: dict[str, bool] = {}
    for flows in {id(fault.brings): fault.brings for fault in faults}.values():
        for flow in flows:
            places = tree.way_places(flow.way.places)
            for n, place in enumerate(places):
                if place not in dead:
                    dead[place] = tree.is_dead(place)
                if dead[place]:
                    found.setdefault(place, {})[places[n + 1 :]] = None
    return {place: tuple(routes) for place, routes in found.items()}


def _joins(faults: tuple[Fault, ...], tree: PlaceTree) -> Chains:
    """For each way in which some fault joins two batteries, the places from there to each of them."""
    found: dict[tuple[tuple[str, ...], tuple[str, ...]], None] = {}
    for flows in {id(fault.brings): fault.brings for fault in faults}.values():
        by_part: dict[str, list[tuple[str, ...]]] = {}
        for flow in flows:
            if flow.joins_batteries:
                by_part.setdefault(flow.owner, []).append(tree.way_places(flow.way.places))
        found |= {(one, other): None for ways in by_part.values() for one, other in combinations(ways, 2)}
    return tuple(found)


def none_of_these(netted: Netted, tree: PlaceTree, parked: Parked) -> tuple[Fault, ...]:
    """That none of the known faults explains it: any current in any one segment. What flows in the cable of something
    that was fitted to this car is its own. Whatever it is, it hangs on all that feeds the place."""
    places = sorted(segment.place for segment in netted.weighed if segment.place not in tree.added)
    flows = tree.derived(_UnknownFlows)
    found = []
    for place in places:
        fault = Fault(
            kind="none-of-these", part=f"unknown at {place}", about=place, place=place, undrawn=True,
            odds=FAULT_KINDS["none-of-these"].share / len(places), brings=flows.at(place, parked),
        )  # fmt: skip
        found.append(fault)
    return tuple(found)


class _UnknownFlows:
    """Any current at a place, the same value each time that somebody asks."""

    def __init__(self, tree: PlaceTree) -> None:
        self.tree = tree
        self._known: dict[str, tuple[Flow, ...]] = {}

    def at(self, place: str, parked: Parked) -> tuple[Flow, ...]:
        if place not in self._known:
            self._known[place] = tuple(self._flows(place, parked))
        return self._known[place]

    def _flows(self, place: str, parked: Parked) -> Iterator[Flow]:
        part = parked.platform.parts.get(place)
        feed = parked.way_behind(part) if isinstance(part, Fuse) else None
        through = frozenset({place}) | (feed.through if feed is not None else frozenset())
        way = Way((place, *(above for above in self.tree.above(place) if above != place)), through)
        yield Flow(FlowKey("unknown", place, "own"), "unknown", *moments(ANYTHING), way, True)
        before = parked.converters.before(place)
        if before is not None:
            mean, variance = moments(ANYTHING)
            way = way._replace(places=before.places)
            key = FlowKey("unknown", f"{place} by way of {before.module}", "own")
            yield Flow(key, "unknown", before.share * mean, before.share**2 * variance, way, True)

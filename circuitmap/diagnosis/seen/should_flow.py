"""What should flow at a battery by the sheets, and whose printed figures are just what flows beyond that."""

from collections.abc import Mapping, Sequence
from math import hypot
from typing import NamedTuple

from circuitmap.diagnosis.car.at_work import NEAR
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.figures_seen import figure_of
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.passed_places import brought_together

CLOSE = 0.03
"""To this share of what flows, besides the display, printed figures are met (judgement)."""
LEAST_LEFT = 0.15
"""From this share of what is too much on it is told what an explanation leaves (judgement)."""
MOST_SETS = 2
"""Told if no more sets than this take just that: of many, one is met by chance."""


NO_LESS = 0.7
"""A part takes no less than this share of what is printed of it: where a place on its way carried less, the meter's
error included, it is not what flows (judgement: a lamp on a weak battery, another vehicle's figure)."""
MOST_OF_IT = 0.75
"""Where so much of what a part takes running flows, it runs (judgement)."""


class Running(NamedTuple):
    """Parts that run because they were switched on, the A that they take, and whether it is among what is printed: that
    much flows. `switches` let them run, `places` are where their current passes, the nearest to them first."""

    parts: tuple[str, ...]
    amps: float
    counted: bool
    switches: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


class ShouldFlow(NamedTuple):
    """At a battery that shows `amps`, `printed` are the sheets' own for all asleep, in A, of the parts `of`; `assumed`
    are parts that sleep there too, and of which no sheet says what they take. `awake` are sets of parts which awake, or
    running, take just what flows beyond that, by what is printed; the meter can be off by `error`. `running` was
    switched on."""

    place: str
    amps: float
    printed: float
    of: tuple[str, ...]
    assumed: tuple[str, ...]
    awake: tuple[frozenset[str], ...]
    error: float
    running: Running | None = None

    @property
    def too_many(self) -> float:
        """What flows beyond the printed figures, in A."""
        return self.amps - self.printed

    @property
    def beyond_what_runs(self) -> float:
        """How much more flows than the sheets give for all that is on, in A, where that is more than consumers differ
        by and the meter can be off; else none."""
        if self.running is None or not self.running.counted:
            return 0.0
        return self.too_many if self.too_many > NEAR * self.printed + self.error else 0.0


class Share(NamedTuple):
    """What an explanation takes of what is too much, by what is printed: `parts` take `amps` A, and `left` A are not
    explained by that. `others` are sets of parts that would take just what is left."""

    parts: tuple[str, ...]
    amps: float
    left: float
    others: tuple[frozenset[str], ...]


def should_flow(nets: Netted, faults: Sequence[Fault], parked: Parked, tree: PlaceTree) -> tuple[ShouldFlow, ...]:
    """For each battery read behind which some sheet prints what sleeps there."""
    found = []
    for total in nets.totals:
        asleep = [flow for flow in parked.asleep.values() if total.place in tree.way_places(flow.way.places)]
        sleeping = [flow for flow in asleep if flow.key not in parked.at_work]
        printed = sum(figure_of(its).amps for its in brought_together(f for f in sleeping if not f.assumed))
        if printed <= 0.0:
            continue
        amps = total.amps or 0.0
        at_work = [flow for flow in asleep if flow.key in parked.at_work]
        takes = sum(figure_of(its).amps for its in brought_together(parked.at_work[its.key] for its in at_work))
        counted = amps - printed >= MOST_OF_IT * takes > 0.0
        if counted:
            printed += takes
        running = _running(at_work, takes, counted, parked, tree) if at_work else None
        assumed = tuple(sorted({flow.owner for flow in asleep if flow.assumed}))
        of = tuple(sorted({flow.owner for flow in sleeping if not flow.assumed}))
        off = CLOSE * amps + total.half_step
        most = _most_at(nets)
        sets = _just(amps - printed, off, faults, total.place, tree, most) if amps - printed > off + total.zero else ()
        found.append(
            ShouldFlow(total.place, amps, printed, of, assumed, sets, total.half_step + 2.0 * total.zero, running)
        )
    return tuple(found)


def _running(at_work: Sequence[Flow], takes: float, counted: bool, parked: Parked, tree: PlaceTree) -> Running:
    parts = tuple(sorted({flow.owner for flow in at_work}))
    switches = tuple(sorted({parked.run_by[part] for part in parts if part in parked.run_by}))
    places = dict.fromkeys(p for flow in at_work for p in tree.way_places(flow.way.places) if not tree.is_battery(p))
    return Running(parts, takes, counted, switches, tuple(places))


def share_of(its: ShouldFlow, leads: Sequence[Fault], nets: Netted, faults: Sequence[Fault]) -> Share | None:
    """Where what leads takes clearly less than what is too much, by what is printed of all that it brings. Of the
    `faults` those parts are told that would take the rest."""
    flows = [flow for fault in leads for flow in fault.brings if its.place in flow.way.places]
    figures = [figure_of(one) for one in brought_together(flows)]
    if not figures or any(flow.assumed or flow.key.taken in ("own", "between") for flow in flows):
        return None
    amps = sum(figure.amps for figure in figures)
    left = its.too_many - amps
    off = CLOSE * its.amps + its.error
    if any(figure.trust == "unknown" for figure in figures) or left <= max(off, LEAST_LEFT * its.too_many):
        return None
    parts = frozenset(flow.owner for flow in flows)
    beside = [fault for fault in faults if parts.isdisjoint(flow.owner for flow in fault.brings)]
    others = _just(left, off, beside, its.place, None, _most_at(nets))
    return Share(tuple(sorted(parts)), amps, left, others)


def _most_at(nets: Netted) -> Mapping[str, float]:
    """The most that may flow at each place read, in A: two standard deviations of the meter's errors included."""
    return {
        place: r.highest + 2.0 * hypot(r.zero, r.relative * r.amps)
        for place, r in nets.readings.items()
        if r.amps is not None
    }


def _just(
    amps: float,
    off: float,
    faults: Sequence[Fault],
    place: str,
    tree: PlaceTree | None,
    most: Mapping[str, float],
) -> tuple[frozenset[str], ...]:
    """The sets of parts, of all that single faults bring, that take so much; what is assumed of sensors and small loads
    behind them is left out, but nothing is said where that is so of a module, or of what a fault takes by itself."""
    known: dict[int, frozenset[str]] = {}
    odds: dict[frozenset[str], float] = {}
    for fault in faults:
        its = known.get(id(fault.brings))
        if its is None:
            its = known[id(fault.brings)] = _taking(fault.brings, amps, off, place, tree, most)
        if its:
            odds[its] = odds.get(its, 0.0) + fault.odds
    sets = sorted(odds, key=lambda its: (-odds[its], sorted(its)))
    return tuple(sets) if len(sets) <= MOST_SETS else ()


def _taking(
    flows: Sequence[Flow], amps: float, off: float, place: str, tree: PlaceTree | None, most: Mapping[str, float]
) -> frozenset[str]:
    here: list[Flow] = []
    at: dict[str, list[Flow]] = {}
    for flow in flows:
        places = tree.way_places(flow.way.places) if tree is not None else flow.way.places
        if place in places:
            here.append(flow)
            for its in places:
                at.setdefault(its, []).append(flow)
    if any(flow.key.taken in ("own", "between") or (flow.assumed and flow.key.taken == "awake") for flow in here):
        return frozenset()
    figures = [figure_of(its) for its in brought_together(flow for flow in here if not flow.assumed)]
    if not figures or any(figure.trust == "unknown" for figure in figures):
        return frozenset()
    if abs(sum(figure.amps for figure in figures) - amps) > off:
        return frozenset()
    for its, passing in at.items():
        printed = sum(figure_of(one).amps for one in brought_together(flow for flow in passing if not flow.assumed))
        if its in most and NO_LESS * printed > most[its]:
            return frozenset()
    return frozenset(flow.owner for flow in here if not flow.assumed)

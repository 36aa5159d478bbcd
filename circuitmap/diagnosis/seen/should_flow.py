"""What should flow at a battery by the sheets, and whose printed figures are just what flows beyond that."""

from collections.abc import Mapping, Sequence
from itertools import combinations
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
from circuitmap.wiring.fitting import Answer

CLOSE = 0.03
"""To this share of what flows, besides the display, printed figures are met (judgement)."""
MOST_PAIRED = 60
"""So many single sets, the likeliest first, are put together in twos (judgement)."""
MODULES_ASLEEP = 0.1
"""In A: what a place carries besides, whatever is wrong (judgement)."""
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
    switched on. Of what is `printed`, `by_added` A are what something on no sheet takes standing by, as its papers say;
    `added` stand by there of which nobody said what they take. Those `grounded` are on whole sheets, and yet nobody
    sees their ground there: a chart shows none."""

    place: str
    amps: float
    printed: float
    of: tuple[str, ...]
    assumed: tuple[str, ...]
    awake: tuple[frozenset[str], ...]
    error: float
    running: Running | None = None
    grounded: tuple[str, ...] = ()
    by_added: float = 0.0
    added: tuple[str, ...] = ()

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
        sheets = parked.platform.parts
        beside = [flow for flow in sleeping if flow.owner not in sheets]
        assumed = tuple(sorted({flow.owner for flow in asleep if flow.assumed and flow.owner in sheets}))
        of = tuple(sorted({flow.owner for flow in sleeping if not flow.assumed and flow.owner in sheets}))
        by_added = sum(figure_of(its).amps for its in brought_together(f for f in beside if not f.assumed))
        added = tuple(sorted({flow.owner for flow in beside if flow.assumed}))
        off = CLOSE * amps + total.half_step
        much = amps - printed > off + total.zero
        sets = _just(amps - printed, off, faults, total.place, tree, _limits_at(nets)) if much else ()
        grounded = tuple(name for name in of if name in parked.powered.loads and _is_taken_so(parked, name))
        error = total.half_step + 2.0 * total.zero
        found.append(
            ShouldFlow(total.place, amps, printed, of, assumed, sets, error, running, grounded, by_added, added)
        )
    return tuple(found)


def _is_taken_so(parked: Parked, name: str) -> bool:
    """Whether a load is taken to be grounded although all sheets that show it are whole, and none shows that."""
    its, platform = parked.powered.loads[name], parked.platform
    sheets = platform.parts[name].sheets
    whole = bool(sheets) and all(its in platform.sheets and platform.sheets[its].whole for its in sheets)
    return whole and its.ground_assumed and its.ground == Answer.YES


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
    leading = _printed(flows, its.amps, its.place, None)
    if leading is None:
        return None
    parts = leading.parts
    beside = [fault for fault in faults if parts.isdisjoint(flow.owner for flow in fault.brings)]
    others = _just(left, off, beside, its.place, None, _less(_limits_at(nets), dict(leading.at)))
    return Share(tuple(sorted(parts)), amps, left, others)


def _less(limits: "Limits", at: Mapping[str, float]) -> "Limits":
    """What is left of the limits beside currents that flow at some of the places."""
    return {
        place: (max(least - at.get(place, 0.0), 0.0), max(most - at.get(place, 0.0), 0.0))
        for place, (least, most) in limits.items()
    }


Limits = Mapping[str, tuple[float, float]]
"""The least and the most that may flow at each place read, in A: two standard deviations of the meter's errors off."""


def _limits_at(nets: Netted) -> Limits:
    found = {}
    totals = {reading.place for reading in nets.totals}
    for place, r in nets.readings.items():
        if r.amps is not None and place not in totals:
            off = 2.0 * hypot(r.zero, r.relative * r.amps)
            found[place] = max(r.lowest - off, 0.0), r.highest + off
    return found


def _just(
    amps: float, off: float, faults: Sequence[Fault], place: str, tree: PlaceTree | None, limits: Limits
) -> tuple[frozenset[str], ...]:
    """The sets of parts, of all that single faults bring, that take so much, or else of two of them; what is assumed of
    sensors and small loads behind them is left out, but nothing is said where that is so of a module, or of what a
    fault takes by itself."""
    known: dict[int, _Printed | None] = {}
    odds: dict[_Printed, float] = {}
    for fault in faults:
        if id(fault.brings) not in known:
            known[id(fault.brings)] = _printed(fault.brings, amps + off, place, tree)
        its = known[id(fault.brings)]
        if its is not None:
            odds[its] = odds.get(its, 0.0) + fault.odds
    likely = sorted(odds, key=lambda its: (-odds[its], sorted(its.parts)))
    alone = [its for its in likely if abs(its.amps - amps) <= off and its.goes_with(limits)]
    sets = list(dict.fromkeys(its.parts for its in alone))
    if not sets:
        # What is hardly more than the tolerance would make any figure fit.
        twos = combinations([its for its in likely if its.amps > 2.0 * off][:MOST_PAIRED], 2)
        pairs = (one.with_also(other) for one, other in twos if abs(one.amps + other.amps - amps) <= off)
        both = (its for its in pairs if its is not None and its.goes_with(limits))
        sets = list(dict.fromkeys(its.parts for its in both))
    return tuple(sets) if len(sets) <= MOST_SETS else ()


class _Printed(NamedTuple):
    """What a fault brings by what is printed: its `parts`, all of it in A, and how much of it passes each place."""

    parts: frozenset[str]
    amps: float
    at: tuple[tuple[str, float], ...]

    def with_also(self, other: "_Printed") -> "_Printed | None":
        """Both together; None where they share a part."""
        if not self.parts.isdisjoint(other.parts):
            return None
        at = dict(self.at)
        for place, amps in other.at:
            at[place] = at.get(place, 0.0) + amps
        return _Printed(self.parts | other.parts, self.amps + other.amps, tuple(sorted(at.items())))

    def goes_with(self, limits: Limits) -> bool:
        """Whether each place that was read could carry what passes it, and what it carried could be that."""
        here = dict(self.at)
        return all(
            NO_LESS * here.get(place, 0.0) <= most and NO_LESS * least <= max(here.get(place, 0.0), MODULES_ASLEEP)
            for place, (least, most) in limits.items()
        )


def _printed(flows: Sequence[Flow], most: float, place: str, tree: PlaceTree | None) -> _Printed | None:
    """None where something is not printed, or nothing is drawn at the place, or more than `most`."""
    here: list[Flow] = []
    at: dict[str, list[Flow]] = {}
    for flow in flows:
        places = tree.way_places(flow.way.places) if tree is not None else flow.way.places
        if place in places:
            here.append(flow)
            for its in places:
                at.setdefault(its, []).append(flow)
    if any(flow.key.taken in ("own", "between") or (flow.assumed and flow.key.taken == "awake") for flow in here):
        return None
    figures = [figure_of(its) for its in brought_together(flow for flow in here if not flow.assumed)]
    if not figures or any(figure.trust == "unknown" for figure in figures):
        return None
    amps = sum(figure.amps for figure in figures)
    if amps > most:
        return None
    by_place = (
        (its, sum(figure_of(one).amps for one in brought_together(flow for flow in passing if not flow.assumed)))
        for its, passing in at.items()
    )
    return _Printed(frozenset(flow.owner for flow in here if not flow.assumed), amps, tuple(sorted(by_place)))

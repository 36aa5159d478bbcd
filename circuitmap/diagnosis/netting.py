"""From readings to segments: what flows between the places that were measured.

A fuse and the fuses behind it carry the same current. So each place becomes its reading minus the readings of its
nearest measured branches, and no current is counted twice. Only readings of one state are netted, the latest
at each place. The battery's segment is everything that was not measured by itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Literal

from circuitmap.diagnosis.places import JOINED_BY, PlaceTree, nearest
from circuitmap.diagnosis.reading_chance import Strip
from circuitmap.diagnosis.sightings import ZeroError
from circuitmap.evidence.readings import Reading
from circuitmap.wiring.parts import Battery, Box

# The total may wander by so much between readings of one state (judgement).
STEADY_SHARE, STEADY_STEPS = 0.05, 3.0


@dataclass(frozen=True, slots=True)
class Segment:
    """What flows at a place and not through any measured place behind it.

    `amps` is None where only "draws" or "quiet" is known. `readings` are those it was worked out from, its own first.
    """

    place: str
    amps: float | None
    strip: Strip
    zero: ZeroError | None
    readings: tuple[Reading, ...]

    @property
    def error(self) -> float:
        """Two standard deviations of all that is not the last digit, plus that digit, in A."""
        half = 0.0 if self.amps is None else self.strip.highest - self.amps
        zero = abs(self.zero.amps) if self.zero is not None else 0.0
        own = abs(self.amps or 0.0) * self.strip.relative
        return half + 2.0 * sqrt(self.strip.blur**2 + zero**2 + own**2)


WhyNot = Literal[
    "early", "woken", "other-state", "quiet-phase", "phase-unknown", "partial-feeder", "shared-batteries"
]
"""Why a reading is not weighed: it came before the vehicle slept, or just after it was woken; the total was another
then; it comes from the quiet phase of a draw that comes and goes, or nobody knows from which; the box has other
feeders, one of which was read; another battery shares the current and was not read."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """A reading that is not weighed, and why; `beside` are the other places that matter to it."""

    reading: Reading
    why: WhyNot
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Readings that cannot all be right: branches that carry more than what feeds them, or a current the wrong
    way round."""

    place: str
    readings: tuple[Reading, ...]
    amps: float
    error: float


@dataclass(frozen=True, slots=True)
class Netted:
    segments: tuple[Segment, ...]
    set_aside: tuple[SetAside, ...]
    contradictions: tuple[Contradiction, ...]
    total: Reading | None

    @property
    def measured(self) -> Mapping[str, Segment]:
        return {segment.place: segment for segment in self.segments}


def netted(readings: Sequence[Reading], tree: PlaceTree) -> Netted:
    """Segments from readings in any order but time: of two at one place the later counts."""
    latest, aside, total = _of_one_state(readings, tree)
    latest, more = _joined_and_partial(latest, tree)
    aside += more
    amounts = {place: reading for place, reading in latest.items() if reading.amps is not None}
    children: dict[str, list[Reading]] = {}
    for place, reading in amounts.items():
        parent = nearest((p for p in tree.above(place) if p != place), amounts)
        if parent is not None:
            children.setdefault(parent, []).append(reading)
    segments, contradictions = [], []
    for place, reading in latest.items():
        segment = _segment(place, reading, children.get(place, []))
        if segment.amps is not None and segment.amps + segment.error < 0.0:
            contradictions.append(Contradiction(place, segment.readings, segment.amps, segment.error))
        else:
            segments.append(segment)
    return Netted(tuple(segments), tuple(aside), tuple(contradictions), total)


def _of_one_state(
    readings: Sequence[Reading], tree: PlaceTree
) -> tuple[dict[str, Reading], list[SetAside], Reading | None]:
    """The latest reading at each place that belongs to the parked, undisturbed state with the latest total."""
    aside: list[SetAside] = []
    parked: list[Reading] = []
    for reading in readings:
        if reading.without:
            continue
        if reading.speaks == "early":
            aside.append(SetAside(reading, "early"))
        elif reading.speaks == "woken":
            aside.append(SetAside(reading, "woken"))
        else:
            parked.append(reading)
    totals = [r for r in parked if r.amps is not None and _is_battery(r.place, tree)]
    total = totals[-1] if totals else None
    periodic = total is not None and total.log is not None and total.log.period is not None
    latest: dict[str, Reading] = {}
    for reading in parked:
        why = _of_another_state(reading, total, periodic)
        if why is not None:
            aside.append(SetAside(reading, why))
        else:
            latest.pop(reading.place, None)
            latest[reading.place] = reading
    return latest, aside, total


def _is_battery(place: str, tree: PlaceTree) -> bool:
    return isinstance(tree.parked.platform.parts.get(place), Battery)


def _of_another_state(reading: Reading, total: Reading | None, periodic: bool) -> WhyNot | None:
    """Why a reading does not belong to the state of the total; None if it does."""
    if total is None or reading is total or total.amps is None:
        return None
    if reading.total is not None:
        steady = max(STEADY_SHARE * abs(total.amps), STEADY_STEPS * total.half_step * 2.0)
        if abs(reading.total - total.amps) > steady:
            quiet_phase = periodic and total.log is not None and reading.total < total.log.mean
            return "quiet-phase" if quiet_phase else "other-state"
    elif periodic and not reading.shows_current:
        return "phase-unknown"
    return None


def _joined_and_partial(
    latest: dict[str, Reading], tree: PlaceTree
) -> tuple[dict[str, Reading], list[SetAside]]:
    """Batteries that share the current become one reading, or none; a box read beside some of its feeders is left
    out."""
    aside: list[SetAside] = []
    kept: dict[str, Reading] = {}
    groups = {name: name.split(JOINED_BY) for name in tree.joined.values()}
    for place, reading in latest.items():
        group = tree.joined.get(place)
        if group is None:
            part = tree.parked.platform.parts.get(place)
            beside = [p for p in latest if p != place and tree.feeds_part_of(place, p)] if isinstance(part, Box) else []
            if beside:
                aside.append(SetAside(reading, "partial-feeder", tuple(beside)))
            else:
                kept[place] = reading
        elif not all(name in latest and latest[name].amps is not None for name in groups[group]):
            aside.append(SetAside(reading, "shared-batteries", tuple(groups[group])))
        elif group not in kept:
            kept[group] = _sum([latest[name] for name in groups[group]], group)
    return kept, aside


def _sum(readings: list[Reading], place: str) -> Reading:
    amps = sum(reading.amps or 0.0 for reading in readings)
    return replace(readings[0], place=place, amps=amps, written=" and ".join(r.written for r in readings))


def _segment(place: str, own: Reading, branches: list[Reading]) -> Segment:
    readings = (own, *branches)
    relative = own.relative
    if own.amps is None:
        return Segment(place, None, Strip(own.lowest, own.highest, 0.0, relative), None, readings)
    amps = own.amps - sum(branch.amps or 0.0 for branch in branches)
    half = sqrt(sum(reading.half_step**2 for reading in readings))
    blur = 0.0
    if branches:
        blur, relative = sqrt(sum((r.relative * (r.amps or 0.0)) ** 2 for r in readings)), 0.0
    zeros: dict[str, float] = {}
    for sign, reading in ((1.0, own), *((-1.0, branch) for branch in branches)):
        if reading.zero > 0.0:
            zeros[reading.meter.name] = zeros.get(reading.meter.name, 0.0) + sign * reading.zero
    shared = max(zeros, key=lambda name: abs(zeros[name]), default=None)
    for name, amount in zeros.items():
        if name != shared:
            blur = hypot(blur, amount)
    zero = ZeroError(shared, zeros[shared]) if shared is not None else None
    return Segment(place, amps, Strip(amps - half, amps + half, blur, relative), zero, readings)


def unaccounted(result: Netted, tree: PlaceTree) -> tuple[float, float] | None:
    """What of the total is not found yet, and by how much the meters can be off, in A; None without a total."""
    if result.total is None:
        return None
    place = tree.joined.get(result.total.place, result.total.place)
    segment = result.measured.get(place)
    if segment is None:
        clash = next((c for c in result.contradictions if c.place == place), None)
        return (clash.amps, clash.error) if clash is not None else None
    return (segment.amps, segment.error) if segment.amps is not None else None


def found_of(result: Netted, tree: PlaceTree) -> float:
    """What of the total the readings behind the battery account for, in A."""
    left = unaccounted(result, tree)
    if result.total is None or result.total.amps is None or left is None:
        return 0.0
    return result.total.amps - left[0]



"""Which readings speak of one state of the parked vehicle, and why the others do not."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.one_state import at_the_height_of, of_another_state
from circuitmap.evidence.evidence import Gone
from circuitmap.evidence.log_states import is_of_one_state, with_its_state
from circuitmap.evidence.readings import AtOtherHeight, Reading
from circuitmap.evidence.tries import BACK_SHARE, LEAST_GONE, Try, flowed_before
from circuitmap.wiring.parts import Box

AGREE_SHARE = 0.10
"""Two readings of one place agree within this share, beyond their meters' errors (judgement)."""

WhyNot = Literal[
    "early",
    "woken",
    "other-state",
    "quiet-phase",
    "event-phase",
    "phase-unknown",
    "partial-feeder",
    "shared-batteries",
    "after-reset",
    "gone-by-itself",
    "as-it-stood",
]
"""Why a reading is not weighed: it came before the vehicle slept, or just after it was woken; the total was another
then; it comes from the quiet phase of a draw that comes and goes, from an event over a floor that is the draw itself,
or nobody knows from which; the box has other feeders, one of which was read; another battery shares the current and was
not read; the draw went with something out and has not come back since that is in again, or had gone by itself;
something was turned or taken out since, and is left so."""


class SetAside(NamedTuple):
    """A reading that is not weighed, and why; `beside` are the other places that matter to it."""

    reading: Reading
    why: WhyNot
    beside: tuple[str, ...] = ()


class Disagreement(NamedTuple):
    """Two people read one place in one state, and no reading since agrees with either: the later one counts, and that
    is said."""

    earlier: Reading
    later: Reading


class Chosen(NamedTuple):
    """The latest reading of that one state at each place, and how many looks at each place agree: the readings since
    one showed something else, and one more where the current was watched (it did not move, or it was logged).
    `disagreed`: what two people read at one place, further apart than their meters. `before` are, by place, the looks
    across the same fuse just before the latest one that agree with it."""

    latest: dict[str, Reading]
    set_aside: list[SetAside]
    looks: dict[str, int]
    disagreed: tuple[Disagreement, ...] = ()
    before: Mapping[str, tuple[Reading, ...]] = MappingProxyType({})


def after_a_reset(readings: Sequence[Reading], tries: Sequence[Try]) -> list[Reading]:
    """Readings with everything in since the draw went with something out and did not come back: they are of a vehicle
    that is well for the time being, and say nothing of what was wrong."""
    found: list[Reading] = []
    for attempt in tries:
        before, left, back = flowed_before(attempt, readings), attempt.left, attempt.back
        if before is None or back is None or before.amps is None or left is None or back.amps is None:
            continue
        gone = before.amps - left
        if gone < LEAST_GONE * before.amps or back.amps - left >= BACK_SHARE * gone:
            continue
        start = next((n for n, reading in enumerate(readings) if reading is back), len(readings))
        for reading in readings[start:]:
            if reading.place == back.place and (reading.amps or 0.0) - left >= BACK_SHARE * gone:
                break
            if not reading.without:
                found.append(reading)
    return found


def gone_since(readings: Sequence[Reading], set_aside: Sequence[SetAside], gone: Sequence[Gone] = ()) -> bool:
    """Whether the draw is gone now, after a reset: the last reading with everything in shows none, and none with
    something out has shown it since."""
    last = next((reading for reading in reversed(readings) if not reading.without and reading.speaks == "parked"), None)
    if last is None or any(one.is_back and one.covers(last.span) for one in gone):
        return False
    went = (one.reading for one in set_aside if one.why in ("after-reset", "gone-by-itself"))
    return any(one.place == last.place and one.span == last.span for one in went)


def chosen_from(
    readings: Sequence[Reading],
    tree: PlaceTree,
    tries: Sequence[Try] = (),
    of_before: Sequence[Reading] = (),
    gone: Sequence[Gone] = (),
) -> Chosen:
    """Readings with everything in, asleep, with the latest total. `of_before` are readings of the vehicle as it stood
    before something was turned or taken out that is left so; `gone` is when the draw had gone."""
    reset = after_a_reset(readings, tries)
    aside: list[SetAside] = [SetAside(reading, "after-reset") for reading in reset]
    by_itself = [its for its in gone if its.by_itself]
    went = [r for r in readings if not r.without and any(its.covers(r.span) for its in by_itself)]
    aside += [SetAside(reading, "gone-by-itself") for reading in went if not any(reading is one for one in reset)]
    reset += went
    aside += [SetAside(reading, "as-it-stood") for reading in of_before if reading.speaks == "parked"]
    readings = [reading for reading in readings if not any(reading is one for one in reset)]
    parked: list[Reading] = []
    for reading in readings:
        if reading.without:
            continue
        if reading.speaks == "parked":
            parked.append(reading)
        else:
            aside.append(SetAside(reading, reading.speaks))
    totals: dict[str, Reading] = {}
    for n, reading in enumerate(parked):
        if reading.amps is None or not tree.is_battery(reading.place):
            continue
        earlier = totals.get(reading.place)
        parked[n] = reading = with_its_state(reading, earlier)
        if not is_of_one_state(reading, earlier):
            totals[reading.place] = reading
    latest: dict[str, Reading] = {}
    looks: dict[str, int] = {}
    shown: dict[str, list[Reading]] = {}
    stood: dict[str, Reading] = {}
    for reading in parked:
        other = of_another_state(reading, totals, stood, tree)
        if tree.is_battery(reading.place):
            its = stood.get(reading.place)
            if its is None or reading.watched or not its.watched or not agree(its, reading):
                stood[reading.place] = reading
        if other is not None:
            then = reading if other.total is None else replace(reading, total=other.total)
            aside.append(SetAside(then, other.why))
        else:
            reading = at_the_height_of(reading, totals, stood, tree)
            earlier = latest.get(reading.place)
            if reading.height is not None and earlier is not None and earlier.height is None:
                continue  # it was read in an event as high as the latest: that says more
            latest.pop(reading.place, None)
            if earlier is not None and is_of_one_state(reading, earlier):
                reading = replace(reading, log=earlier.log)  # what flows in the event: it comes and goes all the same
            latest[reading.place] = reading
            shown.setdefault(reading.place, []).append(reading)
            before = looks.get(reading.place, 0) if earlier is not None and agree(earlier, reading) else 0
            looks[reading.place] = before + (2 if reading.watched or reading.log is not None else 1)
    of_then = ("other-state", "as-it-stood", "phase-unknown")
    aside = [one for one in aside if one.why not in of_then or one.reading.place not in latest]  # it was read again
    chosen = _joined_and_partial(latest, aside, looks, tree)
    disagreed = (two for readings in shown.values() if (two := _disagreement(readings)) is not None)
    agreeing = {place: _agreeing(shown[place]) for place in chosen.latest if place in shown}
    return chosen._replace(disagreed=tuple(disagreed), before=agreeing)


def _agreeing(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """Of the readings at one place, those in a row before the last that show the same as it does in millivolts."""
    *before, last = readings
    found: list[Reading] = []
    for one in reversed(before):
        if last.drop is None or one.drop is None or one.resistance != last.resistance or not agree(one, last):
            break
        found.append(one)
    return tuple(found)


def _disagreement(readings: Sequence[Reading]) -> Disagreement | None:
    """Of the readings at one place: the last one with the one before it, if somebody else took that one and no reading
    at all agrees with the last."""
    *before, last = readings
    if not before or any(agree(one, last) for one in before):
        return None
    earlier = before[-1]
    other = earlier.by and last.by and earlier.by.casefold() != last.by.casefold()
    return Disagreement(earlier, last) if other else None


def agree(one: Reading, other: Reading) -> bool:
    """Whether two readings show the same, as far as their meters can tell."""
    if one.amps is None or other.amps is None:
        return one.draws == other.draws and one.amps == other.amps
    off = one.half_step + other.half_step + 2.0 * (one.zero + other.zero)
    return abs(one.amps - other.amps) <= off + AGREE_SHARE * abs(other.amps)


def _joined_and_partial(
    latest: dict[str, Reading], aside: list[SetAside], looks: dict[str, int], tree: PlaceTree
) -> Chosen:
    """Batteries, or fuses, that share the current give one reading, or none; a box read beside some of its feeders is
    left out."""
    kept: dict[str, Reading] = {}
    for place, reading in latest.items():
        group = tree.joined.get(place)
        if group is None:
            part = tree.parked.platform.parts.get(place)
            beside = [p for p in latest if p != place and tree.feeds_part_of(place, p)] if isinstance(part, Box) else []
            if beside:
                aside.append(SetAside(reading, "partial-feeder", tuple(beside)))
            else:
                kept[place] = reading
            continue
        names = tree.members_of(group)
        together = [latest[name] for name in names if name in latest]
        if len(together) < len(names) or any(one.amps is None and one.draws is None for one in together):
            aside.append(SetAside(reading, "shared-batteries", names))
        elif group not in kept:
            kept[group] = _together(group, together)
    return Chosen(kept, aside, looks)


def _together(group: str, readings: Sequence[Reading]) -> Reading:
    """What places that share a current show together: the sum; of fuses of which it is not known how many millivolts
    stand for how much, nothing where none shows anything, else that something flows."""
    amps = sum(one.amps or 0.0 for one in readings) if all(one.amps is not None for one in readings) else None
    draws = any(one.shows_current for one in readings) if amps is None else readings[0].draws
    resistance = readings[0].resistance if amps is not None else None
    written = " and ".join(one.written for one in readings)
    height = next((one.height for one in readings if one.height is not None), None)
    if height is not None:
        draws = any(one.shows_current for one in readings)
        height = AtOtherHeight(
            None, height.then, sum(one.lowest for one in readings), sum(one.highest for one in readings)
        )
    return replace(
        readings[0], place=group, amps=amps, draws=draws, resistance=resistance, written=written, height=height
    )

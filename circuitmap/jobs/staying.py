"""What the draw is held to once something was mended, or is left of it without what took it: what was added to the
vehicle, and is to stay, takes its share still, as its papers say, or as was read where it hangs."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.car import AddedPart
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.limits import Limits, limits_of
from circuitmap.jobs.mended_way import places_passed
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.switched_off import AsItStood, as_it_stood
from circuitmap.jobs.trying import TryVerdict
from circuitmap.quantities import Band

WENT = ("proven", "involved", "part")
"""The verdicts on what took of the draw."""


def as_mended(
    circuit: Circuit, evidence: Evidence, at: int, told: Limits, away: Collection[str],
    words: tuple[str, str], tries: Iterable[TryVerdict],
) -> AsItStood:  # fmt: skip
    """The evidence since something was mended, at this place of the card's text, and what the draw is held to then.
    `told` are the limits as the card first said, `away` what was added and taken away for good; of what is named as the
    cause, or as mended, nobody knows that it stays as it was. The `words` (the cause, and what was mended) and the
    `tries` before it tell what it was."""
    its = as_it_stood(circuit, evidence.told_between(at, None), told)
    too_much = any(
        battery_read_at(circuit.platform, one.place) and (one.amps or 0.0) > told.own for one in its.evidence.readings
    )
    if not its.evidence.added or not too_much:
        return its
    every = [part.name for part in evidence.added]
    names = {name for said in words for name in names_in(circuit.platform, said, every)}
    stays = [part for part in its.evidence.added if part.name not in away and part.name not in names]
    names |= {name for one in tries if one.verdict in WENT for name in one.out}
    added = _with_shares(circuit, evidence, at, names, stays)
    return AsItStood(its.evidence, limits_of(circuit, replace(its.evidence, added=added)))


def as_found(circuit: Circuit, evidence: Evidence, told: Limits, tries: Sequence[TryVerdict]) -> Limits:
    """What the vehicle is held to without what took the draw, before anything was mended: what was added, and was none
    of it, takes its share still. `told` are the limits as they are, and stay where nothing more is left than that."""
    went = [one for one in tries if one.verdict in WENT]
    left = [one.after for one in went if battery_read_at(circuit.platform, one.place)]
    if not evidence.added or not any((one.amps or 0.0) > told.own for one in left):
        return told
    names = {name for one in went for name in one.out}
    stays = [part for part in evidence.added if part.name not in names]
    added = _with_shares(circuit, evidence, None, names, stays)
    return limits_of(circuit, replace(evidence, added=added)) if added else told


def _with_shares(
    circuit: Circuit, evidence: Evidence, at: int | None, names: Collection[str], stays: Sequence[AddedPart]
) -> tuple[AddedPart, ...]:
    """What was added and stays, each with what it takes asleep by its papers, or by what was read where it hangs and
    nothing of `names` flowed."""
    unsaid = [part.name for part in stays if part.asleep is None]
    seen: dict[str, float] = {}
    if unsaid:
        seen = _shares_read(circuit, evidence, at, places_passed(circuit, evidence, names), unsaid)
    return tuple(
        part._replace(asleep=Band(seen[part.name], seen[part.name])) if part.name in seen else part for part in stays
    )


def _shares_read(
    circuit: Circuit, evidence: Evidence, at: int | None, passed: Collection[str] | None, unsaid: Sequence[str]
) -> dict[str, float]:
    """What each of these takes, in A, by what was read where it hangs: what is left there beside what was read behind
    it and what the sheets give, in equal shares. Only of one that takes no more than such things do standing by."""
    from circuitmap.diagnosis.car.currents import STANDING_BY_AT_MOST
    from circuitmap.diagnosis.car.places import nearest
    from circuitmap.diagnosis.prepared import prepared_for

    ready = prepared_for(circuit, {}, evidence)
    tree, sheets = ready.tree, circuit.platform.parts
    read = {
        reading.place: (reading.amps or 0.0) if reading.shows_current else 0.0
        for reading in _read_of_what_is_left(evidence, at, passed)
        if not tree.is_post(reading.place)
    }
    left = dict(read)
    for place, amps in read.items():
        before = next((its for its in tree.above(place) if its in read), None)
        if before is not None:
            left[before] -= amps
    hangs: dict[str, list[str]] = {}
    for flow in ready.parked.asleep.values():
        at_place = nearest(tree.way_places(flow.way.places), read)
        if at_place is not None and flow.owner in unsaid:
            hangs.setdefault(at_place, []).append(flow.owner)
        elif at_place is not None and (flow.owner in sheets or not flow.assumed):
            left[at_place] -= flow.mean
    shares = {name: left[place] / len(names) for place, names in hangs.items() for name in names}
    return {name: amps for name, amps in shares.items() if 0.0 < amps <= STANDING_BY_AT_MOST}


def _read_of_what_is_left(evidence: Evidence, at: int | None, passed: Collection[str] | None) -> Iterator[Reading]:
    """What was read since something was mended, `at` that place of the text, and before it, or if nothing was, where
    nothing flowed of that."""
    for reading in evidence.readings:
        since = at is not None and reading.span is not None and reading.span.start > at
        asleep = reading.speaks == "parked" and not reading.without and reading.log is None
        if asleep and reading.amps is not None and (since or (passed is not None and reading.place not in passed)):
            yield reading

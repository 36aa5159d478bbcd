"""A card on which something was mended tells of one vehicle after the other, each diagnosed by what was read of it."""

from collections.abc import Iterable
from dataclasses import replace

from circuitmap.diagnosis.seen.experience import part_in
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.platform import Platform


def as_it_came_in(card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence of the vehicle before the last thing was mended, and since what was mended before that."""
    mended = _mended_at(card)
    for start, end in reversed([*zip((0, *mended), mended, strict=False)]):
        before = evidence.told_between(start, end)
        if before.readings or before.tries:
            return before
    return evidence.told_between(0, mended[0]) if mended else evidence


def as_it_is_now(platform: Platform, card: JobCard, evidence: Evidence, standing: JobStanding) -> Evidence:
    """The evidence of the vehicle that still draws although something was mended: what was read since, and what was
    mended. Of any other vehicle that of the vehicle as it came in."""
    mended = _mended_at(card)
    if standing.stage != "not-repaired" or not mended:
        return as_it_came_in(card, evidence)
    went = _narrowest(_went(standing.tries)) or _named(platform, standing.cause)
    return replace(evidence.told_between(mended[-1], None), mended=went)


def _mended_at(card: JobCard) -> tuple[int, ...]:
    """Where in the card's text something was mended."""
    return tuple(e.span.start for e in card.entries if e.struck is None and e.mended is not None)


def _went(tries: Iterable[TryVerdict]) -> list[TryVerdict]:
    return [one for one in tries if one.verdict in ("proven", "involved", "part")]


def _narrowest(tries: list[TryVerdict]) -> tuple[tuple[str, ...], ...]:
    """What took the draw with it when it was out: where the same draw went with several things, what was proven, or
    else tried last."""
    order = sorted(tries, key=lambda one: (one.verdict == "proven", one.after.span.start if one.after.span else 0))
    by_draw: dict[float | None, tuple[str, ...]] = {}
    for one in order:
        took = one.took
        same = next((d for d in by_draw if took is not None and d is not None and abs(d - took) <= 0.1 * d), took)
        by_draw[same] = one.out
    return tuple(dict.fromkeys(by_draw.values()))


def _named(platform: Platform, cause: str) -> tuple[tuple[str, ...], ...]:
    part = part_in(platform, cause)
    return ((part,),) if part else ()

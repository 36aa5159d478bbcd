"""The draw was there, went, and nothing was mended: what is looked at with everything in while it is gone is of a
vehicle that is well for the time being, and says nothing of what was wrong. That holds until it is back.

It goes with something taken out, and stays away once that is in again; or by itself, between two steady looks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeVar

from circuitmap.evidence.checks_at_parts import InputSeen, PinVolts, RelayVolts
from circuitmap.evidence.evidence import Evidence, Gone
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.no_difference import with_all_in
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.rhythm_in_words import happens_when_on
from circuitmap.evidence.tries import BACK_SHARE, LEAST_GONE, Try, flowed_before, has_fallen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of, sleep_of

_Seen = TypeVar("_Seen", NetworkLine, PinVolts, RelayVolts, InputSeen)


class _Fall(NamedTuple):
    """From `before` the draw fell to what was `left`; `seen` is the reading, with everything in, that shows it gone."""

    before: float
    left: float
    seen: Reading
    by_itself: bool

    def is_back(self, reading: Reading) -> bool:
        up = reading.log.peak if reading.log is not None else reading.amps
        return reading.place == self.seen.place and (up or 0.0) - self.left >= BACK_SHARE * (self.before - self.left)


def with_what_had_gone(platform: Platform, card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence with the stretches of the card's text in which the draw was gone, whole entries each."""
    gone = gone_on(platform, card, evidence.readings, evidence.tries)
    return replace(evidence, gone=gone, happens_when=happens_when_on(card))


def gone_on(platform: Platform, card: JobCard, readings: Sequence[Reading], tries: Sequence[Try]) -> tuple[Gone, ...]:
    """Each stretch of a card's text in which the draw was gone, by what was read and tried so far."""
    as_if_in = with_all_in(platform, readings, tries, lambda _place, _out: False)  # posts hang on nothing
    falls = [*_after_tries(tries, readings), *_by_itself(platform, card, as_if_in)]
    return tuple(_stretch(card, readings, fall) for fall in falls)


def _after_tries(tries: Sequence[Try], readings: Sequence[Reading]) -> Iterator[_Fall]:
    for one in tries:
        before, left, back = flowed_before(one, readings), one.left, one.back
        if before is None or back is None or before.amps is None or left is None or back.amps is None:
            continue
        gone = before.amps - left
        if gone >= LEAST_GONE * before.amps and back.amps - left < BACK_SHARE * gone:
            yield _Fall(before.amps, left, back, False)


def _by_itself(platform: Platform, card: JobCard, readings: Sequence[Reading]) -> Iterator[_Fall]:
    """At each battery: from a steady look above the limit to one within it, with no more out than then, while no other
    battery gives more."""
    limit = limit_of(platform)
    last, looks = dict[str, Reading](), dict[str, list[Reading]]()
    mended = [entry.span.start for entry in card.entries if entry.mended is not None and entry.struck is None]
    for reading in readings:
        if not battery_read_at(platform, reading.place) or reading.speaks != "parked":
            continue
        its = looks.setdefault(reading.place, [])
        before = next((r for r in reversed(its) if _is_held_to(platform, r, reading)), None)
        surer = before is not None and _is_sure(platform, before) and not _is_sure(platform, reading)
        if surer and before is not None and not (has_fallen(before, reading) or has_fallen(reading, before)):
            continue  # once more the same, only not watched
        its.append(reading)
        if not reading.without:
            last[reading.place] = reading
        if before is None or not (_is_sure(platform, before) and _is_sure(platform, reading)):
            continue
        was, left = before.amps or 0.0, reading.amps or 0.0
        between = any(_at(before) < at < _at(reading) for at in mended)
        if was > limit >= left and was - left >= LEAST_GONE * was and has_fallen(before, reading) and not between:
            others = (
                one.amps or 0.0 for place, one in last.items() if _at(one) > _at(before) and place != reading.place
            )
            if all(amps <= limit or amps < was - left for amps in others):
                yield _Fall(was, left, reading, True)


def _is_held_to(platform: Platform, before: Reading, reading: Reading) -> bool:
    """Whether a look says what would flow at a later one: the same was out, or more of it and it drew all the same."""
    out, later = set(before.without), set(reading.without)
    return out == later or (later < out and _is_sure(platform, before) and (before.amps or 0.0) > limit_of(platform))


def _is_sure(platform: Platform, reading: Reading) -> bool:
    """Whether a look was watched, and made when the vehicle was surely asleep."""
    slept = reading.minutes is None or reading.minutes >= sleep_of(platform).high
    return reading.watched and slept and reading.amps is not None and reading.log is None and not reading.during


def _stretch(card: JobCard, readings: Sequence[Reading], fall: _Fall) -> Gone:
    start = _entry_of(card, _at(fall.seen))
    back = next((r for r in readings if _at(r) >= start and r.speaks == "parked" and fall.is_back(r)), None)
    mended = (entry.span.start for entry in card.entries if entry.mended is not None and entry.struck is None)
    ends = [at for at in mended if at > start]
    again = _entry_of(card, _at(back)) if back is not None else None
    end = min([*ends, *([] if again is None else [again])], default=None)
    return Gone(start, end, fall.by_itself, is_back=again is not None and end == again)


def _entry_of(card: JobCard, at: int) -> int:
    return max((entry.span.start for entry in card.entries if entry.span.start <= at), default=at)


def _at(reading: Reading) -> int:
    return reading.span.start if reading.span is not None else -1

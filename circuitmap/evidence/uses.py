"""Where the vehicle was used, by the card, and what that is to something that was out meanwhile.

What hangs or sticks is set up by use: with the draw gone, a quiet look says nothing of what is out, and what was out
while the vehicle was used is held to what it drew before it had gone, not to that quiet look.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from circuitmap.evidence.evidence import Evidence, Gone
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try


def used_at(entries: Iterable[Entry]) -> Iterator[int]:
    """Where in the card's text the key was turned to use the vehicle, not to ask its modules; told once it is locked
    again. `entries` are those that count."""
    turned, asked = 0, False
    for entry in entries:
        state = entry.state.value if entry.state is not None else ""
        if state == "key on":
            turned, asked = entry.span.start, False
        asked = asked or bool(entry.silent or entry.unsteady or entry.answers or entry.codes or entry.inputs)
        if state == "locked" and turned and not asked:
            yield turned
        turned = 0 if state == "locked" else turned


def with_use(evidence: Evidence, entries: Sequence[Entry], uses: Sequence[int]) -> Evidence:
    """Whether it was locked on the card without having been used: what hangs or sticks was set up by nothing then."""
    locked = any(its.struck is None and its.state is not None and its.state.value == "locked" for its in entries)
    return replace(evidence, unused=locked and not uses)


def was_used(uses: Iterable[int], since: int, until: Reading) -> bool:
    """Whether the vehicle was used between a place in the card's text and a reading."""
    return any(since < at < place_in_text(until) for at in uses)


def before_it_had_gone(before: Reading, all_in: Sequence[Reading], gone: Sequence[Gone]) -> Reading:
    """What a try over a use is held to: the last look of those with everything in that was not made while the draw had
    `gone`; `before`, where there is none."""
    if not any(its.covers(before.span) for its in gone):
        return before
    drew = (r for r in reversed(all_in) if not any(its.covers(r.span) for its in gone))
    return next((r for r in drew if r.during == before.during and (r.amps is None) == (before.amps is None)), before)


def says_nothing_yet(one: Try, back: Reading, put_back: int, uses: Iterable[int]) -> bool:
    """Whether a look with something in again shows nothing of it: it was quiet after a use with it out, and it has not
    been used since it was `put_back` (a place in the card's text). The draw, where it is there, always counts."""
    if not (one.over_use and one.fell) or was_used(uses, put_back - 1, back):
        return False
    return replace(one, back=back).came_back is False


def place_in_text(reading: Reading) -> int:
    return reading.span.start if reading.span is not None else -1

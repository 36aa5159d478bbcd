"""What was read with something out with which the draw went on undiminished is of the vehicle as it is with everything
in, also once that is in again: what was out had nothing to do with it."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try, has_fallen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of

Hangs = Callable[[str, Collection[str]], bool]
"""Whether a place gets its plus through something of what is out."""


def went_on_without(one: Try, limit: float) -> bool:
    """Whether a draw, more than `limit` in A, went on undiminished in a try: where nothing draws nothing can go. It may
    have risen where what comes and goes was up at the time: one event is higher than another; else what is out may
    have made something else draw more."""
    before, after = one.before, one.after
    if after.speaks != "parked" or before is None or before.amps is None or after.amps is None:
        return False
    if one.fell or one.took_a_part or after.amps <= limit:
        return False
    return not has_fallen(after, before) or after.during == "event"


def with_all_in(
    platform: Platform, readings: Iterable[Reading], tries: Sequence[Try], hangs: Hangs
) -> tuple[Reading, ...]:
    """The readings, those made with such things out as if these had been in, but for places that hang on them."""
    limit = limit_of(platform)
    at_posts = (one for one in tries if battery_read_at(platform, one.after.place))
    outs = {frozenset(one.out) for one in at_posts if went_on_without(one, limit)}
    outs -= {frozenset(one.out) for one in tries if one.fell or one.took_a_part}
    return tuple(
        replace(reading, without=())
        if reading.without and frozenset(reading.without) in outs and not hangs(reading.place, reading.without)
        else reading
        for reading in readings
    )

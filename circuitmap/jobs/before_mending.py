"""The draw as it was before something was mended, battery by battery: how much of it, where it was read, and whether it
had gone quiet by itself.

What had gone quiet by itself stays quiet for a while whatever is mended, so a quiet night after it shows nothing until
the vehicle was used again. And where it stayed quiet although it had been used, use is not what brings it back.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.log_states import events_apart
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try
from circuitmap.evidence.uses import used_at
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import against_limit, held_amps
from circuitmap.jobs.limits import Limits
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.platform import Platform

Quiet = Literal["", "by-itself", "though-used"]
"""Whether the draw was still there when it was mended (empty), had gone `by-itself`, or had stayed away `though` the
vehicle was `used` again."""


class Drew(NamedTuple):
    """The draw of one battery before it was mended. `posts` are the places whose log can show that it is gone; `amps`
    is the most that was read; None: it drew, but nobody knows how much."""

    battery: str
    posts: frozenset[str]
    amps: float | None
    quiet: Quiet = ""


class Before(NamedTuple):
    """`drew` are the batteries of which a draw was read, each with it; `posts` all places whose log can show something
    where none was. `locked`: the card says when the vehicle was locked, or at least that it was. `mended`, `used`:
    where in the card's text something was mended last, and where the vehicle was used. `apart`: how many minutes lay
    from one event of what came and went to the next."""

    drew: tuple[Drew, ...]
    posts: frozenset[str]
    locked: bool
    mended: int = 0
    used: tuple[int, ...] = ()
    apart: float | None = None


class BeforeIt(NamedTuple):
    """What of a card stands above the entry that says what was mended last: `readings` and `tries` as told, `verdicts`
    on them, and of each battery the reading that says whether it draws; `live` are all entries that count."""

    readings: Sequence[Reading]
    tries: Sequence[Try]
    verdicts: Sequence[TryVerdict]
    totals: Mapping[str, Reading]
    live: Sequence[Entry]


def before_mending(
    platform: Platform, card: BeforeIt, limits: Limits, locked: bool, fed_from: Callable[[str], Collection[str]]
) -> Before:
    """The draw of each battery. Where it was read at no battery, it is that of those which `fed_from` gives for the
    place at which it was read."""
    used = tuple(used_at(card.live))
    mended = [entry.span.start for entry in card.live if entry.mended is not None]
    drew = [
        its for battery in limits.batteries
        if (its := _drew_at(platform, battery, card, limits, used, mended[:-1])) is not None
    ]  # fmt: skip
    if not drew:
        elsewhere = [r for r in card.readings if _says_something(r) and not battery_read_at(platform, r.place)]
        drawing = [r for r in elsewhere if r.shows_current and (r.amps is None or r.amps > limits.own)]
        amps = max((value for r in drawing if (value := most_shown(r)) is not None), default=None)
        at_each = [
            _quiet_since([(_at(r), r in drawing) for r in elsewhere if r.place == place], used, mended[:-1])
            for place in dict.fromkeys(r.place for r in drawing)
        ]  # fmt: skip
        quiet = at_each[0] if at_each and all(at_each) else ""
        for battery in dict.fromkeys(name for r in drawing for name in fed_from(r.place)):
            drew.append(Drew(battery, frozenset((battery, f"{battery}.-")), amps, quiet))
    posts = [post for battery in limits.batteries for post in (battery, f"{battery}.-")]
    return Before(tuple(drew), frozenset(posts), locked, mended[-1] if mended else 0, used, events_apart(card.readings))


def _drew_at(
    platform: Platform, battery: str, card: BeforeIt, limits: Limits, used: Sequence[int], mended: Sequence[int]
) -> Drew | None:
    """What went with a part at this battery, else all that it gave, if above the limit, then or earlier."""
    gone = [
        one for one in card.verdicts
        if one.verdict in ("proven", "involved", "gone-by-itself") and battery_read_at(platform, one.place) == battery
    ]  # fmt: skip
    here = [r for r in card.readings if _says_something(r) and battery_read_at(platform, r.place) == battery]
    above = [r for r in here if against_limit(r, limits.at(r.place)) == "above"]
    total = card.totals.get(battery)
    told = [one.before for one in gone if one.before is not None]
    told += [total] if total is not None and total in above else []
    told = told or above[-1:]
    if not told and not gone:
        return None
    amps = max((value for r in told if (value := most_shown(r)) is not None), default=None)
    # Between two events what comes and goes has not gone.
    shown = [(_at(r), r in above) for r in here if r in above or r.during != "floor"]
    for one in card.tries:
        back = one.back
        if back is not None and back.change and battery_read_at(platform, one.after.place) == battery:
            shown.append((_at(back), back.change == "again"))
    last = next((one.place for one in reversed(gone)), total.place if total is not None else battery)
    posts = (last,) if last.endswith(".-") else (battery, f"{battery}.-")
    return Drew(battery, frozenset(posts), amps, _quiet_since(shown, used, mended))


def _quiet_since(shown: Iterable[tuple[int, bool]], used: Sequence[int], mended: Sequence[int]) -> Quiet:
    """Of what was read at one place, each with its place in the card's text and whether it drew: whether it no longer
    did at the end, although nothing had been mended."""
    in_turn = sorted(shown)
    drew = [at for at, draws in in_turn if draws]
    quiet = [at for at, draws in in_turn if not draws and drew and at > drew[-1]]
    if not quiet or any(drew[-1] < at < quiet[0] for at in mended):
        return ""
    return "though-used" if any(drew[-1] < at < quiet[-1] for at in used) else "by-itself"


def most_shown(reading: Reading) -> float | None:
    """For a log of a draw that comes and goes, or ran on, what flowed then."""
    log = reading.log
    if log is not None and log.state in ("event", "stayed on", "ran on"):
        return log.drew
    return held_amps(reading)


def _says_something(reading: Reading) -> bool:
    return not reading.without and reading.speaks == "parked"


def _at(reading: Reading) -> int:
    return reading.span.start if reading.span is not None else 0

"""Which batteries were renewed, by what the card says was mended: what was found at the old one says nothing of the new
one, and a battery that was the cause is shown by the new one's volts and test, not by a log of a draw that never was.

`new battery B2`, `B2 renewed`, `battery replaced by one of the same size`. A new battery lead, post or switch is none:
of what stands beside the battery and the word for renewing nothing else may be named.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from circuitmap.battery.charge import Chemistry
from circuitmap.battery.checked import at_rest
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import batteries_of
from circuitmap.jobs.after_mending import AfterMending
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.limits import Limits
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.platform import Platform

_RENEWED = {"new", "renewed", "replaced", "changed", "exchanged", "swapped"}
_BATTERY = {"battery", "batteries"}
_BESIDE = {
    "the", "a", "an", "and", "was", "were", "is", "are", "has", "have", "been", "old", "worn", "fitted", "it",
    "both", "two", "one", "starter", "starting", "service", "leisure", "house", "body", "auxiliary", "second", "main",
}  # fmt: skip
_CLAUSE, _AND = re.compile(r"[;,.:]"), re.compile(r"\band\b")
_MORE = re.compile(r"\b(?:by|with|from|of|because|as|since|for|to|on|at|in)\b.*")
"""What comes after one of these says more of what stands before it."""
_SIZE = re.compile(r"\d+(?:\.\d+)?\s*(?:Ah|V|A)?\Z")

Shown = Literal["fine", "to-be-shown", "not-fine", "unread"]
"""What the new battery's own checks say: charged or its test passed, nothing yet, or its test failed; `unread`: parts
of the card could not be read, so nobody can tell."""


class Renewed(NamedTuple):
    """A battery, and where the card's text says that it was renewed."""

    battery: str
    at: int


class BatteryJob(NamedTuple):
    """A job that ended with a new battery: none of the batteries gave more than its limit when it was last read before,
    nothing took a draw with it when it was out, and none is above the limit since. `checks` are those of the new
    ones; `draws` is what was last read at each of them, None where nobody ever read it."""

    batteries: tuple[str, ...]
    shown: Shown
    checks: tuple[BatterySeen, ...]
    draws: tuple[tuple[str, Reading | None], ...]

    @property
    def is_shown(self) -> bool:
        """Whether the new batteries are fine, and something was read at each that says what it gives."""
        return self.shown == "fine" and all(reading is not None for _, reading in self.draws)


def renewed_on(platform: Platform, live: Iterable[Entry]) -> tuple[Renewed, ...]:
    """The batteries that the card says were renewed, each with the last time."""
    found: dict[str, int] = {}
    for entry in live:
        if entry.mended is not None:
            found |= dict.fromkeys(_named_as_renewed(platform, entry.mended.value), entry.span.start)
    return tuple(Renewed(battery, at) for battery, at in found.items())


def _named_as_renewed(platform: Platform, mended: str) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for clause in _CLAUSE.split(mended):
        found |= dict.fromkeys(
            _renewed_in(platform, clause)
            or [name for piece in _AND.split(clause) for name in _renewed_in(platform, piece)]
        )
    return tuple(found)


def _renewed_in(platform: Platform, clause: str) -> list[str]:
    batteries = batteries_of(platform)
    words = _MORE.sub("", clause).split()
    named = [word for word in words if word in batteries]
    about = {word.casefold() for word in words if word not in batteries and not _SIZE.match(word)}
    if not about & _RENEWED or not (named or about & _BATTERY) or about - _RENEWED - _BATTERY - _BESIDE:
        return []
    if named:
        return named
    fitted = [name for name in batteries if not platform.parts[name].condition]
    return fitted if len(fitted) == 1 else []


def is_of_the_old_one(check: BatterySeen, renewed: Sequence[Renewed]) -> bool:
    """Whether a check stands on the card above the entry that says that its battery was renewed."""
    at = check.span.start if check.span is not None else 0
    return any(one.battery == check.battery and at < one.at for one in renewed)


def battery_job(
    renewed: Sequence[Renewed],
    checks: Iterable[BatterySeen],
    tries: Iterable[TryVerdict],
    totals: Mapping[str, Reading],
    limits: Limits,
    after: AfterMending,
    chemistry: Chemistry,
) -> BatteryJob | None:
    """The job as one of a battery, where it is one; `totals` are the latest readings at each battery before."""
    went = any(one.verdict in ("proven", "involved", "part", "gone-by-itself") for one in tries)
    drew = any(against_limit(reading, limits.at(reading.place)) == "above" for reading in totals.values())
    if not renewed or went or drew or after.outcome == "not-repaired":
        return None
    batteries = tuple(one.battery for one in renewed)
    its = tuple(check for check in checks if check.battery in batteries and not is_of_the_old_one(check, renewed))
    since = {reading.place: reading for reading in after.quiet}
    draws = tuple((name, since.get(name, totals.get(name))) for name in batteries)
    return BatteryJob(batteries, _shown(batteries, its, chemistry), its, draws)


def _shown(batteries: Sequence[str], checks: Sequence[BatterySeen], chemistry: Chemistry) -> Shown:
    latest = {(check.battery, check.check): check for check in checks}
    if any(check.passed is False for check in latest.values()):
        return "not-fine"
    for battery in batteries:
        rest, test = latest.get((battery, "rest")), latest.get((battery, "test"))
        charged = rest is not None and rest.volts is not None and at_rest(rest.volts, chemistry)[0] == "full"
        if not charged and (test is None or not test.passed):
            return "to-be-shown"
    return "fine"

"""What was mended one thing after the other: each with its own cause, what had pointed there, and what went with it."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import BACK_SHARE
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.after_mending import NOTHING_YET, AfterMending, is_asleep_and_steady
from circuitmap.jobs.causes import causes_on
from circuitmap.jobs.found_cause import FoundCause, found_cause
from circuitmap.jobs.part_tests import PartTest
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.platform import Platform


class Mending(NamedTuple):
    """One thing that was mended: the entry's number, counted from 1, what was done, and what was found to be the cause.
    `before` and `since` are the last reading with everything in above that entry, and the last one at that place below
    it, up to the next thing mended; None where there is none."""

    entry: int
    mended: str
    found: FoundCause | None
    before: Reading | None
    since: Reading | None

    @property
    def tries(self) -> tuple[TryVerdict, ...]:
        return (*self.found.own, *self.found.led) if self.found is not None else ()

    @property
    def its_share_is_gone(self) -> bool:
        """Whether the draw has fallen by about as much as had gone with what led there."""
        if self.before is None or self.since is None or self.before.amps is None or self.since.amps is None:
            return False
        took = max((one.took or 0.0 for one in self.tries if one.place == self.before.place), default=0.0)
        return took > 0.0 and self.before.amps - self.since.amps >= BACK_SHARE * took


def mendings_on(
    circuit: Circuit, card: JobCard, evidence: Evidence, tries: Sequence[TryVerdict], tests: Iterable[PartTest]
) -> tuple[Mending, ...]:
    """Everything that the card says was mended, in its order."""
    tests = tuple(tests)
    live = [entry for entry in card.entries if entry.struck is None]
    told = [
        (card.entries.index(entry) + 1, cause, entry.mended.value, entry.span.start)
        for entry, cause in causes_on(circuit.platform, live)
        if entry is not None and entry.mended is not None
    ]
    found = []
    for n, (number, cause, mended, at) in enumerate(told):
        first = told[n - 1][3] if n else -1
        end = told[n + 1][3] if n + 1 < len(told) else None
        above = [one for one in tries if _at(one.after) < at]
        its = found_cause(circuit, (cause, mended), evidence, above, tests, NOTHING_YET)
        before = _last(circuit.platform, evidence.readings, first, at)
        since = _last(circuit.platform, evidence.readings, at, end, before.place) if before is not None else None
        one = Mending(number, mended, its, before, since)
        if _stays_gone(circuit.platform, one):
            its = found_cause(circuit, (cause, mended), evidence, above, tests, NOTHING_YET, share_is_gone=True)
        found.append(one._replace(found=its))
    return tuple(found)


def _stays_gone(platform: Platform, one: Mending) -> bool:
    """Whether its share is gone by a look that speaks for more than its moment."""
    return one.its_share_is_gone and one.since is not None and is_asleep_and_steady(platform, one.since)


def last_found(
    circuit: Circuit, said: tuple[str, str], evidence: Evidence, tries: Sequence[TryVerdict],
    tests: Iterable[PartTest], after: AfterMending, mendings: Sequence[Mending],
) -> FoundCause | None:  # fmt: skip
    """The cause of what was mended last, held against all that was read since."""
    gone = not after.went_by_itself and any(_stays_gone(circuit.platform, one) for one in mendings[-1:])
    return found_cause(circuit, said, evidence, tries, tests, after, share_is_gone=gone)


def _at(reading: Reading) -> int:
    return reading.span.start if reading.span is not None else -1


def _last(
    platform: Platform, readings: Iterable[Reading], start: int, end: int | None, place: str = ""
) -> Reading | None:
    """The last reading of a battery asleep, with everything in, in this stretch of the card."""
    its = [
        r for r in readings
        if start < _at(r) and (end is None or _at(r) < end) and not r.without and r.speaks == "parked"
        and battery_read_at(platform, r.place) and (not place or r.place == place)
    ]  # fmt: skip
    return its[-1] if its else None

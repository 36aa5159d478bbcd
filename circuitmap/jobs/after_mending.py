"""Whether the vehicle is repaired: what was read after mending, at the battery, with everything in.

Only one thing counts as repaired: a night's log within the limit, where a draw had been read before. The whole of it
lies after the vehicle was last handled and locked and had time to settle, by the times on the card. No current ran into
the battery, and the log's peak is neither the draw again nor more than what the vehicle's own modules take when they
wake. Where one of these is missing, nobody can tell, and the answer says what is missing.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import BACK_SHARE
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import Against, against_limit, tolerance
from circuitmap.jobs.limits import Limits
from circuitmap.power.typical import MODULE_AWAKE, at_voltage
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform

NIGHT_MINUTES = 8 * 60.0
"""How long a log must be to count as a night's (judgement)."""

Outcome = Literal["repaired", "not-repaired", "cannot-tell", "not-shown"]

Why = Literal[
    "", "no-log", "short", "still-out", "elsewhere", "charging", "woken",
    "nothing-before", "not-locked", "no-time", "no-room", "peak", "peak-unexplained", "unread",
]  # fmt: skip
"""Why a repair is not shown: no log, or one that is `short` of a night, made while a part was out, at a place where the
draw was not, while the battery was charged, or of a vehicle that was open. Why nobody can tell (empty: the meter can be
off that far): no draw was read before; the card does not say that the vehicle was locked, or when, or when the log was
made; the log is longer than the time there was for it; its peak is the draw again, or more than what wakes explains;
parts of the card could not be read."""


class Before(NamedTuple):
    """What is known of the draw before it was mended. `amps` at the battery, or at the one place where it was read;
    None: it drew, but nobody knows how much. `locked`: the card says when the vehicle was locked, or at least that it
    was."""

    drew: bool
    amps: float | None
    locked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterMending:
    """`reading` is the one that decides: the latest of those that say anything; None while there is none.

    `drew` is the draw before, `explained` what a peak may be without anything being wrong, both in A.
    """

    outcome: Outcome
    reading: Reading | None = None
    why: Why = ""
    drew: float | None = None
    explained: float = 0.0


NOTHING_YET = AfterMending(outcome="not-shown", why="no-log")


def seen_after_mending(
    platform: Platform,
    readings: Iterable[Reading],
    places: frozenset[str],
    limits: Limits,
    before: Before,
    fitting: dict[str, bool],
) -> AfterMending:
    """Judge the readings made after mending, in their order: the latest that says anything counts.

    A night's log within the limit shows a repair. Any reading of the sleeping vehicle above the limit shows that there
    is none, until a log refutes it. `places` are those at which the draw was read before.
    """
    judge = _Judge(platform, places, limits, before, waking_amps(platform, fitting))
    found = NOTHING_YET
    for reading in readings:
        found = judge.after(found, reading)
    return found


def waking_amps(platform: Platform, fitting: dict[str, bool]) -> float:
    """The most, in A, that the modules of this car take when all that it may have wake at once: as transcribed, or else
    the most for their kind. A vehicle with no module typed in has at least one."""
    usual = at_voltage(MODULE_AWAKE, platform.supply_volts).amps.high
    modules = [
        part for part in platform.parts.values()
        if isinstance(part, Load) and part.kind == "module" and holds(part.condition, fitting) != Answer.NO
    ]  # fmt: skip
    return sum(part.awake.high if part.awake is not None else usual for part in modules) or usual


@dataclass(frozen=True, slots=True)
class _Judge:
    platform: Platform
    places: frozenset[str]
    limits: Limits
    before: Before
    waking: float

    def after(self, found: AfterMending, reading: Reading) -> AfterMending:
        shown = against_limit(reading, self.limits.at(reading.place))
        minutes = reading.log.duration or 0.0 if reading.log is not None else 0.0
        whole_night = minutes >= NIGHT_MINUTES
        if reading.log is not None and not _had_room(reading.log):
            said_already = found.outcome in ("repaired", "not-repaired") or not whole_night
            return found if said_already else self.says("cannot-tell", reading, "no-room")
        if battery_read_at(self.platform, reading.place) and shown == "above":
            if reading.speaks == "parked":
                return self.says("not-repaired", reading)
            return self.says("not-shown", reading, "woken") if whole_night else found
        if not whole_night or reading.log is None:
            return _little_said(found, reading, shown)
        why = self.why_not(reading, shown)
        if why:
            return self.says("not-shown", reading, why)
        missing = self.what_is_missing(reading.log, self.limits.at(reading.place))
        if missing or shown == "cannot-tell":
            return self.says("cannot-tell", reading, missing)
        return self.says("repaired", reading)

    def says(self, outcome: Outcome, reading: Reading, why: Why = "") -> AfterMending:
        return AfterMending(
            outcome=outcome, reading=reading, why=why, drew=self.before.amps,
            explained=self.limits.at(reading.place) + self.waking,
        )  # fmt: skip

    def why_not(self, reading: Reading, shown: Against) -> Why:
        if reading.place not in self.places:
            return "elsewhere"
        if reading.without:
            return "still-out"
        charged = reading.log is not None and reading.log.floor < -tolerance(reading)
        return "charging" if shown == "charging" or charged else ""

    def what_is_missing(self, log: Log, limit: float) -> Why:
        """What a whole night's log within the limit in A lacks to show a repair; empty: nothing."""
        if not self.before.drew:
            return "nothing-before"
        if log.room is None:
            return "no-time" if self.before.locked else "not-locked"
        drew = self.before.amps
        if drew is not None and log.peak > limit and log.peak - log.mean >= BACK_SHARE * (drew - log.mean):
            return "peak"
        return "peak-unexplained" if log.peak > limit + self.waking + 1e-9 else ""


def _had_room(log: Log) -> bool:
    """Whether the whole log lies after the vehicle was left alone, as far as the card says when that was."""
    return log.room is None or (log.duration or 0.0) <= log.room + 1e-9


def _little_said(found: AfterMending, reading: Reading, shown: Against) -> AfterMending:
    """A reading within the limit, or a short log, is no proof; it only cancels a single reading above the limit."""
    was = found.reading
    taken_back = (
        found.outcome == "not-repaired" and was is not None and was.log is None and was.place == reading.place
        and shown == "within" and not reading.without and reading.speaks == "parked"
    )  # fmt: skip
    if not taken_back and found != NOTHING_YET:
        return found
    return AfterMending(outcome="not-shown", reading=reading, why="short") if reading.log is not None else NOTHING_YET

"""Where the job stands: what is proven, what is left, and whether the vehicle may go home."""

from dataclasses import dataclass, replace
from typing import Literal

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.part_tests import PartTest, tests_on
from circuitmap.jobs.trying import TryVerdict, verdicts_on
from circuitmap.problems import Problem
from circuitmap.wiring.platform import Platform

Stage = Literal["not-read", "watch", "no-draw", "draws", "involved", "proven", "mended", "repaired"]

USUAL_LIMIT = 0.050
"""Parked current in A that is held to where the platform gives none: workshop texts of many vehicles allow up to
50 mA, each for its own vehicle (seen; an example of practice, not this vehicle's figure)."""

NIGHT_MINUTES = 8 * 60.0
"""How long a log must be to count as a night's (judgement)."""

WATCHED_MINUTES = 60.0
"""A draw is held against the mean of at least an hour (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeStory:
    """One code: `stayed` (stored, then back after clearing), `went` (stored, not back at the later scan),
    `came` (only back), `once` (read once), `low-voltage` (explained by a flat battery)."""

    code: str
    module: str
    story: Literal["stayed", "went", "came", "once", "low-voltage"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """`total` is the latest reading of the whole current (of two batteries in series the minus post's, if both posts
    were read together), asleep, nothing out, before it was mended. `limit` in A and whether it is the platform's own.
    `locked`: it is on the card when the vehicle was locked. `night` is the log after mending, `watched` how many
    minutes of log there are in all.
    """

    stage: Stage
    tries: tuple[TryVerdict, ...]
    tests: tuple[PartTest, ...]
    total: Reading | None
    limit: float
    limit_is_the_platforms: bool
    cause: str = ""
    mended: str = ""
    night: Reading | None = None
    watched: float = 0.0
    locked: bool = True
    early: tuple[Reading, ...] = ()
    codes: tuple[CodeStory, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def leading(self) -> TryVerdict | None:
        """The try that says most: a proven one, else the last that is involved."""
        for verdict in ("proven", "involved"):
            found = [one for one in self.tries if one.verdict == verdict]
            if found:
                return found[-1]
        return None


def standing_of(platform: Platform, card: JobCard, evidence: Evidence) -> Standing:
    """Judge a card as far as it has come."""
    tests, problems = tests_on(platform, card)
    logs = [reading for reading in evidence.readings if reading.log is not None]
    periods = [r.log.period for r in logs if r.log is not None and r.log.period is not None]
    limit = platform.limit if platform.limit is not None else USUAL_LIMIT
    live = [entry for entry in card.entries if entry.struck is None]
    cause = next((e.cause.value for e in reversed(live) if e.cause is not None), "")
    mending = next((e for e in reversed(live) if e.mended is not None), None)
    mended = mending.mended.value if mending is not None and mending.mended is not None else ""
    after_mending = mending.span.start if mending is not None else None
    made = _before_mending(evidence.tries, after_mending)
    tries = verdicts_on(platform, made, tests, periods[-1] if periods else None)
    at_battery = (r for r in evidence.readings if battery_read_at(platform, r.place))
    asleep = [r for r in at_battery if not r.without and r.speaks == "parked"]
    totals = [r for r in asleep if not _after(r, after_mending)]
    night = _night(logs, after_mending, limit)
    watched = sum(r.log.duration or 0.0 for r in logs if r.log is not None)
    total = _latest_total(card, totals)
    return Standing(
        stage=_stage(tries, total, mended, night, limit, watched),
        tries=tries, tests=tests, total=total, limit=limit, limit_is_the_platforms=platform.limit is not None,
        cause=cause, mended=mended, night=night, watched=watched,
        locked=any(entry.state is not None and entry.state.value == "locked" for entry in live),
        early=tuple(r for r in evidence.readings if r.speaks != "parked" and not r.without),
        codes=_codes(evidence), problems=problems,
    )  # fmt: skip


def measured_before_mending(card: JobCard, evidence: Evidence) -> Evidence:
    """The evidence of the vehicle as it came in: what was read after mending speaks of another vehicle."""
    mended = [e.span.start for e in card.entries if e.struck is None and e.mended is not None]
    if not mended:
        return evidence
    readings = tuple(r for r in evidence.readings if not _after(r, mended[-1]))
    return replace(evidence, readings=readings, tries=_before_mending(evidence.tries, mended[-1]))


def _before_mending(tries: tuple[Try, ...], mended: int | None) -> tuple[Try, ...]:
    """A reading after mending is not the part being back in: it is no longer the same vehicle."""
    if mended is None:
        return tries

    return tuple(
        replace(one, back=None) if _after(one.back, mended) else one for one in tries if not _after(one.after, mended)
    )


def _after(reading: Reading | None, mended: int | None) -> bool:
    """Whether a reading stands on the card below the entry that says what was mended."""
    return mended is not None and reading is not None and reading.span is not None and reading.span.start > mended


def within_limit(reading: Reading, limit: float) -> bool:
    """Whether a reading is normal as far as the meter can tell; of a log, its mean counts."""
    amps = reading.log.mean if reading.log is not None else reading.amps
    return amps is not None and amps <= limit + reading.half_step + 2.0 * reading.zero


def _stage(
    tries: tuple[TryVerdict, ...], total: Reading | None, mended: str, night: Reading | None, limit: float,
    watched: float,
) -> Stage:  # fmt: skip
    if mended:
        return "repaired" if night is not None else "mended"
    kinds = {one.verdict for one in tries}
    if "proven" in kinds:
        return "proven"
    if "involved" in kinds:
        return "involved"
    if total is None:
        return "not-read"
    if not within_limit(total, limit) or tries:
        return "draws"
    return "no-draw" if watched >= WATCHED_MINUTES else "watch"


def _latest_total(card: JobCard, totals: list[Reading]) -> Reading | None:
    """The last reading of the whole current. Where one entry has both posts of two batteries in series, the minus
    counts: it carries what is taken from the tap too, and the lower battery gives it."""
    if not totals:
        return None
    last = totals[-1]
    entry = next(
        (e for e in card.entries if last.span is not None and e.span.start <= last.span.start < e.span.end), None
    )
    if entry is None:
        return last
    together = [r for r in totals if r.span is not None and entry.span.start <= r.span.start < entry.span.end]
    return next((r for r in reversed(together) if r.place.endswith(".-")), last)


def _night(logs: list[Reading], after: int | None, limit: float) -> Reading | None:
    """The log that shows it repaired: a night long, after mending, its mean in the limit."""
    if after is None:
        return None
    for reading in reversed(logs):
        late = reading.span is not None and reading.span.start > after
        log = reading.log
        if late and log is not None and (log.duration or 0.0) >= NIGHT_MINUTES and within_limit(reading, limit):
            return reading
    return None


def _codes(evidence: Evidence) -> tuple[CodeStory, ...]:
    stories: dict[tuple[str, str], list[str]] = {}
    for code in evidence.codes:
        stories.setdefault((code.code, code.module), []).append(code.standing)
    cleared = any(code.standing == "back" for code in evidence.codes)
    return tuple(
        CodeStory(code=code, module=module, story=_story(standings, cleared))
        for (code, module), standings in stories.items()
    )


def _story(standings: list[str], cleared: bool) -> Literal["stayed", "went", "came", "once", "low-voltage"]:
    if "low-voltage" in standings:
        return "low-voltage"
    if "back" in standings:
        return "stayed" if "stored" in standings else "came"
    return "went" if cleared else "once"

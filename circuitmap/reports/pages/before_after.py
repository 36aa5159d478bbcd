"""What each battery gave before anything was mended, and what it gives since: both figures are of the same battery."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.job import Job
from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.job.dead_told_text import is_about_dead_loads
from circuitmap.reports.pages.customer_words import plain_part
from circuitmap.reports.words.limit_words import ampere_words, draws_words, is_fine
from circuitmap.wiring.platform import Platform

Since = Literal["", "night", "mended", "out"]
"""When the second figure was read: in the night's log that shows the repair, at some time after mending, or with what
was tried out; empty where there is none."""


class BatteryGave(NamedTuple):
    """One battery, or the place of the try that leads, with what it gave `before` and `after`, in A. `fine`: the first
    was read in milliamperes. `is_mean`: the second is a log's mean."""

    place: str
    before: float
    after: float | None
    since: Since
    fine: bool
    is_mean: bool = False


@dataclass(frozen=True, slots=True)
class TwoFigures:
    """What a battery gave, parked, and what it gives `since`, in words; `battery` is empty where there is only one."""

    battery: str
    before: str
    after: str
    since: str

    @property
    def labelled(self) -> tuple[tuple[str, str], ...]:
        """Each figure under its own heading."""
        parked = f"Parked, from {self.battery}" if self.battery else "Parked, it drew"
        now = f"{self.battery}, {self.since}" if self.battery else f"{self.since[:1].upper()}{self.since[1:]}"
        return ((parked, self.before), *(((now, self.after),) if self.after else ()))


def drawn_at_each(job: Job) -> tuple[BatteryGave, ...]:
    """Each battery of which the whole current was read before mending; where something leads, its place first."""
    standing, platform = job.standing, job.platform
    first = standing.leading.place if standing.leading is not None else ""
    if not first and standing.total is not None:
        first = standing.total.place
    places = dict.fromkeys([_battery_or_place(platform, first), *standing.totals] if first else standing.totals)
    return tuple(_drawn(platform, standing, places))


def _drawn(platform: Platform, standing: JobStanding, places: dict[str, None]) -> Iterator[BatteryGave]:
    for place in places:
        before = _before(platform, standing, place)
        if before is not None and before.amps is not None:
            after, since, is_mean = _after(platform, standing, place)
            when = since if after is not None else ""
            yield BatteryGave(place, before.amps, after, when, is_fine(before), is_mean)


def _before(platform: Platform, standing: JobStanding, place: str) -> Reading | None:
    """As the vehicle came in: what was read at the first of several things that were mended, or while something else
    was already out, does not take away from the whole of it."""
    leading, total = standing.leading, standing.total
    tried = leading.before if leading is not None and _battery_or_place(platform, leading.place) == place else None
    several = len(standing.mendings) > 1
    if tried is not None and tried.amps is not None and not tried.without and not several:
        return tried
    is_here = total is not None and battery_read_at(platform, total.place) == place
    whole = [total if is_here else standing.totals.get(place), None if several else tried]
    first = standing.mendings[0].before if several else None
    whole.append(first if first is not None and battery_read_at(platform, first.place) == place else None)
    return max((r for r in whole if r is not None and r.amps is not None), key=lambda r: r.amps or 0.0, default=None)


def _after(platform: Platform, standing: JobStanding, place: str) -> tuple[float | None, Since, bool]:
    """What is drawn there now that the vehicle is mended, or else with the part out; and whether that is a mean."""
    after, leading = standing.after, standing.leading
    logs = [one for one in after.shown if battery_read_at(platform, one.place) == place and one.log is not None]
    if standing.night is not None and logs and logs[-1].log is not None:
        return logs[-1].log.mean, "night", True
    if standing.mended and not after.went_by_itself:
        looked = [one for one in after.quiet if battery_read_at(platform, one.place) == place]
        if looked:
            return looked[-1].amps, "mended", False
        if logs and logs[-1].log is not None:
            return logs[-1].log.mean, "mended", True
    if leading is not None and _battery_or_place(platform, leading.place) == place:
        return leading.left, "out", False
    return None, "", False


def _battery_or_place(platform: Platform, place: str) -> str:
    return battery_read_at(platform, place) or place


def figures_of(job: Job) -> Iterator[TwoFigures]:
    """The proof in two figures, for each battery its own; named where the vehicle has several, or the place is none."""
    batteries = batteries_of(job.platform)
    repaired = job.standing.stage == "repaired" and not is_about_dead_loads(job)
    for one in drawn_at_each(job):
        several = len(batteries) > 1
        after = _gave(one.after, one.fine, several) if one.after is not None else ""
        before = _gave(one.before, one.fine, several)
        log = _coming_and_going(job, one.place)
        if log is not None and one.is_mean:  # a mean is held against a mean, and not against a peak
            before = f"{ampere_words(log.mean, one.fine)} on average ({ampere_words(log.up, one.fine)} at times)"
            after = f"{after} on average"
        yield TwoFigures(
            battery="" if batteries == (one.place,) else one.place, before=before,
            after=after, since=_SINCE["night" if repaired and one.since == "mended" else one.since],
        )  # fmt: skip


def _gave(amps: float, fine: bool, several: bool) -> str:
    """What a battery gave; of several one may be charged by another, and its minus means that."""
    return f"{ampere_words(-amps, fine)} into it" if several and amps < 0.0 else ampere_words(amps, fine)


_SINCE: Mapping[Since, str] = {"": "", "night": "now", "mended": "since it was mended", "out": "with it out"}


def _coming_and_going(job: Job, place: str) -> Log | None:
    """The log of the whole draw at a battery, if what it shows comes and goes."""
    total = job.standing.total
    log = total.log if total is not None and battery_read_at(job.platform, total.place) == place else None
    return log if log is not None and (log.comes_and_goes or (log.floor_draws and log.two_draws)) else None


def drew_words(job: Job, one: BatteryGave) -> str:
    """`0.80 A from the starter battery (START)`; of a draw that comes and goes, its states."""
    total = job.standing.total
    words = ampere_words(one.before, one.fine)
    if total is not None and _coming_and_going(job, one.place) is not None:
        words = draws_words(total, job.standing.limit)
    if batteries_of(job.platform) == (one.place,):
        return words
    if one.before < 0.0:
        return f"{ampere_words(-one.before, one.fine)} went into {plain_part(job.platform, one.place)}"
    there = "from" if battery_read_at(job.platform, one.place) else "at"
    return f"{words} {there} {plain_part(job.platform, one.place)}"

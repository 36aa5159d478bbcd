"""Whether the vehicle is repaired: what was read after mending, at each battery, with everything in.

Only one thing counts as repaired: at every battery of which a draw had been read a night's log within the limit. The
whole of it lies after the vehicle was last handled and locked and had time to settle, by the times on the card. No
current ran into the battery, and the log's peak is neither the draw again nor more than what the vehicle's own modules
take when they wake. A draw that had gone quiet by itself must have had a reason to come back: the vehicle was used in
between. Where one of these is missing, nobody can tell, and the answer says what is missing.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from circuitmap.evidence.logs import Log
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import BACK_SHARE
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import Against, against_limit, is_hidden_by_display, tolerance
from circuitmap.jobs.before_mending import Before, Drew, Quiet
from circuitmap.jobs.clock_after_mending import ByItsClock, by_its_clock
from circuitmap.jobs.limits import Limits
from circuitmap.power.typical import MODULE_AWAKE, at_voltage
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of

NIGHT_MINUTES = 8 * 60.0
"""How long a log must be to count as a night's (judgement)."""

Outcome = Literal["repaired", "not-repaired", "cannot-tell", "not-shown"]

Why = Literal[
    "", "no-log", "short", "still-out", "elsewhere", "charging", "woken", "gone-by-itself", "quiet-though-used",
    "nothing-before", "not-locked", "no-time", "no-room", "peak", "peak-unexplained", "unread",
    "beyond-known", "not-as-it-happens", "how-long",
]  # fmt: skip
"""Why a repair is not shown: no log, or one that is `short` of a night, made while a part was out, at a place where the
draw was not, while the battery was charged, or of a vehicle that was open; the draw had gone by itself before anything
was mended, and the vehicle was not used since, or it had stayed away even so. Why nobody can tell (empty: the meter can
be off that far): no draw was read before; the card does not say that the vehicle was locked, or when, or when the log
was made; the log is longer than the time there was for it; its peak is the draw again, or more than what wakes
explains; parts of the card could not be read; more flows than is known with what was switched on. `not-as-it-happens`:
it was not so in that night as the driver says that it happens. `how-long`: the card does not say how long the log
ran."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterMending:
    """`reading` is the one that decides: at its battery the latest that says anything; None while there is none.

    `drew` is the draw of that battery before, `explained` what a peak there may be without anything being wrong, both
    in A. `shown` are the night's logs that show batteries repaired, `open` the batteries of which a draw was read and
    no log shows it gone. `quiet` are readings with everything in, asleep, that are no higher than the limit: at each
    battery the latest, where none since is above it. `went_by_itself`: the draw had gone quiet before anything was
    mended, and the vehicle was not used since, or that had not brought it back before. `too_coarse` are such looks on
    a display that cannot show a draw at the limit. `by_its_clock`: whose own clock the peak of that log is.
    """

    outcome: Outcome
    reading: Reading | None = None
    why: Why = ""
    drew: float | None = None
    explained: float = 0.0
    shown: tuple[Reading, ...] = ()
    open: tuple[str, ...] = ()
    quiet: tuple[Reading, ...] = ()
    went_by_itself: Quiet = ""
    too_coarse: tuple[Reading, ...] = ()
    by_its_clock: ByItsClock | None = None


NOTHING_YET = AfterMending(outcome="not-shown", why="no-log")


def seen_after_mending(
    platform: Platform,
    readings: Sequence[Reading],
    limits: Limits,
    before: Before,
    fitting: dict[str, bool],
    absent: Collection[str] = (),
) -> AfterMending:
    """Judge the readings made after mending: at each battery, in their order, the latest that says anything counts.

    A night's log within the limit shows a repair of that battery. Any reading of the sleeping vehicle above the limit
    shows that there is none, until a log refutes it. A battery of which no draw was read before has nothing to show,
    but what it draws now counts.
    """
    waking = waking_amps(platform, fitting)
    nobody = Drew("", before.posts, None)
    drew = {one.battery: one for one in before.drew}
    found: dict[str, AfterMending] = {}
    for battery in dict.fromkeys((*drew, *(battery_read_at(platform, reading.place) for reading in readings))):
        its = drew.get(battery, nobody if not drew else Drew(battery, frozenset(), None))
        judge = _Judge(platform, its, limits, before, waking, fitting, absent)
        found[battery] = NOTHING_YET
        for reading in readings:
            if battery_read_at(platform, reading.place) == battery:
                found[battery] = judge.after(found[battery], reading)
    open_ = tuple(battery for battery in drew if found[battery].outcome != "repaired")
    shown = tuple(
        one.reading for battery, one in found.items()
        if one.outcome == "repaired" and one.reading is not None and (battery in drew or not drew)
    )  # fmt: skip
    looks = _looks_at_each(platform, readings)
    quiet = tuple(r for r in looks if _is_quiet(r, limits))
    coarse = tuple(r for r in looks if is_hidden_by_display(r, limits.at(r.place)))
    used = any(at > before.mended for at in before.used)
    by_itself: Quiet = next(
        (its.quiet for its in drew.values() if its.quiet and not (used and its.quiet == "by-itself")), ""
    )
    decides = _deciding(found, set(drew))
    return replace(decides, shown=shown, open=open_, quiet=quiet, went_by_itself=by_itself, too_coarse=coarse)


def _deciding(found: dict[str, AfterMending], drew: set[str]) -> AfterMending:
    """What is true of all batteries together: not repaired where one still draws, repaired once none is open."""
    all_of_it = list(found.values()) or [NOTHING_YET]
    still = [one for one in all_of_it if one.outcome == "not-repaired"]
    if still:
        return max(still, key=_written_at)
    its = [one for battery, one in found.items() if battery in drew] if drew else all_of_it
    unshown = [one for one in its if one.outcome != "repaired"]
    if not unshown:
        return its[0]
    said = [one for one in unshown if one.reading is not None]
    if said:
        return max(said, key=_written_at)
    others = [one for battery, one in found.items() if battery not in drew and one.reading is not None]
    return max(others, key=_written_at) if others and len(unshown) == len(its) else unshown[0]


def _written_at(one: AfterMending) -> int:
    return one.reading.span.start if one.reading is not None and one.reading.span is not None else -1


def _looks_at_each(platform: Platform, readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """At each battery the latest look at the sleeping vehicle with everything in."""
    latest: dict[str, Reading] = {}
    for reading in readings:
        battery = battery_read_at(platform, reading.place)
        if battery and reading.log is None and not reading.without and reading.speaks == "parked":
            latest[battery] = reading
    return tuple(latest.values())


def _is_quiet(reading: Reading, limits: Limits) -> bool:
    return against_limit(reading, limits.at(reading.place)) == "within" and not limits.beyond_known(reading)


def is_asleep_and_steady(platform: Platform, reading: Reading) -> bool:
    """Whether a look speaks for more than its moment: somebody watched it, or the vehicle had had the longest time that
    it takes to fall asleep."""
    return reading.watched or (reading.minutes is not None and reading.minutes >= sleep_of(platform).high)


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
    """One battery's readings, held against its own draw before."""

    platform: Platform
    drew: Drew
    limits: Limits
    before: Before
    waking: float
    fitting: dict[str, bool]
    absent: Collection[str]

    def after(self, found: AfterMending, reading: Reading) -> AfterMending:
        shown = against_limit(reading, self.limits.at(reading.place))
        if shown == "within" and reading.speaks == "parked" and self.limits.beyond_known(reading):
            return self.says("cannot-tell", reading, "beyond-known")
        minutes = (reading.log.duration or 0.0) if reading.log is not None else 0.0  # one that is not told shows none
        whole_night = minutes >= NIGHT_MINUTES
        if reading.log is not None and not self.had_room(reading.log, self.limits.at(reading.place)):
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
            said_already = found.outcome in ("repaired", "not-repaired")
            return found if said_already else self.says("not-shown", reading, why)
        missing = self.what_is_missing(reading.log, self.limits.at(reading.place))
        if missing or shown == "cannot-tell":
            return self.says("cannot-tell", reading, missing)
        if self.drew.quiet:
            return self.after_quiet(found, reading)
        return self.says("repaired", reading)

    def had_room(self, log: Log, limit: float) -> bool:
        """Whether the whole log lies after the vehicle was left alone, as far as the card says when that was; or began
        while it settled, and a night of it remains that is within the limit in A even if all of its charge flowed then.
        """
        minutes = log.duration or 0.0
        if log.room is None or minutes <= log.room + 1e-9:
            return True
        began_early = minutes - log.room <= sleep_of(self.platform).low
        return began_early and log.room >= NIGHT_MINUTES and log.mean * minutes <= limit * log.room

    def after_quiet(self, found: AfterMending, reading: Reading) -> AfterMending:
        """A quiet night after the draw had gone by itself: it shows something where the vehicle was used before it."""
        at = reading.span.start if reading.span is not None else 0
        tells = self.drew.quiet == "by-itself" and any(self.before.mended < its < at for its in self.before.used)
        if tells:
            return self.says("repaired", reading)
        if found.outcome in ("repaired", "not-repaired"):
            return found
        return self.says(
            "not-shown", reading, "gone-by-itself" if self.drew.quiet == "by-itself" else "quiet-though-used"
        )

    def says(self, outcome: Outcome, reading: Reading, why: Why = "") -> AfterMending:
        return AfterMending(
            outcome=outcome, reading=reading, why=why, drew=self.drew.amps,
            explained=self.limits.at(reading.place) + self.waking,
            by_its_clock=self.its_clock(reading.log) if outcome == "repaired" and reading.log is not None else None,
        )  # fmt: skip

    def its_clock(self, log: Log) -> ByItsClock | None:
        """Whose own clock the peak of a log is, where it would else be the draw again."""
        if not self.is_the_draw_again(log):
            return None
        return by_its_clock(self.platform, log, self.before.apart, self.fitting, self.absent)

    def is_the_draw_again(self, log: Log) -> bool:
        drew = self.drew.amps
        return drew is not None and log.peak - log.mean >= BACK_SHARE * (drew - log.mean)

    def why_not(self, reading: Reading, shown: Against) -> Why:
        if reading.place not in self.drew.posts:
            return "elsewhere"
        if reading.without:
            return "still-out"
        charged = reading.log is not None and reading.log.floor < -tolerance(reading)
        return "charging" if shown == "charging" or charged else ""

    def what_is_missing(self, log: Log, limit: float) -> Why:
        """What a whole night's log within the limit in A lacks to show a repair; empty: nothing."""
        if not self.drew.battery:
            return "nothing-before"
        if log.room is None:
            return "no-time" if self.before.locked else "not-locked"
        if log.peak > limit and self.is_the_draw_again(log) and self.its_clock(log) is None:
            return "peak"
        return "peak-unexplained" if log.peak > limit + self.waking + 1e-9 else ""


def _little_said(found: AfterMending, reading: Reading, shown: Against) -> AfterMending:
    """A reading within the limit, or a short log, is no proof; it only cancels a single reading above the limit."""
    was = found.reading
    taken_back = (
        found.outcome == "not-repaired" and was is not None and was.log is None and was.place == reading.place
        and shown == "within" and not reading.without and reading.speaks == "parked"
    )  # fmt: skip
    if not taken_back and found != NOTHING_YET:
        return found
    if reading.log is None:
        return NOTHING_YET
    return AfterMending(
        outcome="not-shown", reading=reading, why="short" if reading.log.duration is not None else "how-long"
    )

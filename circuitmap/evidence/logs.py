"""Which state of the vehicle does a log speak of: its floor, what comes and goes, or what came on and stayed on?

A log has a floor and a peak, and they are two states that flowed. Its mean never flowed: it says what a battery loses,
and no place ever carried it.
"""

from typing import Literal, NamedTuple, assert_never

from circuitmap.evidence.logged_night import LoggedKind, LoggedNight, LoggedStep, by_the_clock
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of

LoggedState = Literal["one", "floor", "event", "stayed on", "ran on"]
"""`one`: it hardly moved. `floor`: what came over it is no fault, or too little. `event`: what comes and goes is the
draw. `stayed on`: it came on later, and was on when the log ended. `ran on`: it went off by itself, long after the
vehicle should have been asleep."""

TIMES_FLOOR, LEAST_RISE = 1.5, 0.05
"""So many times its floor, and by so many A above it, a log's peak is another state (judgement)."""
LEAST_EVEN = 4
"""What came as far apart each time so many times keeps time (judgement)."""
HALF = 0.5
"""A floor above the limit is the draw itself where events make up less of the mean than this (judgement)."""


class Log(NamedTuple):
    """A current watched over time, in A; minutes. `rose_first`: the place where it was seen to rise first.

    `room`: how many minutes there were for it, by the card, since the vehicle was last locked, left alone and settled.
    None: the card does not say when that was, or when the log was written down. `limit` is what its mean is held
    against. `night` is what a recorder's file showed; None where only figures were typed. `state` is the state that it
    speaks of, `drew` what flowed then, A; `sound` are the kinds of events that are typed in to come so. `told_apart`:
    how many minutes lie between its events, by what somebody says in words; `lasts`: how many each of them lasts, as
    typed.
    """

    floor: float
    peak: float
    mean: float
    duration: float | None = None
    period: float | None = None
    rose_first: str = ""
    room: float | None = None
    limit: float | None = None
    night: LoggedNight | None = None
    state: LoggedState = "one"
    drew: float = 0.0
    sound: tuple[LoggedKind, ...] = ()
    told_apart: float | None = None
    lasts: float | None = None

    @property
    def apart(self) -> float | None:
        """How many minutes lie from one event to the next: as typed, as the recorder shows it, or as somebody says.
        Irregular ones have none."""
        if self.period is not None or not self.comes_and_goes:
            return self.period
        kind = self.kind
        if kind is None:
            return self.told_apart
        in_turn = kind.rhythm == "thermostat" and self.duration is not None and kind.times > 1
        return kind.period or (self.duration / kind.times if in_turn and self.duration else None) or self.told_apart

    @property
    def comes_and_goes(self) -> bool:
        """Whether the draw itself comes and goes: a place that shows nothing was perhaps read while it was down."""
        return self.state == "event"

    @property
    def up_for(self) -> float | None:
        """How many minutes it is up at a time, as typed, as the recorder shows it, or by how far apart its events lie
        and the share of the mean that they make up; None where nothing says it."""
        kind, apart = self.kind, self.apart
        if self.lasts is not None and self.comes_and_goes:
            return self.lasts
        if kind is not None:
            return kind.lasts.low
        if apart is None or not self.comes_and_goes or self.drew <= self.floor:
            return None
        return apart * (self.mean - self.floor) / (self.drew - self.floor)

    @property
    def keeps_time(self) -> bool:
        """Whether what comes and goes came often enough, and as far apart each time, to be due by the clock."""
        kind, apart = self.kind, self.apart
        if kind is not None and kind.period is not None:
            return kind.times >= LEAST_EVEN
        return apart is not None and self.duration is not None and self.duration >= LEAST_EVEN * apart

    @property
    def is_due(self) -> bool:
        """Whether it is due at known minutes: it keeps time by figures, and not by what somebody says in words."""
        return self.keeps_time and (self.period is not None or (self.kind is not None and self.kind.period is not None))

    @property
    def has_events(self) -> bool:
        """Whether something comes over the floor that is another state of the same vehicle."""
        return _rises(self) and self.state in ("event", "floor")

    @property
    def floor_draws(self) -> bool:
        """Whether the floor is the draw that is looked for, while something else comes over it now and then."""
        return self.state == "floor" and self.has_events and self.floor > (self.limit or 0.0)

    @property
    def two_draws(self) -> bool:
        """Whether the floor is above the limit, and what comes over it takes more than the limit by itself, in the
        mean: two things are looked for."""
        limit = self.limit or 0.0
        own = self.night is not None and all(kind in self.sound for kind in self.night.kinds)
        return self.has_events and self.floor > limit and self.mean - self.floor > limit and not own

    @property
    def up(self) -> float:
        """What flows in A while what comes and goes is up."""
        kind = drawing_kind(self.night, self.sound) if self.night is not None else None
        return self.peak if kind is None else self.floor + kind.amps

    @property
    def kind(self) -> LoggedKind | None:
        """The kind of event that is the draw; None where it is none, or only figures were typed."""
        return drawing_kind(self.night, self.sound) if self.night is not None and self.comes_and_goes else None


def drawing_kind(night: LoggedNight, sound: tuple[LoggedKind, ...]) -> LoggedKind | None:
    """Of the kinds that are not sound the one that takes most; of sound ones, where there are no others."""
    kinds = [kind for kind in night.kinds if kind not in sound] or list(night.kinds)
    return max(kinds, key=lambda kind: (kind.share, kind.amps), default=None)


PERIOD_OFF, RISE_OFF, MEAN_OFF = 0.1, 0.01, 0.005
"""A period that somebody wrote down is the typed one within a tenth; a rise is off by 10 mA, and a mean by 5 mA, for
their last digits (judgement)."""


def ticks_like(part: Load, apart: float | None) -> bool:
    """Whether a part is typed in to wake by its own clock as often as something came, minutes `apart`; where nobody
    knows how far apart, its clock may be it."""
    if part.wakes is None or apart is None:
        return part.wakes is not None
    every = part.wakes.every
    return every.low * (1 - PERIOD_OFF) <= apart <= every.high * (1 + PERIOD_OFF)


class OtherClock(NamedTuple):
    """A part that wakes by its own clock every `every` minutes, longer apart than what a log shows: it is one in
    `one_in` of what came; by it alone the mean would be `mean` A at the most."""

    part: str
    every: float
    one_in: int
    mean: float


def slower_clocks(platform: Platform, log: Log) -> tuple[OtherClock, ...]:
    """The parts whose own clock is too slow for what comes and goes in a log."""
    apart = log.apart
    if not log.comes_and_goes or apart is None:
        return ()
    its = ((part.name, part.wakes) for part in platform.loads if part.wakes is not None and not ticks_like(part, apart))
    return tuple(
        OtherClock(
            name, wakes.every.low, round(wakes.every.low / apart),
            log.floor + (log.up - log.floor) * min(1.0, wakes.lasts.high / wakes.every.low),
        )
        for name, wakes in its if wakes.every.low > (1 + PERIOD_OFF) * apart
    )  # fmt: skip


def wakes_like_that(platform: Platform, log: Log) -> tuple[str, ...]:
    """The parts that are typed in to wake by their own clock as often as a log of figures says that it came, and to
    take as much then; where their time awake explains what the mean lies above the floor."""
    if log.night is not None or log.period is None:
        return ()
    rise = log.peak - log.floor
    found = []
    for part in platform.parts.values():
        wakes, awake = (part.wakes, part.awake) if isinstance(part, Load) else (None, None)
        if wakes is None or awake is None:
            continue
        as_often = wakes.every.low * (1 - PERIOD_OFF) <= log.period <= wakes.every.high * (1 + PERIOD_OFF)
        as_high = awake.low - RISE_OFF <= rise <= awake.high + RISE_OFF
        if as_often and as_high and log.mean - log.floor <= rise * wakes.lasts.high / log.period + MEAN_OFF:
            found.append(part.name)
    return tuple(found)


def with_state(platform: Platform, log: Log) -> Log:
    """The log with the state that it speaks of, and what flowed then."""
    night = log.night
    sound = () if night is None else tuple(kind for kind in night.kinds if by_the_clock(platform, kind))
    late = () if night is None else late_steps(platform, night)
    state = _state(log, sound, late, wakes_like_that(platform, log))
    match state:
        case "one":
            drew = log.mean
        case "floor":
            drew = log.floor
        case "stayed on":
            assert night is not None
            drew = log.floor + sum(step.amps for step in night.still_on)
        case "ran on":
            assert night is not None
            drew = log.floor + sum(step.amps for step in late_steps(platform, night))
            log = log._replace(mean=max(log.mean, night.whole))
        case "event":
            drew = log._replace(sound=sound).up
        case _:
            assert_never(state)
    return log._replace(state=state, drew=drew, sound=sound)


LATE_SHARE, LATE_MINUTES = 1.25, 5.0
"""A fall so much later than the platform's longest time to sleep is none of falling asleep (judgement)."""


def late_steps(platform: Platform, night: LoggedNight) -> tuple[LoggedStep, ...]:
    """What went off by itself, but long after the vehicle should have been asleep; small steps are no draw."""
    latest = LATE_SHARE * sleep_of(platform).high + LATE_MINUTES
    return tuple(step for step in night.stairs if step.minutes > latest and step.amps > LEAST_RISE)


def _rises(log: Log) -> bool:
    return log.peak - log.floor > LEAST_RISE and log.peak > TIMES_FLOOR * log.floor


def _state(
    log: Log, sound: tuple[LoggedKind, ...], late: tuple[LoggedStep, ...], own_clock: tuple[str, ...]
) -> LoggedState:
    night = log.night
    if night is not None and sum(step.amps for step in night.still_on) > LEAST_RISE:
        return "stayed on"
    if late and (night is None or log.limit is None or night.mean.high <= log.limit):
        return "ran on"
    if night is not None and not night.kinds:
        return "floor" if night.still_on else "one"
    if night is None and log.period is not None and not own_clock:
        return "event"
    if not _rises(log):
        return "floor" if night is not None else "one"
    limit = log.limit if log.limit is not None else 0.0
    if log.mean <= limit:
        return "floor"
    if night is not None and sound and all(kind in sound for kind in night.kinds):
        return "floor" if log.floor > limit else "event"
    events = log.mean - log.floor
    return "floor" if log.floor > limit and events < HALF * log.mean else "event"

"""What a recorder's file showed, as it stands on the card: evidence of its own kind, not a current.

A floor and the kinds of events over it are states that flowed, each with its height, length and rhythm. The mean never
flowed: it is for the time to flat only.
"""

import re
from collections.abc import Sequence
from typing import Literal, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.quantities import Band, QuantityError, read_band, read_quantity
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform

LoggedRhythm = Literal["once", "few", "period", "thermostat", "none"]
"""How events of one height come: once; too few to say; evenly; with pauses that change all one way; by no rule."""


class LoggedStep(NamedTuple):
    """A step that nothing ended: `amps` of its height, `minutes` after the first fall, when it was locked."""

    amps: float
    minutes: float


class LoggedKind(NamedTuple):
    """Events of one height: A, minutes from the shortest to the longest, how often, how far apart (`period`, minutes,
    where that is even); `share` is their part of the mean, 0 to 1."""

    amps: float
    lasts: Band
    times: int
    rhythm: LoggedRhythm
    period: float | None
    share: float


class LoggedNight(NamedTuple):
    """A file's night: its name and checksum; `floor` and `mean` of the settled part in A, its length in minutes;
    `whole` is the mean from the first fall on; `off`: how far all levels may be off together, by the clamp's zero;
    `ended` is the recorder's clock at the last sample, with its date (empty: it says none); `told` are the
    answers to what the file does not say; `stairs` are the falls after the first one."""

    file: str
    checksum: str
    floor: float
    mean: Band
    off: float
    settled: float
    whole: float = 0.0
    ended: str = ""
    told: str = ""
    kinds: tuple[LoggedKind, ...] = ()
    stairs: tuple[LoggedStep, ...] = ()
    still_on: tuple[LoggedStep, ...] = ()

    def as_fell(self, amps: float) -> LoggedStep | None:
        """The step of the same night's falling asleep that is as high, if there is one."""
        near = [step for step in self.stairs if of_one_height(step.amps, amps)]
        return min(near, key=lambda step: abs(step.amps - amps), default=None)


SHARE_OFF, AMPS_OFF = 0.04, 0.004
"""Two heights are of one thing within 4 % and 4 mA (judgement; measured on simulated nights they are 1 mA off)."""
CLOCK_OFF, LASTS_OFF = 0.03, 0.25
"""A period is one that was typed in within 3 %, a length within a quarter and some seconds (judgement)."""
SOME_SECONDS = 10 / 60


def of_one_height(amps: float, other: float) -> bool:
    """Whether two heights can be of one thing."""
    return abs(amps - other) <= SHARE_OFF * abs(other) + AMPS_OFF


def by_the_clock(platform: Platform, kind: LoggedKind) -> tuple[str, ...]:
    """The parts and networks that are typed in to wake as often and for as long: such events are sound, if they are
    theirs."""
    if kind.period is None:
        return ()
    clocks = [(part.name, part.wakes) for part in platform.parts.values() if isinstance(part, Load)]
    clocks += [(network.name, network.wakes) for network in platform.networks.values()]
    return tuple(
        name
        for name, wakes in clocks
        if wakes is not None
        and wakes.every.low * (1 - CLOCK_OFF) <= kind.period <= wakes.every.high * (1 + CLOCK_OFF)
        and wakes.lasts.low * (1 - LASTS_OFF) - SOME_SECONDS <= kind.lasts.low
        and kind.lasts.high <= wakes.lasts.high * (1 + LASTS_OFF) + SOME_SECONDS
    )


# ---- as it is written ----

_RHYTHMS: dict[str, LoggedRhythm] = {
    "once": "once", "too few to say": "few", "like a thermostat": "thermostat", "at no fixed distance": "none",
}  # fmt: skip
_WRITTEN = {rhythm: words for words, rhythm in _RHYTHMS.items()}
_KIND = re.compile(
    r"(?P<amps>\S+) for (?P<lasts>\S+), (?P<times>\d{1,6}) times?, (?:every (?P<period>\S+)|(?P<rhythm>[a-z ]+)), "
    r"(?P<share>\d{1,3}(?:\.\d)?)%\Z"
)
_STEP = re.compile(r"(?P<amps>\S+) after (?P<minutes>\S+)\Z")
MOST_KINDS = 12
"""Kinds of events that are kept, those that take most; how many more is said."""
_WORDS = ("file", "sum", "told", "place", "ended", "floor", "mean", "whole-mean", "off", "for", "stairs", "still-on")
LOGGED_KEYS = (*_WORDS, *(f"event-{number}" for number in range(1, MOST_KINDS + 1)), "more-events")


def fields_of(night: LoggedNight, place: str = "", more: int = 0) -> tuple[tuple[str, str], ...]:
    """The night as names with a text each, for the card; `more` kinds of events were too many to be kept."""
    said = [("file", night.file), ("sum", night.checksum)]
    said += [("told", night.told)] if night.told else []
    said += [("place", place)] if place else []
    said += [("ended", night.ended)] if night.ended else []
    mean = amps_text(night.mean.low)
    if night.mean.low != night.mean.high:
        mean += f"..{amps_text(night.mean.high)}"
    said += [("floor", amps_text(night.floor)), ("mean", mean), ("off", amps_text(night.off))]
    said += [("whole-mean", amps_text(night.whole)), ("for", time_text(night.settled))]
    if night.stairs:
        said.append(("stairs", ", ".join(f"{amps_text(s.amps)} after {time_text(s.minutes)}" for s in night.stairs)))
    said += [(f"event-{number}", _kind_text(kind)) for number, kind in enumerate(night.kinds[:MOST_KINDS], 1)]
    if more:
        said.append(("more-events", str(more)))
    if night.still_on:
        steps = (f"{amps_text(s.amps)} after {time_text(s.minutes)}" for s in night.still_on)
        said.append(("still-on", ", ".join(steps)))
    return tuple(said)


def amps_text(amps: float) -> str:
    """`0.460A`: to the milliampere; below zero as it is."""
    return f"{amps:.3f}A"


def time_text(minutes: float) -> str:
    """`95s`, `45min`, `13.2h`: to the second below two hours."""
    if minutes < 10:
        return f"{round(minutes * 60)}s" if minutes * 60 >= 10 else f"{minutes * 60:.3g}s"
    return f"{minutes:.1f}min" if minutes < 120 else f"{minutes / 60:.2f}h"


def _kind_text(kind: LoggedKind) -> str:
    lasts = time_text(kind.lasts.low)
    if time_text(kind.lasts.high) != lasts:
        lasts += f"..{time_text(kind.lasts.high)}"
    how = f"every {time_text(kind.period)}" if kind.period is not None else _WRITTEN[kind.rhythm]
    times = f"{kind.times} {'time' if kind.times == 1 else 'times'}"
    return f"{amps_text(kind.amps)} for {lasts}, {times}, {how}, {100 * kind.share:.1f}%"


def written_night(said: dict[str, str]) -> LoggedNight:
    """The night that stands on a card; raises WrongUse with what is missing or makes no sense."""
    for key in ("file", "sum", "floor", "mean", "for"):
        if key not in said:
            raise WrongUse(f"What a log's file showed has {key}.", "Let it be written: card add CARD logged night.csv")
    kinds = [_written_kind(said[key]) for key in LOGGED_KEYS if key in said and key.startswith("event-")]
    floor = signed(said["floor"])
    mean = _mean(said["mean"])
    if floor > mean.high + 0.0015:
        raise WrongUse(f"A log's mean is not below its floor: {said['floor']}, {said['mean']}.")
    return LoggedNight(
        file=said["file"],
        checksum=said["sum"],
        floor=floor,
        mean=mean,
        off=_quantity(said["off"], "current") if "off" in said else 0.0,
        settled=_quantity(said["for"], "time"),
        whole=signed(said["whole-mean"]) if "whole-mean" in said else mean.high,
        ended=said.get("ended", ""),
        told=said.get("told", ""),
        kinds=tuple(kinds),
        stairs=_written_steps(said.get("stairs", "")),
        still_on=_written_steps(said.get("still-on", "")),
    )


def signed(text: str) -> float:
    """`-0.004A` in A."""
    sign = -1.0 if text.startswith("-") else 1.0
    return sign * _quantity(text.lstrip("+-"), "current")


def _mean(text: str) -> Band:
    if ".." in text:
        low, _, high = text.partition("..")
        return Band(signed(low), signed(high))
    return Band(signed(text), signed(text))


def _quantity(text: str, measures: str) -> float:
    try:
        return read_quantity(text, measures)
    except QuantityError as error:
        raise WrongUse(str(error)) from None


def _written_kind(text: str) -> LoggedKind:
    match = _KIND.match(text)
    rhythm = None if match is None else "period" if match["period"] else _RHYTHMS.get(match["rhythm"] or "")
    if match is None or rhythm is None:
        raise WrongUse(f"{text} is no kind of event.", "Such as: 0.460A for 95s, 23 times, every 60.0min, 34.0%")
    try:
        lasts = read_band(match["lasts"], "time")
    except QuantityError as error:
        raise WrongUse(str(error)) from None
    period = _quantity(match["period"], "time") if match["period"] else None
    return LoggedKind(
        signed(match["amps"]), lasts, int(match["times"]), rhythm, period, min(1.0, float(match["share"]) / 100)
    )


def _written_steps(text: str) -> tuple[LoggedStep, ...]:
    steps = []
    for piece in _pieces(text):
        match = _STEP.match(piece)
        if match is None:
            raise WrongUse(f"{piece} is no step of a log.", "Such as: 0.500A after 12min")
        steps.append(LoggedStep(signed(match["amps"]), _quantity(match["minutes"], "time")))
    return tuple(steps)


def _pieces(text: str) -> Sequence[str]:
    return [piece.strip() for piece in text.split(",") if piece.strip()]

"""What a card says of a log: figures that somebody typed, or what a recorder's file showed."""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from circuitmap.evidence.card_text import Text
from circuitmap.evidence.entry_clock import minute_of
from circuitmap.evidence.job_card import Pair
from circuitmap.evidence.logged_night import LOGGED_KEYS, LoggedNight, written_night
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import Meter
from circuitmap.evidence.written_readings import current_of, place_of
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.wiring.platform import Platform

TYPED_KEYS = ("place", "floor", "peak", "mean", "period", "lasts", "for", "rose-first")
SPELT = {"every": "period"}
"""Other spellings of them."""


class ToldLog(NamedTuple):
    """A log, where it was taken, the text on the card that stands for it, and the minute of the recorder's clock at its
    last sample, where it says the day."""

    place: str
    log: Log
    text: Text
    ended: float | None = None


def told_log(
    platform: Platform, pairs: tuple[Pair, ...], batteries: Callable[[], list[str]], *, is_file: bool
) -> ToldLog:
    """Reads what an entry says under `log`, or under `logged` (`is_file`); raises WrongUse with what is wrong."""
    said = {SPELT.get(pair.name.value, pair.name.value): pair.value for pair in pairs}
    known = LOGGED_KEYS if is_file else TYPED_KEYS
    for pair in pairs:
        if SPELT.get(pair.name.value, pair.name.value) not in known:
            raise WrongUse(f"{pair.name.value} is not part of a log: {', '.join(known[:9])}.")
    place = _place(platform, pairs, said.get("place"), batteries, is_file)
    if is_file:
        night = written_night({key: text.value for key, text in said.items()})
        return ToldLog(place, _of_night(night), said["file"], minute_of(night.ended, None) if night.ended else None)
    amps = {key: current_of(said[key].value)[0] for key in ("floor", "peak", "mean") if key in said}
    if len(amps) < 3:
        raise WrongUse("A log has floor, peak and mean.")
    if not amps["floor"] <= amps["mean"] <= amps["peak"]:
        shown = ", ".join(f"{key} {said[key].value}" for key in ("floor", "mean", "peak"))
        raise WrongUse(f"The mean of a log lies between its floor and its peak: {shown}.", "Read the log again.")
    period, ran = _minutes(said.get("period")), _minutes(said.get("for"))
    if period is not None and ran is not None and ran < period:
        raise WrongUse(
            f"for is how long the log ran, and {said['for'].value} is less than the {said['period'].value} from one "
            "event to the next.",
            f"For how long each of them lasts write lasts {said['for'].value}, and for how long it ran: for 13h.",
        )
    log = Log(
        amps["floor"], amps["peak"], amps["mean"],
        period=period, duration=ran, lasts=_minutes(said.get("lasts")),
        rose_first=place_of(platform, said["rose-first"].value) if "rose-first" in said else "",
    )  # fmt: skip
    return ToldLog(place, log, said["mean"])


def meter_of(night: LoggedNight, meter: Meter) -> Meter:
    """The recorder's clamp: a mean over many samples has no last digit to speak of, but the zero of the whole log."""
    return replace(meter, kind="clamp", step=0.001, zero=night.off, counts=0.5, zeroed=-1)


def _of_night(night: LoggedNight) -> Log:
    """Floor, peak and mean as a typed log has them; the mean's upper bound where it is not known better."""
    highest = max((kind.amps for kind in night.kinds), default=0.0)
    on = sum(step.amps for step in night.still_on)
    peak = max(night.floor + max(highest, on), night.mean.high)
    return Log(
        floor=min(night.floor, night.mean.high), peak=peak, mean=night.mean.high, duration=night.settled, night=night
    )


def _place(
    platform: Platform, pairs: tuple[Pair, ...], place: Text | None, batteries: Callable[[], list[str]], is_file: bool
) -> str:
    if place is not None:
        return place_of(platform, place.value)
    found = batteries()
    if len(found) != 1:
        said = ".." if is_file else ", ".join(f"{pair.name.value}: {pair.value.value}" for pair in pairs)
        word, first = ("logged" if is_file else "log"), found[0] if found else "BAT"
        others = f" ({' or '.join(f'place: {its}' for its in found[1:])} for another one)" if found[1:] else ""
        line = "" if is_file else f" In a short line: log {first} floor 0.05A peak 1.2A mean 0.31A."
        raise WrongUse(
            "A log says at which place: this platform has more than one battery.",
            f"Write {word}: {{place: {first}, {said}}}{others}.{line}",
        )
    return found[0]


def _minutes(text: Text | None) -> float | None:
    if text is None:
        return None
    try:
        return read_quantity(text.value, "time")
    except QuantityError as error:
        raise WrongUse(str(error)) from None

"""A draw that comes and goes, or came later: what the log shows, whose it may be, and how to read it while it is up."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.whose import Whose, whose_of, whose_over
from circuitmap.evidence.logged_night import LoggedKind
from circuitmap.evidence.logs import Log, OtherClock, late_steps, slower_clocks
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import MISSED_ENOUGH, PERIODS
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.whose_words import whose_json, whose_sentences
from circuitmap.reports.words.lasting_words import time_words
from circuitmap.reports.words.paragraphs import joined, section
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of


def logged_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """The sections about the log that the total comes from; none where there is none, or nothing came."""
    logged = logged_total(diagnosis)
    if logged is None or logged.log is None:
        return []
    log, risen = logged.log, rose_with_it(diagnosis)
    told = [*log_sentences(platform, log), *map(_clock_sentence, _slower(platform, diagnosis, log))]
    told += _rose_sentences(risen)
    lines = section("IN THE LOG", told, width)
    lines += section("WHOSE", whose_sentences(platform, _whose(platform, diagnosis, log)), width)
    lines += section("BY ITSELF", turning_sentences(platform, log), width)
    unread = log.comes_and_goes and log.rose_first == "" and not was_read_while_up(diagnosis)
    if unread or (log.floor_draws and not any(r.amps for r in risen)):
        lines += section("WHILE UP", reading_sentences(platform, log), width)
    return lines


def logged_total(diagnosis: Diagnosis) -> Reading | None:
    """The total that a log gave, where that is a draw that comes and goes or came later, or where both its floor and
    what comes over it are draws."""
    return next((r for r in diagnosis.netted.totals if r.log is not None and _is_told(r.log)), None)


def _slower(platform: Platform, diagnosis: Diagnosis, log: Log) -> list[OtherClock]:
    """The clocks of what may be fitted that are too slow for it."""
    there = {fault.module or fault.part for fault in diagnosis.faults}
    return [its for its in slower_clocks(platform, log) if its.part in there]


def _clock_sentence(its: OtherClock) -> str:
    return (
        f"{its.part} wakes by itself every {time_words(60 * its.every)}: of what comes here that is one in "
        f"{its.one_in} at the most, and by that alone the mean would be {ampere(its.mean)} at the most."
    )


def was_read_while_up(diagnosis: Diagnosis) -> bool:
    """Whether some place besides the batteries was read while what comes and goes was up."""
    platform = diagnosis.hands_off.platform
    its = (r for place, r in diagnosis.netted.readings.items() if not battery_read_at(platform, place))
    return any(one.log is None and (one.during == "event" or one.shows_current) for one in its)


def _is_told(log: Log) -> bool:
    return log.state in ("event", "stayed on", "ran on") or (log.floor_draws and log.two_draws)


class Rose(NamedTuple):
    """By how many A a place shows more in an event than at the floor; 0 where it does not, as far as the meters can
    tell."""

    place: str
    amps: float


def rose_with_it(diagnosis: Diagnosis) -> tuple[Rose, ...]:
    """Each place that was read at the floor and in an event over it, the most first."""
    nets = diagnosis.netted
    ups = {aside.reading.place: aside.reading for aside in nets.set_aside if aside.why == "event-phase"}
    batteries = {total.place for total in nets.totals}
    found = []
    for place, up in ups.items():
        down = nets.readings.get(place)
        if place in batteries or down is None or up.amps is None or down.amps is None:
            continue
        off = up.half_step + down.half_step + 2.0 * (up.zero + down.zero) + 2.0 * up.relative * abs(up.amps)
        rise = up.amps - down.amps
        found.append(Rose(place, rise if rise > off else 0.0))
    return tuple(sorted(found, key=lambda one: (-one.amps, one.place)))


def _rose_sentences(found: tuple[Rose, ...]) -> Iterator[str]:
    rose, not_so = [one for one in found if one.amps], [one.place for one in found if not one.amps]
    if rose:
        yield f"What comes over the floor is seen at {joined([f'{one.place} ({ampere(one.amps)})' for one in rose])}."
    if not_so:
        yield f"It is not seen at {joined(not_so)}."


def _whose(platform: Platform, diagnosis: Diagnosis, log: Log) -> tuple[Whose, ...]:
    if log.night is not None:
        return whose_of(platform, diagnosis.faults, log.night)
    if not log.floor_draws:
        return ()
    at = tuple(one.place for one in rose_with_it(diagnosis) if one.amps)
    return (whose_over(log.up - log.floor, diagnosis.faults, at),)


def log_sentences(platform: Platform, log: Log) -> Iterator[str]:
    """Which state is weighed, and what the log's mean is for."""
    if log.state == "stayed on" and log.night is not None:
        came = log.night.still_on[0].minutes
        yield (
            f"Floor {ampere(log.floor)}; what came on {time_words(60 * came)} after it was locked stayed on: "
            f"{ampere(log.drew)} is looked for."
        )
        return
    if log.state == "ran on" and log.night is not None:
        late = late_steps(platform, log.night)
        longest = time_words(60 * sleep_of(platform).high)
        yield (
            f"It ran on: {ampere(sum(step.amps for step in late))} went off by itself "
            f"{time_words(60 * late[-1].minutes)} after it was locked; by then it should have slept ({longest} at the "
            f"most). {ampere(log.drew)} is looked for."
        )
        yield "Asleep it draws what it should: what runs on is read while it runs, before anything is pulled."
        return
    if log.floor_draws:
        comes = (
            f"{ampere(log.up - log.floor)} more that comes and goes, {ampere(log.mean - log.floor)} of it on average"
        )
        yield f"Two things, each above the limit: {ampere(log.floor)} all the time, looked for here, and {comes}."
        yield f"The mean, {ampere(log.mean)}, never flowed: it is for the time to flat only."
        return
    kind = log.kind
    often = f" every {time_words(60 * log.apart)}" if kind is None and log.apart is not None else ""
    what = _kind_words(kind) if kind is not None else f"what comes and goes{often}"
    more = "" if log.night is None else "; heights are over the floor"
    yield f"Floor {ampere(log.floor)}; {what} is looked for, {ampere(log.drew)} in all{more}."
    beside = [its for its in log.sound if its != kind]
    if beside:
        heights = " and ".join(ampere(its.amps) for its in beside)
        yield f"Not looked for: {heights}, which comes as often and as long as is typed in (wakes every)."
    if log.two_draws:
        yield f"The floor is above the limit, too: {ampere(log.floor)} is a second thing, looked for while it is down."
    yield f"The mean, {ampere(log.mean)}, never flowed: it is for the time to flat only."


_TURNS = frozenset(("cold", "warm", "hot", "cool", "low", "high", "full", "empty", "wet", "dry", "dark", "light"))
"""Positions into which a switch goes by itself: by heat, pressure, level, light."""
MOST_TURNING = 4


def turning_sentences(platform: Platform, log: Log) -> Iterator[str]:
    """What came later, ran on, or keeps a thermostat's time may hang on a switch that turns by itself: how it stood
    then is not how it stands by day."""
    thermostat = log.kind is not None and log.kind.rhythm == "thermostat"
    if log.state not in ("stayed on", "ran on") and not thermostat:
        return
    turning = [
        part
        for part in platform.parts.values()
        if isinstance(part, Switch) and not _TURNS.isdisjoint(position.casefold() for position in part.positions)
    ]
    if turning:
        its = joined([f"{part.name} ({', '.join(part.positions)})" for part in turning[:MOST_TURNING]], "or")
        first = turning[0]
        yield (
            f"Perhaps {its} stood otherwise then. Say how it stood, and all is weighed anew: "
            f"set {first.name} {first.positions[-1]}."
        )


_NOT_CLEARED = "A fuse that shows nothing at the floor is not cleared."


def reading_sentences(platform: Platform, log: Log) -> Iterator[str]:
    """How to find its fuse: nothing that is read while it is down clears anybody. The entries are shown with a fuse of
    this vehicle, and with one that may feed a box: the smallest and the largest."""
    kind = log.kind
    rated = sorted((its for its in platform.fuses if its.rating and not its.empty), key=lambda its: its.rating or 0.0)
    small, large = (rated[0].name, rated[-1].name) if rated else ("FUSE", "FUSE")
    up = f" (for {time_words(60 * kind.lasts.low)} at least{_when(kind)})" if kind is not None else ""
    yield (
        f"Leave the recorder on the total and read while it is up{up}. With what is read write event, or floor while "
        f"it is down: {small}=0.31A; event. "
        + ("A fuse that shows more then is on its way." if log.floor_draws else _NOT_CLEARED)
    )
    if log.floor_draws:
        return
    yield f"Which fuse rises first? That one counts most: log floor .. peak .. mean .. rose-first {small}."
    yield (
        "A recorder with a second channel: that one on the feeder of a box, over another night "
        f"(logged .. place {large})."
    )


def held_to_a_time(diagnosis: Diagnosis) -> str:
    """How long something is to be out before it counts that what comes and goes went with it; nothing where it does
    not, or nobody knows how far apart it comes."""
    logged = logged_total(diagnosis)
    log = logged.log if logged is not None else None
    if log is None or not log.comes_and_goes or log.apart is None:
        return ""
    if log.is_due:
        long = time_words(60 * MISSED_ENOUGH * log.apart)
        return f" It ends by itself, too: leave it out and watch for {long}, in which it is due twice (--steady)."
    long = time_words(60 * PERIODS * log.apart)
    return f" It ends by itself, too: leave it out for {long}, three times as long as from one to the next."


def how_long_out(diagnosis: Diagnosis) -> str:
    """For how long what is out stays out until it counts that it does not come."""
    logged = logged_total(diagnosis)
    if logged is not None and logged.log is not None and logged.log.is_due:
        return "until it was due twice by the clock"
    return "three times as long as from one time that it comes to the next"


def _kind_words(kind: LoggedKind) -> str:
    lasts = time_words(60 * kind.lasts.low)
    if time_words(60 * kind.lasts.high) != lasts:
        lasts += f" to {time_words(60 * kind.lasts.high)}"
    return (
        f"{ampere(kind.amps)} that comes {kind.times} {'time' if kind.times == 1 else 'times'} for {lasts}{_when(kind)}"
    )


def _when(kind: LoggedKind) -> str:
    if kind.period is not None:
        return f", every {time_words(60 * kind.period)}"
    return ", like a thermostat" if kind.rhythm == "thermostat" else ""


def logged_total_json(platform: Platform, diagnosis: Diagnosis) -> dict[str, Any] | None:
    """The same for programs; None where no log gave the total, or nothing came in it."""
    logged = logged_total(diagnosis)
    if logged is None or logged.log is None:
        return None
    log = logged.log
    night = log.night
    return {
        "place": logged.place,
        "state": log.state,
        "floor": round(log.floor, 6),
        "looked_for": round(log.drew, 6),
        "mean": round(log.mean, 6),
        "file": None if night is None else night.file,
        "not_looked_for": [round(kind.amps, 6) for kind in log.sound if kind != log.kind],
        "comes_over": round(log.up - log.floor, 6) if log.floor_draws else None,
        "rose": [{"place": one.place, "amps": round(one.amps, 6)} for one in rose_with_it(diagnosis)],
        "slower_clocks": [
            {"part": its.part, "every": its.every, "one_in": its.one_in, "mean": round(its.mean, 6)}
            for its in _slower(platform, diagnosis, log)
        ],
        "whose": whose_json(_whose(platform, diagnosis, log)),
    }

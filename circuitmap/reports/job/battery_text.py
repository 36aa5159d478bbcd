"""The battery's arithmetic as sentences: how long it stands, and whether the draw is enough for the complaint."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.battery.parked_time import (
    PARKED_CHARGE,
    Enough,
    Usable,
    draw_that_explains,
    enough_for,
    hours_to_no_start,
    usable_charge,
)
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.after_mending import NIGHT_MINUTES
from circuitmap.jobs.against_limit import held_amps, tolerance
from circuitmap.jobs.intake import Intake
from circuitmap.jobs.job import Job
from circuitmap.quantities import Band
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.parked_time_words import parked_time_words

_ELSEWHERE = (
    "look at the battery, at how the car is used and what was left on or open, or for a draw that comes and goes"
)
_ENOUGH_WORDS = {
    Enough.TOO_LITTLE: f"too little for it: {_ELSEWHERE}",
    Enough.NOT_AS_SHOWN: f"too little for it by what the meter shows, though that may be off: {_ELSEWHERE}",
    Enough.PERHAPS: "perhaps enough for it, perhaps too little: by the meter's error both can be",
    Enough.ENOUGH: "enough for it",
    Enough.MORE_THAN_ENOUGH: "more than enough: it was flat sooner than it was found so, if it drew that all the time",
}


_IN_SHORT = {
    Enough.ENOUGH: "enough",
    Enough.MORE_THAN_ENOUGH: "more than enough, and flat sooner if it drew that all the time",
}


class BatteryTold(NamedTuple):
    """How a battery's times are told: `of` is its name where several were read; `came_in`: the draw is that of the
    vehicle before it was mended; `starts`: the engine hangs on it; one that starts nothing is flat where it is half
    empty; `is_new`: it was renewed before the vehicle came in; `rest`: what it still draws although something was
    mended that took its share away; `while_up`: the draw is that of an event, and no log says how often it is up;
    `failed`: it failed its test after a charge;
    `ran`: the engine ran since the volts at rest were read, as the battery was seen being charged; `short`: in few
    words."""

    of: str = ""
    came_in: bool = False
    starts: bool = True
    is_new: bool = False
    while_up: bool = False
    ran: bool = False
    failed: bool = False
    short: bool = False
    rest: Reading | None = None


PLAIN = BatteryTold()


def battery_sentences(
    intake: "Intake",
    total: "Reading | None",
    night: "Reading | None" = None,
    told: BatteryTold = PLAIN,
    since: "Reading | None" = None,
) -> Iterator[str]:
    """Time to no-start at the measured draw, the draw that would explain the complaint, and what was assumed; with
    `night`, the log after mending, or else with `since`, what was read after it, also how long it can stand now."""
    usable = usable_charge(intake.battery)
    if usable is None:
        yield "The battery's size is not known (battery: 72Ah, or RC 120min, on the card): no time to flat."
        return
    draw, shown = mean_draw(total), shown_draw(total)
    if told.failed and draw is None:
        return  # nothing was read that it could be reckoned for, and what a failed one holds nobody knows
    told = told._replace(while_up=total is not None and total.log is None and total.during == "event")
    if usable.ampere_hours.high <= 0.0 and told.starts:
        charge = intake.battery.charge.high if intake.battery.charge is not None else 0.0
        yield _capital(f"{f'{told.of}: ' if told.of else ''}{_below_words(charge, told.ran)}", told.of)
    elif draw is not None:
        when = ("as it came in" if told.came_in else "", "while it is up" if told.while_up else "")
        before = ", ".join(its for its in (told.of, *when) if its)
        for its in _time_to_no_start(usable, draw, shown, told.starts):
            yield _capital(f"{before}: {its[0].lower()}{its[1:]}" if before else its, told.of)
    if told.rest is not None:
        yield from _time_now(intake, told.rest, told.starts)
    if told.while_up and not told.came_in:
        yield "It comes and goes: how often it is up, and for how long, decides; a log shows that."
    yield from _mended(intake, night, logged=True)
    if night is None:
        yield from _mended(intake, since, logged=False)
    if intake.flat_after is not None:
        yield from _complaint(usable, intake, intake.flat_after, total, told)
    if intake.rating_from_sheet:
        yield "The capacity is that of the sheet, not read off this car's battery."
    if told.short and not told.while_up and _is_sure_of_it(usable, intake, total):
        return
    assumed = usable.assumed if told.starts else [its.replace("no start below", "flat below") for its in usable.assumed]
    yield f"Assumed: {'; '.join(assumed)}. No self-discharge counted."


def _is_sure_of_it(usable: Usable, intake: "Intake", total: "Reading | None") -> bool:
    """Whether the draw is enough for the complaint, or there is none: what was assumed changes nothing in what is done
    then."""
    draw = mean_draw(total)
    if draw is None or usable.ampere_hours.high <= 0.0:
        return False
    if intake.flat_after is None:
        return True
    return enough_for(usable, draw, intake.flat_after, shown_draw(total)) in _IN_SHORT


def _below_words(charge: float, ran: bool) -> str:
    """A battery whose volts stand for less charge than a start is taken to need: no time is told."""
    still = "; yet it was seen being charged, so the engine did start" if ran else ""
    return (
        f"by its volts it is about {charge:.0%} full, below what a start is taken to need{still}. How long it stands "
        "is not reckoned from there: charge it, and write down its volts at rest."
    )


def _capital(text: str, of: str) -> str:
    return text if of else f"{text[:1].upper()}{text[1:]}"


_STILL_ENOUGH = {
    Enough.TOO_LITTLE: "no longer enough to go flat in {}",
    Enough.NOT_AS_SHOWN: "no longer enough to go flat in {}, by what the meter shows, though that may be off",
    Enough.PERHAPS: "perhaps still enough to go flat in {}",
    Enough.ENOUGH: "still enough to go flat in {}",
    Enough.MORE_THAN_ENOUGH: "still more than enough to go flat in {}",
}


def _time_now(intake: "Intake", now: "Reading", starts: bool) -> Iterator[str]:
    """Time to no-start at what is still drawn although something was mended, and whether that is still enough for what
    the driver says."""
    usable, draw = usable_charge(intake.battery), mean_draw(now)
    if usable is None or draw is None:
        return
    enough = enough_as_it_is(intake, now)
    complained = parked_time_words(intake.flat_after) if intake.flat_after is not None else ""
    still = f" That is {_STILL_ENOUGH[enough].format(complained)}." if enough is not None else ""
    lines = [*_time_to_no_start(usable, draw, shown_draw(now), starts)]
    for n, its in enumerate(lines, 1):
        yield f"As mended so far: {its[0].lower()}{its[1:]}{still if n == len(lines) else ''}"


def drawn_as_mended(job: "Job") -> Reading | None:
    """What the battery whose times are told still gives although something was mended that took its share away."""
    now, (_, total) = job.standing.after.reading, job.drained
    if not job.standing.is_mended_in_part or now is None or total is None:
        return None
    at = [battery_read_at(job.platform, reading.place) for reading in (now, total)]
    return now if at[0] == at[1] else None


def enough_as_it_is(intake: "Intake", now: "Reading") -> Enough | None:
    """Whether what is drawn now is enough for the complaint; None where that, or the battery's size, is not known."""
    usable, draw = usable_charge(intake.battery), mean_draw(now)
    if usable is None or draw is None or intake.flat_after is None:
        return None
    return enough_for(usable, draw, intake.flat_after, shown_draw(now))


def in_use_sentence(intake: "Intake", used: Reading, parked: Reading | None, starts: bool = True) -> str:
    """How long the battery lasts at what it gave with the key on, and how much an hour of that takes, held against what
    the parked vehicle takes; empty where its size is not known, or it was being charged."""
    usable, draw = usable_charge(intake.battery), mean_draw(used)
    if usable is None or draw is None or used.amps is None or draw.low <= 0.0 or usable.ampere_hours.high <= 0.0:
        return ""
    hours = hours_to_no_start(usable, draw)
    if hours is None:
        return ""
    rest = shown_draw(parked)
    as_much = ""
    if rest is not None and 0.0 < rest < used.amps:
        as_much = f", as much as {parked_time_words(Band(used.amps / rest, used.amps / rest))} parked"
    amps, lasts = ampere_words(used.amps, is_fine(used)), parked_time_words(hours)
    takes = f"an hour of it takes {used.amps:.1f} Ah{as_much}"
    return f"At {amps} with the key on it {_ends(starts)} after {lasts}; {takes}."


def share_sentence(intake: "Intake", what: str, took: float, starts: bool = True) -> str:
    """How long the battery lasts at what one part of the draw took by itself; empty where its size is not known."""
    usable = usable_charge(intake.battery)
    hours = hours_to_no_start(usable, Band(took, took)) if usable is not None and took > 0.0 else None
    if hours is None:
        return ""
    amps = ampere_words(took, took < TENTH_OF_A_DIGIT)
    return f"At the {amps} of {what} alone it {_ends(starts)} after {parked_time_words(hours)}."


def other_battery_sentence(intake: "Intake", total: "Reading", name: str, starts: bool = True) -> str:
    """How long another battery lasts that also gives more than it may, by the capacity on its sheet."""
    usable, draw = usable_charge(intake.battery), mean_draw(total)
    if usable is None or draw is None:
        return f"{name}: its size is not known (by the sheet it has none): no time to flat."
    time = " ".join(_time_to_no_start(usable, draw, shown_draw(total), starts))
    return f"{name}: {time[:1].lower()}{time[1:]} Its capacity is that of the sheet." if time else ""


def as_it_stands_sentence(intake: "Intake", out: str, now: "Reading", of: str, starts: bool = True) -> str:
    """How long a battery lasts as the vehicle stands just now, with something `out`; `of` names it if there are
    several. Empty where its size is not known."""
    usable, draw = usable_charge(intake.battery), mean_draw(now)
    time = " ".join(_time_to_no_start(usable, draw, shown_draw(now), starts)) if usable is not None and draw else ""
    return f"As it stands now, with {out} out: {f'{of}, ' if of else ''}{time[:1].lower()}{time[1:]}" if time else ""


def _mended(intake: "Intake", seen: "Reading | None", *, logged: bool) -> Iterator[str]:
    """How long the car can stand now, with a battery charged as vehicles are when parked, not with what was left when
    it came in. `seen` is what this rests on: a night's log, or (not `logged`) a look. Where the meter may be off by
    much, at what it shows, and at the most that this may be: by that alone a sound car would seem not to stand long."""
    came_with, now, shown = intake.battery.charge, mean_draw(seen), shown_draw(seen)
    usable = usable_charge(replace(intake.battery, charge=PARKED_CHARGE))
    if usable is None or now is None or now.high <= 0.0:
        return
    if came_with is not None and came_with.high < PARKED_CHARGE.low:
        yield f"Charge it before it goes home: it came in about {came_with.high:.0%} full, by its volts."
    charged = f"parked with the battery charged (at least {PARKED_CHARGE.low:.0%})"
    begins = f"Mended, and {charged}"
    if seen is not None and not logged:
        begins = f"At the {ampere_words(seen.amps, is_fine(seen))} read since it was mended, and {charged}"
    at_worst = usable.ampere_hours.low / now.high
    if shown is None or shown <= 0.0 or now.high - shown < MOSTLY_ERROR * shown:
        yield f"{begins}, it stands for {_at_the_least(at_worst)}."
        return
    most = ampere_words(now.high, now.high < TENTH_OF_A_DIGIT)
    stands = _at_the_least(usable.ampere_hours.low / shown)
    yield f"{begins}, it stands for {stands}; the meter can be off, and at {most} that is {_at_the_least(at_worst)}."


def _at_the_least(hours: float) -> str:
    words = parked_time_words(Band(hours, hours))
    return words if words.startswith("more than") else f"{words} at the least"


MOSTLY_ERROR = 0.5
"""The share of what a meter shows from which on its error changes the time by much (judgement)."""


def _time_to_no_start(usable: Usable, draw: Band, shown: float | None, starts: bool = True) -> Iterator[str]:
    """At what the meter shows, and where it may be off by much, at the least and the most that this may be."""
    hours = hours_to_no_start(usable, draw)
    if hours is None:
        return
    at_shown = hours_to_no_start(usable, Band(shown, shown)) if shown is not None and shown > 0.0 else None
    if at_shown is None or shown is None or draw.high - shown < MOSTLY_ERROR * shown:
        yield f"At {_amps(draw)} it {_ends(starts)} after {parked_time_words(hours)}."
        return
    yield (
        f"At {ampere_words(shown, shown < TENTH_OF_A_DIGIT)} it {_ends(starts)} after {parked_time_words(at_shown)}; "
        f"the meter can be off, and at {_amps(draw)} that is {parked_time_words(hours)}."
    )


def _ends(starts: bool) -> str:
    return "no longer starts" if starts else "is half empty"


def _complaint(
    usable: Usable, intake: "Intake", complained: Band, total: Reading | None, told: BatteryTold
) -> Iterator[str]:  # fmt: skip
    starts = told.starts
    draw = mean_draw(total)
    needed = draw_that_explains(usable, complained)
    if needed.high <= 0.0 and told.ran:
        return
    if needed.high <= 0.0:
        yield (
            f"By the volts written down the battery is {'too empty to start' if starts else 'half empty or less'}. "
            "Parked so, it needs no draw to fail; if they are those of the flat battery, they say nothing of the draw: "
            "charge it, and write down its volts at rest."
        )
        return
    takes = _amps(needed) if needed.low >= 0.005 else f"up to {needed.high:.2f} A"
    flat = f"To go flat in {parked_time_words(complained)} takes"
    words = f"{flat} a mean draw of {takes}"
    enough = None
    if draw is not None:
        enough = enough_for(usable, draw, complained, shown_draw(total))
        so = "if it were up all the time, " if told.while_up else ""
        drew = "what it drew as it came in" if told.rest is not None else "the draw measured"
        if told.short and enough in _IN_SHORT:
            yield f"{flat} {takes}: {so}{drew} is {_IN_SHORT[enough]}."
            return
        words += f"; {so}{drew} is {_ENOUGH_WORDS[enough]}"
        words += "; log a night" if enough == Enough.PERHAPS and not _is_of_a_night(total) else ""
    yield f"{words}."
    if told.is_new and enough in (Enough.TOO_LITTLE, Enough.NOT_AS_SHOWN, Enough.PERHAPS):
        full = "; how full the new one was, nobody wrote down" if intake.battery.charge is None else ""
        yield f"It was renewed before the vehicle came in: what the old one had lost explains nothing now{full}."


def _is_of_a_night(total: Reading | None) -> bool:
    return total is not None and total.log is not None and (total.log.duration or 0.0) >= NIGHT_MINUTES


def shown_draw(total: Reading | None) -> float | None:
    """The draw in A as the meter shows it; for a log, its mean."""
    return held_amps(total) if total is not None else None


def mean_draw(total: Reading | None) -> Band | None:
    """The mean draw in A as a band as wide as the meter's error; for a log, its mean."""
    if total is None:
        return None
    amps = held_amps(total)
    if amps is None:
        return None
    error = tolerance(total)
    return Band(max(0.0, amps - error), max(0.0, amps + error))


TENTH_OF_A_DIGIT = 0.01
"""In A: below this a current is told with a third digit, or it would read as none."""


def _amps(band: Band) -> str:
    digits = 3 if 0.0 < band.high < TENTH_OF_A_DIGIT else 2
    low, high = f"{band.low:.{digits}f}", f"{band.high:.{digits}f}"
    return f"{low} A" if low == high else f"{low} to {high} A"

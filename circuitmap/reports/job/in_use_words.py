"""What was read with the key on, in words: how long the battery lasts at that, what takes it, and what to ask."""

from collections.abc import Callable, Iterable, Iterator

from circuitmap.battery.parked_time import Enough, enough_for, hours_to_no_start, usable_charge
from circuitmap.diagnosis.seen.figures_that_fit import FigureTaken
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.in_use import FuseInUse, LookInUse, is_of_use, most_and_least
from circuitmap.jobs.intake import Intake
from circuitmap.jobs.standing import JobStanding
from circuitmap.quantities import Band
from circuitmap.reports.job.battery_text import ends, mean_draw, shown_draw
from circuitmap.reports.words.cautions import caution_sentences, cautions_at
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.parked_time_words import parked_time_words
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform

_ENOUGH = {
    Enough.TOO_LITTLE: "not enough to go flat in {}", Enough.NOT_AS_SHOWN: "hardly enough to go flat in {}",
    Enough.PERHAPS: "perhaps enough to go flat in {}", Enough.ENOUGH: "enough to go flat in {}",
    Enough.MORE_THAN_ENOUGH: "enough to go flat in {}",
}  # fmt: skip
MOST_BEHIND = 3
"""Of what hangs on a fuse whose current fits nothing, so many are named."""


def in_use_lines(
    platform: Platform,
    intake: Intake,
    looks: Iterable[LookInUse],
    parked: Reading | None,
    starts: bool = True,
    called: Callable[[str], str] = str,
) -> Iterator[str]:
    """A line for each look at the battery whose times are told, `parked` being what it gives parked: how long it lasts
    at that, against the look before, and below it what was read at fuses. `called`: how a part is called."""
    battery = battery_read_at(platform, parked.place) if parked is not None else ""
    before: float | None = None
    for look in looks:
        total = look.total
        if total is not None and battery in ("", battery_read_at(platform, total.place)) and total.amps is not None:
            if total.amps > 0.0:
                yield _look_words(intake, look, total, parked, before, starts)
            before = total.amps
        fuses = [fuse_words(one, called) for one in look.fuses if one.reading.shows_current]
        if fuses:
            fit = all(one.fits for one in look.fuses if one.reading.shows_current)
            sound = " All of it as typed in: use, no fault." if fit else ""
            yield f"{'Of that' if total is not None else 'With the key on'}: {'; '.join(fuses)}.{sound}"


def _look_words(
    intake: Intake, look: LookInUse, used: Reading, parked: Reading | None, before: float | None, starts: bool
) -> str:
    assert used.amps is not None
    beside = "; ".join(its for its in (look.at, look.remark) if its)
    amps = f"{ampere_words(used.amps, is_fine(used))} with the key on{f' ({beside})' if beside else ''}"
    more = ""
    if before is not None and abs(before - used.amps) > used.half_step:
        less = "less" if used.amps < before else "more"
        more = f" That is {ampere_words(abs(before - used.amps), is_fine(used))} {less} than the time before."
    usable, draw = usable_charge(intake.battery), mean_draw(used)
    hours = hours_to_no_start(usable, draw) if usable is not None and draw is not None else None
    if usable is None or draw is None or hours is None or usable.ampere_hours.high <= 0.0 or draw.low <= 0.0:
        return f"It takes {amps}; an hour of it takes {used.amps:.1f} Ah.{more}"
    rest, as_much = shown_draw(parked), ""
    if rest is not None and 0.0 < rest < used.amps:
        as_much = f", as much as {parked_time_words(Band(used.amps / rest, used.amps / rest))} parked"
    if intake.flat_after is not None:
        enough = enough_for(usable, draw, intake.flat_after, used.amps)
        more = f" Used so all that time it is {_ENOUGH[enough].format(parked_time_words(intake.flat_after))}.{more}"
    lasts = parked_time_words(hours)
    return f"At {amps} it {ends(starts)} after {lasts}; an hour of it takes {used.amps:.1f} Ah{as_much}.{more}"


def looked_at_words(looks: Iterable[LookInUse]) -> Iterator[str]:
    """Each reading of each look, with its time and what takes it."""
    for look in looks:
        read = [f"{look.total.place} {_amps(look)}"] if look.total is not None else []
        yield f"{f'{look.at}: ' if look.at else ''}{'; '.join([*read, *map(fuse_words, look.fuses)])}."


def fuse_words(one: FuseInUse, called: Callable[[str], str] = str) -> str:
    """`F8 4.19 A, what SEATH running takes (4.00 A)`."""
    words = f"{called(one.reading.place)} {ampere_words(one.reading.amps, is_fine(one.reading))}"
    if one.fits:
        each = joined([joined([_taker_words(its, called) for its in fits.takers]) for fits in one.fits], "or")
        many = any(len(fits.takers) > 1 for fits in one.fits)
        return f"{words}, what {each} take{'' if many else 's'}"
    if not one.behind:
        return words
    told = [*map(called, one.behind[:MOST_BEHIND]), *(["more"] if len(one.behind) > MOST_BEHIND else [])]
    return f"{words} (there: {joined(told)})"


def _taker_words(its: FigureTaken, called: Callable[[str], str]) -> str:
    form = {"coil": "the coil of {}", "awake": "{} awake", "running": "{} running"}[its.taken]
    return f"{form.format(called(its.part))} ({ampere_words(its.amps.middle)})"


def used_sentence(standing: JobStanding) -> str:
    """What it takes in use, where that may be why it goes flat when the driver says; else empty."""
    found = _tells(standing)
    if found is None or not is_of_use(standing.happens_when):
        return ""
    return f"with the key on it takes {found}, and that may be all it is"


def used_sentences(standing: JobStanding) -> Iterator[str]:
    """The look in use that took most, and with what less it may be."""
    found = most_and_least(standing.in_use, standing.limit)
    if found is not None:
        most, least = found
        yield f"With the key on it takes {_amps(most)}{_how(most)}."
        if least is not None:
            yield f"With less on {_amps(least)}{_how(least)}."


def _how(look: LookInUse) -> str:
    return f" ({look.remark})" if look.remark else ""


def use_steps(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What to ask about how it is used, once it was read so, and what to take care of while it is set so."""
    found = most_and_least(standing.in_use, standing.limit)
    if found is None:
        return
    most, least = found
    hourly = most.total.amps if most.total is not None and most.total.amps is not None else 0.0
    yield (
        f"Ask how long it is used as it was{f' at {most.at}' if most.at else ''} ({_amps(most)}, so {hourly:.1f} Ah an "
        "hour), and how far it is driven after that: a short trip does not give it back."
    )
    if least is None:
        yield (
            "Set it so once more with less on, one thing after the other, and read the total each time, with a clamp, "
            "no meter in series: what is the remedy?"
        )
        batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
        yield from caution_sentences([*cautions_at(platform, "clamp", batteries), *cautions_at(platform, "switch-on")])
        return
    yield (
        f"With less on it took {_amps(least)}{_how(least)}: if that will do, it is "
        "the remedy (until-then ..); if it is used so, write that down (cause .. kind habit, mended told the driver)."
    )


def _tells(standing: JobStanding) -> str | None:
    found = most_and_least(standing.in_use, standing.limit)
    return _amps(found[0]) if found is not None else None


def _amps(look: LookInUse) -> str:
    return ampere_words(look.total.amps, is_fine(look.total)) if look.total is not None else ""

"""What is said after mending: what was found and mended, how far that is borne out, whether it is repaired, and what is
still out."""

from collections.abc import Iterator

from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.after_mending import NIGHT_MINUTES, AfterMending, is_asleep_and_steady
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.found_cause import FoundCause
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.no_draw_cause_text import check_words, no_draw_cause_headline
from circuitmap.reports.job.try_words import figures_words
from circuitmap.reports.words.limit_words import (
    ampere_words,
    hours_words,
    how_long_words,
    is_fine,
    limit_words,
    meter_words,
    off_words,
    shown_words,
)
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.reports.words.seen_words import read_words
from circuitmap.wiring.platform import Platform

_WHY_NOT_SHOWN = {
    "short": "The log of {long} is too short: 8 h at least.",
    "how-long": "How long the log at {place} ran is not on the card{room}: 8 h at least are needed.",
    "still-out": "The night's log does not count: by the card {out} was still out.",
    "elsewhere": "The night's log is of {place}: it drew at another place.",
    "charging": "During the night's log current ran into {place}: that says nothing of what is drawn.",
    "woken": "During the log the vehicle was open, by the card: that says nothing of the parked car.",
    "gone-by-itself": "The draw had gone by itself before anything was mended, so the quiet night at {place} "
    "shows nothing: by the card it was not used since.",
    "not-as-it-happens": "It happens, the driver says: {when}. By the remark beside it, it was not so during the "
    "night's log at {place}: that shows nothing.",
    "quiet-though-used": "The draw had gone by itself before anything was mended, and stayed away although it was "
    "used: a quiet night at {place} shows nothing.",
}


_WHY_NOBODY_CAN_TELL = {
    "nothing-before": "no draw was read before it was mended, so nobody knows what is gone",
    "not-locked": "that it was locked is not on the card",
    "no-time": "when it was last handled and locked, or when the log was written down, is not on the card",
    "no-room": "by the times on the card it had been locked and left alone for {room} when that was written down",
    "peak": "its peak of {peak} is the draw again, or much of it (it drew {drew})",
    "beyond-known": "that is {more} more than is known with what was switched on: turn that off and read again",
    "peak-unexplained": "its peak of {peak} is more than what wakes by itself explains ({explained} at the most)",
    "unread": "parts of the card could not be read",
}


def mended_headline(platform: Platform, standing: JobStanding) -> str:
    """The job in one line once something was mended."""
    after, reading = standing.after, standing.after.reading
    limit = limit_words(standing, reading.place if reading is not None else standing.drew_at)
    if standing.stage == "not-repaired" and reading is not None:
        less = after.drew is not None and reading.amps is not None and after.drew > reading.amps
        was = f" ({ampere_words(after.drew)} before)" if less else ""
        since = _since(platform, standing)
        return f"NOT REPAIRED: after mending {_seen(reading, standing)}{was}; the limit is {limit}.{since}"
    if standing.stage == "repaired" and reading is not None:
        off = meter_words(reading, standing.limits.at(reading.place))
        nights = joined([_seen(one, standing) for one in after.shown] or [_seen(reading, standing)])
        proven = ", CAUSE PROVEN" if _grade(standing) == "proven" else ""
        return f"REPAIRED{proven}: {_subject(platform, standing, ': ')}{nights}; the limit is {limit}.{off}"
    if standing.battery_job is not None and not standing.still_out:
        return _battery_headline(standing)
    if standing.no_draw_cause is not None and not standing.still_out:
        return no_draw_cause_headline(standing, standing.no_draw_cause, _subject(platform, standing, before=": "))
    wanted = f"It is repaired when a night's log{_at_each(standing)} stays within {_held_to(standing, limit)}."
    if standing.still_out:
        return f"MENDED, BUT STILL OUT by the card: {still_out_words(platform, standing)}.{_read_so(standing)} {wanted}"
    if after.outcome == "cannot-tell" and reading is not None and after.why:
        return f"MENDED, CAN'T TELL: {_seen(reading, standing)}, but {_nobody_can_tell(after, standing)}. {wanted}"
    if after.outcome == "cannot-tell" and reading is not None:
        return (
            f"MENDED, CAN'T TELL WITH THIS METER: {_seen(reading, standing)}; the limit is {limit}, and the meter can "
            f"be off {off_words(reading)}."
        )
    head = f"{_GRADED.get(_grade(standing), 'MENDED, NOT YET SHOWN')}{_subject(platform, standing, before=': ')}."
    seen = f" {since}" if (since := quiet_since_words(platform, standing)) else ""
    return f"{head}{seen} {wanted}{_shown_in_part(standing)}{_why(platform, reading, after.why, standing.happens_when)}"


_GRADED = {
    "proven": "PROVEN AND MENDED, NOT YET SHOWN OVER A NIGHT",
    "borne-out": "MENDED AND QUIET SO FAR, NOT YET SHOWN",
}


def _grade(standing: JobStanding) -> str:
    return standing.found.grade if standing.found is not None else ""


def _subject(platform: Platform, standing: JobStanding, after: str = "", *, before: str = "") -> str:
    """What was found and mended: the parts that are named as the cause, or else the cause as it was written. Nothing
    where only what was done is written, and names nothing on the sheets."""
    found = standing.found
    if found is None or not (found.parts or standing.cause):
        return ""
    by_name = bool(found.parts) and not found.and_a_wire
    said = joined([named(platform, name) for name in found.parts]) if by_name else found.words.rstrip(".")
    return f"{before}{said}{after}"


def _held_to(standing: JobStanding, limit: str) -> str:
    """The figure that a log is held to: what is known to flow there, where that is more than the limit."""
    known = standing.limits.known_at(standing.drew_at)
    if known is None:
        return limit
    return f"{ampere_words(known.at_most, known.by_added > 0.0)}, all that is known at the most: the limit is {limit}"


def _at_each(standing: JobStanding) -> str:
    """Where several batteries drew, that each is to be logged."""
    several = len(standing.after.open) + sum(1 for one in standing.after.shown) > 1
    return f" at {joined([*standing.after.open])}" if several and standing.after.open else ""


def _shown_in_part(standing: JobStanding) -> str:
    """Which of several batteries are shown already."""
    shown = standing.after.shown
    if not shown or not standing.after.open:
        return ""
    return f" Shown so far: {joined([_seen(one, standing) for one in shown])}."


def quiet_since_words(platform: Platform, standing: JobStanding) -> str:
    """What was read of the sleeping vehicle since, where that is within the limit: what it says, and how far."""
    after = standing.after
    if not after.quiet:
        return joined([_too_coarse_words(one, standing) for one in after.too_coarse])
    before = {battery: reading.amps for battery, reading in standing.totals.items() if not after.went_by_itself}
    said = []
    for one in after.quiet:
        was = before.get(battery_read_at(platform, one.place))
        drew = (
            f" ({ampere_words(was, is_fine(one))} before)"
            if was is not None and one.amps is not None and was > one.amps
            else ""
        )
        said.append(
            f"{one.place} {shown_words(one, standing.limits.at(one.place))}{drew or _known_there(one, standing)}"
        )
    steady = all(is_asleep_and_steady(platform, one) for one in after.quiet)
    known = any(one.amps is not None and one.amps > standing.limit for one in after.quiet)
    within = "no more than is known there" if known else "within the limit"
    if known and any(its.by_added for one in after.quiet if (its := standing.limits.known_at(one.place)) is not None):
        within = "over the limit, but no more than is known with what was added and is to stay"
    how = ", asleep and steady" if steady else ", at one moment"
    if after.went_by_itself:
        return f"Since then {joined(said)}{how}: {within}, but so it was before it was mended."
    comes = "a draw that comes and goes" if steady else "a draw that comes and goes, or comes once it sleeps"
    return f"Since then {joined(said)}{how}: {within}. Still open: {comes}."


def _too_coarse_words(one: Reading, standing: JobStanding) -> str:
    return (
        f"Since then {one.place} shows {ampere_words(one.amps)}, which this meter can't tell from "
        f"{limit_words(standing, one.place)}: one step of its display is {ampere_words(one.meter.step)}."
    )


def _known_there(one: Reading, standing: JobStanding) -> str:
    """What is known to be taken at a battery, where it gives more than the platform's limit and that is why."""
    known = standing.limits.known_at(one.place)
    if known is None or one.amps is None or one.amps <= standing.limit:
        return ""
    part, amps = max([*known.parts[:1], ("what was added", known.by_added)], key=lambda its: its[1])
    return f" ({ampere_words(known.amps)} is known there, {part} {ampere_words(amps)} of it)"


def mended_well_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What was mended before, and of a vehicle that still draws also what took its share with it: what bears it out."""
    for one in standing.mended_well:
        yield f"Entry {one.entry}: {one.mended.rstrip('.')}."
        if one.found is not None:
            if one.found.words.strip() != one.mended.strip():
                yield f"The cause by the card: {one.found.words.rstrip('.')}."
            for its in one.found.own:
                yield f"{joined([*its.out])}: {figures_words(its)}."
            yield from _led_there(platform, one.found)
        before, since = one.before, one.since
        if before is not None and since is not None:
            gone = ": its share is gone" if one.its_share_is_gone else ""
            if gone and one.found is not None and one.found.grade == "proven":
                gone += ", which proves it"
            was, is_now = ampere_words(before.amps, is_fine(before)), ampere_words(since.amps, is_fine(since))
            yield f"{since.place} {was} before, {is_now} since{gone}."


def because_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What bears out the cause that was mended: the cause as written, what was out, what was found."""
    found = standing.found
    if found is None:
        return
    if standing.cause and found.parts and not found.and_a_wire:
        yield f"The cause by the card: {found.words.rstrip('.')}."
    for one in found.own:
        yield f"{joined([*one.out])}: {figures_words(one)}{_by_itself(one) or _since_mended(standing, one.place)}."
    yield from _led_there(platform, found)
    measured = [f"{o.pin} {o.volts:g} V{f' with {joined(o.without)} out' if o.without else ''}" for o in found.measured]
    if measured:
        yield f"Measured there: {joined(measured)}."
    wrong = standing.no_draw_cause.before if standing.no_draw_cause is not None else None
    if wrong is not None:
        yield f"{check_words(wrong)} before it was mended."
    told = found.own or found.led or found.pointers or found.measured or wrong is not None
    if not told and (found.parts or standing.cause):
        yield "Nothing else on the card points there: no try, no test, nothing that was seen."


def _led_there(platform: Platform, found: FoundCause) -> Iterator[str]:
    for one in found.led:
        its = joined([named(platform, name) for name in one.out])
        yield f"{its} out led there: {figures_words(one)}{_by_itself(one)}."
    for pointer in found.pointers:
        yield _POINTED.get(pointer.shown, "{place} found {shown}.").format(place=pointer.place, shown=pointer.shown)


def _by_itself(one: TryVerdict) -> str:
    """That what went with a part did not come back with it."""
    return ": it had gone by itself" if one.verdict == "gone-by-itself" else ""


_POINTED = {
    "not passed": "{place} tested: bad.",
    "bad": "{place} tested by itself: bad.",
    "failed": "{place} failed its test.",
    "wrong": "{place}: the live data show it wrong.",
    "stuck": "{place}: no volts at its coil, yet its contact closed.",
    "held": "{place}: volts at its coil.",
}


def _since_mended(standing: JobStanding, place: str) -> str:
    shown = next((one for one in (*standing.after.shown, *standing.after.quiet) if one.place == place), None)
    if shown is None or standing.after.went_by_itself:
        return ""
    amps = shown.log.mean if shown.log is not None else shown.amps
    return f", {ampere_words(amps, is_fine(shown))} since it was mended"


def _battery_headline(standing: JobStanding) -> str:
    job = standing.battery_job
    assert job is not None
    its = joined(job.batteries)
    read = [f"{name} {shown_words(one, standing.limits.at(name))}" for name, one in job.draws if one is not None]
    limit = limit_words(standing, job.batteries[0])
    none = f"No draw was found: {joined(read)}; the limit is {limit}." if read else ""
    if job.is_shown:
        return f"BATTERY RENEWED AND FINE: {its}. {none}"
    unread = [name for name, one in job.draws if one is None]
    still = f" What {joined(unread)} gives asleep was never read." if unread else ""
    if unread and standing.seen is not None:
        still = f" Before it {read_words(standing.seen)}; what {joined(unread)} gives asleep was never read."
    says = {
        "fine": "",
        "unread": " Parts of the card could not be read.",
        "not-fine": " The new one failed its test.",
        "to-be-shown": " No log is needed for that: what shows it is the new one charged at rest, or its test.",
    }[job.shown]
    return f"BATTERY RENEWED, NOT YET SHOWN: {its}. {none}{says}{still}".replace("  ", " ").rstrip()


def _since(platform: Platform, standing: JobStanding) -> str:
    one = standing.in_hand
    if one is None:
        return ""
    its = joined([named(platform, name) for name in one.out])
    if one.needs == ("left-so",):
        return f" Turned since then, and left so: {its}."
    return f" {'Proven' if one.verdict == 'proven' else 'Involved, not yet guilty'} since then: {its}."


def _read_so(standing: JobStanding) -> str:
    """What was read since with it out, held against the limit."""
    if not standing.read_without:
        return ""
    said = []
    for one in standing.read_without:
        limit = standing.limits.at(one.place)
        shown = {"within": ", within the limit", "above": ", above the limit"}.get(against_limit(one, limit), "")
        said.append(f"{one.place} {shown_words(one, limit)}{shown}")
    return f" With it out, by the card, since: {joined(said)}."


def taken_in_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What is taken to be in again although the card does not say that it was put back, or to stay out for good, and
    what to do if it isn't so."""
    for name in standing.taken_away:
        yield (
            f"{name} stays out, by the card: it is on no sheet, and the vehicle is mended without it. "
            f"If it was only out for the while: add back {name}, and what is read then."
        )
    for name in standing.taken_in:
        yield (
            f"{named(platform, name)} was out by the card, and is taken to be in again: it was mended, by the card. "
            f"If it is still out: add out {name}, strike what was read since, and enter that again."
        )


def still_out_words(platform: Platform, standing: JobStanding) -> str:
    return joined([named(platform, name) for name in standing.still_out])


def _nobody_can_tell(after: AfterMending, standing: JobStanding) -> str:
    log = after.reading.log if after.reading is not None else None
    return _WHY_NOBODY_CAN_TELL[after.why].format(
        room=hours_words(max(0.0, log.room or 0.0)) if log is not None else "",
        peak=ampere_words(log.peak) if log is not None else "",
        drew=ampere_words(after.drew), explained=ampere_words(after.explained),
        more=ampere_words(standing.limits.beyond_known(after.reading)) if after.reading is not None else "",
    )  # fmt: skip


def _why(platform: Platform, reading: Reading | None, why: str, when: str) -> str:
    if reading is None or why not in _WHY_NOT_SHOWN:
        return ""
    minutes = reading.log.duration or 0.0 if reading.log is not None else 0.0
    out = joined([named(platform, name) for name in reading.without])
    return " " + _WHY_NOT_SHOWN[why].format(
        long=hours_words(minutes),
        out=out,
        place=reading.place,
        when=when.rstrip("."),
        room=how_long_words(reading.log) if reading.log is not None else "",
    )


def _seen(reading: Reading, standing: JobStanding) -> str:
    """`a night's log (14 h) has a mean of 0.04 A`, `BAT still draws 0.50 A`."""
    amps = shown_words(reading, standing.limits.at(reading.place))
    without = f", with {joined(reading.without)} still out" if reading.without else ""
    if reading.log is None:
        return f"{reading.place} still draws {amps}{without}"
    minutes = reading.log.duration or 0.0
    noun = "a night's log" if minutes >= NIGHT_MINUTES else "a log"
    known = [hours_words(minutes)] if minutes else []
    known += [reading.log.night.file] if reading.log.night is not None else []
    long = f" ({', '.join(known)})" if known else ""
    return f"{noun}{long} at {reading.place} has a mean of {amps}{without}"

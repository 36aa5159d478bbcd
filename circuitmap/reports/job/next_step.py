"""What to do next once the trials are done: mend it, put everything back, lock, log a night, write the report."""

from collections.abc import Iterator

from circuitmap.jobs.battery_renewed import BatteryJob
from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.job.no_draw_cause_text import no_draw_cause_next
from circuitmap.reports.words.as_the_driver_says import how_it_happens
from circuitmap.reports.words.cautions import StepKind, all_switched, caution_sentences, cautions_at
from circuitmap.reports.words.limit_words import FINER_METER, limit_figure
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

_MISSING = {
    "nothing-before": "A log shows what it draws now, not that a draw is gone. If the old part is at hand: fit it, "
    "read the draw, fit the new one again, and log another night ({log}).",
    "not-locked": "Lock it and write that down (locked), then log a night ({log}), each with its time (--at).",
    "no-time": "Lock it and write that down (locked), then log a night ({log}), each with its time (--at).",
    "no-room": "Lock it (locked), leave it alone, and log a night ({log}); or strike the entry whose time is wrong.",
    "peak": "See what draws at the peak: log another night ({log}), and read the fuses when it rises (rose-first ..).",
    "peak-unexplained": "See what draws at the peak: log another night ({log}), and read the fuses when it rises "
    "(rose-first ..).",
    "beyond-known": "Turn off what was switched on (turned ..), let it settle, and read again; log a night ({log}).",
    "not-as-it-happens": "Lock it (locked), and log a night when it is as the driver says that it happens ({log}); "
    "write beside it how it was.",
    "how-long": "How long did the log run? Add it again with that (for 9h) and with its time (--at). If that is less "
    "than 8 h, lock it, and log a night ({log}).",
    "unread": "Mend the card first: circuitmap card show CARD tells where.",
}
"""What to do when a log does not show a repair, by what it lacks."""

_LOG = "log {place} floor .. peak .. mean .. for 9h"


def next_label(standing: JobStanding) -> str:
    """The heading of the steps: where the readings still ask for tests, these steps come after."""
    if standing.stage == "not-repaired" and not standing.is_proven_now:
        return "SO" if standing.is_mended_in_part else "OR"
    return "THEN" if standing.stage == "involved" else "NEXT"


def next_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """The steps left, in their order; none while the readings decide what to do next."""
    match standing.stage:
        case "not-read" if standing.asleep_soon:
            if standing.door_open:
                yield "Shut the door, or hold its contact in, and write that down (locked, or door shut)."
            until = "Then, until it sleeps," if standing.door_open else "Until then"
            yield (
                f"{until} open, unplug and pull nothing: that wakes it, and what is read meanwhile says nothing of the "
                "parked car."
            )
        case "proven" | "involved" if standing.stage == "proven" or standing.cause:
            if not standing.cause:
                yield "Write down what it is and what the repair needs (cause ..., to-mend ...)."
            back = f"put it back (back {' '.join(standing.still_out)}), " if standing.still_out else ""
            yield f"Mend it (mended ...), {back}lock, and log a night ({_log(standing)})."
            yield from _care(platform, standing)
        case "mended":
            yield from _after_mending(platform, standing)
        case "not-repaired" if standing.is_proven_now:
            yield f"Mend this, too (mended ...), put it back, lock, and log a night ({_log(standing)})."
            yield from _care(platform, standing)
        case "not-repaired" if standing.in_hand is None and standing.is_mended_in_part:
            yield "What was mended stays so: its share of the draw is gone. What still draws is something else."
        case "not-repaired" if standing.in_hand is None:
            yield (
                f"If it was not the cause, strike entry {standing.mended_entry}, which says mended (card strike CARD "
                f'{standing.mended_entry} "still draws"): then all that was read before counts, too.'
            )
        case "repaired" | "renewed" | "no-draw-mended":
            yield "Write the report: circuitmap report CARD -o FILE.html (or .pdf)."


def _after_mending(platform: Platform, standing: JobStanding) -> Iterator[str]:
    if standing.still_out:
        names = " ".join(standing.still_out)
        yield f"Put it back (back {names}), lock, and log a night ({_log(standing)})."
        yield from _care(platform, standing)
        if standing.after.why == "still-out":
            yield "If it was in during the log: strike the log, add back and the log again, each with its time (--at)."
        elif standing.read_without:
            yield (
                f"If it was in again when {joined([one.place for one in standing.read_without])} was read: strike that "
                f"reading, add back {names} and the reading again, each with its time (--at)."
            )
        return
    if standing.battery_job is not None:
        yield from _of_a_battery(standing.battery_job)
        return
    if standing.no_draw_cause is not None:
        yield from no_draw_cause_next(platform, standing.no_draw_cause)
        return
    if standing.after.went_by_itself:
        yield from _after_it_had_gone(standing)
        yield from _care(platform, standing)
        return
    if standing.after.why in _MISSING:
        yield _MISSING[standing.after.why].format(log=_log(standing))
        if standing.after.why in ("not-as-it-happens", "beyond-known"):
            yield from _care(platform, standing)
        return
    if standing.after.outcome == "cannot-tell":
        finer = "Zero the clamp or take a finer one (--meter low-current-clamp)"
        yield f"{finer}, and log another night ({_log(standing)})."
    else:
        if standing.after.too_coarse and not standing.after.quiet:
            yield f"{FINER_METER} For the night, too, one is needed that shows {limit_figure(standing.limit)}."
        how = how_it_happens(platform, standing.happens_when)
        if how is not None:
            yield (
                f"It happens, the driver says: {how.when.rstrip('.')}. So make it as it was when it drew: {how.words}; "
                f"then lock it, and log a night ({_log(standing)})."
            )
            yield from caution_sentences(how.cautions)
        elif _came_and_went(standing):
            yield (
                "It came and went before: bring about what brought it (move, wet or use what was found), write that "
                f"beside it (remark), then lock it, and log a night ({_log(standing)})."
            )
        else:
            yield f"Lock it, and log a night ({_log(standing)})."
    yield from _care(platform, standing)


def _came_and_went(standing: JobStanding) -> bool:
    """Whether what it drew came and went, by what was read or logged before it was mended."""
    total = standing.total
    return total is not None and (total.during == "event" or (total.log is not None and total.log.comes_and_goes))


def _after_it_had_gone(standing: JobStanding) -> Iterator[str]:
    """What had gone quiet by itself before it was mended: what brings it back comes before the night."""
    when = f" It happens, the driver says: {standing.happens_when.rstrip('.')}." if standing.happens_when else ""
    if standing.after.went_by_itself == "though-used":
        yield (
            f"Use alone did not bring it back before, so one quiet night after it shows nothing.{when} Do that, or "
            "hand it over as mended and not shown, to be watched for as long as it ever stayed away."
        )
        return
    yield (
        f"It had gone quiet by itself before it was mended, so make it come first: use it as its owner does.{when} "
        f"Write that down (key on; remark what was run), lock it (locked), and log the night after ({_log(standing)})."
    )
    yield (
        "If it was mended before it went quiet, and written down only later: strike that entry, and write it with the "
        "time at which it was done (--at)."
    )


def _of_a_battery(job: BatteryJob) -> Iterator[str]:
    """What shows that a new battery is fine; a log would show a draw that never was."""
    for name, reading in job.draws:
        if reading is None:
            yield f"Lock it, let it sleep, and read {name} ({name}=..A): whether something drains it was never read."
    if job.shown == "unread":
        yield _MISSING["unread"]
    elif job.shown == "not-fine":
        yield "Charge the new one full and test it again; if it fails charged, it goes back."
    elif job.shown == "to-be-shown":
        its = job.batteries[0]
        how = f"battery {its} rest ..V, battery {its} test fine"
        yield f"Charge the new one, let it rest, and read it, or test it ({how})."


def _care(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What to take care of while it goes back together and is watched for a night."""
    steps: tuple[StepKind, ...] = ("refit", "night-log") if standing.still_out else ("night-log",)
    if standing.leading is not None and standing.leading.found_behind == "chafed":
        steps = ("prove-wire", *steps)
    out, switched = standing.still_out, all_switched(standing.switching, standing.still_out)
    yield from caution_sentences(
        [
            told
            for step in steps
            for told in cautions_at(platform, step, out, switched=switched, fed_from=standing.fed_from)
        ]
    )


def _log(standing: JobStanding) -> str:
    places = standing.after.open or (standing.drew_at or "BATTERY",)
    if len(places) == 1 and places[0] == standing.drew_at.removesuffix(".-"):
        places = (standing.drew_at,)
    return " and ".join(_LOG.format(place=place) for place in places)

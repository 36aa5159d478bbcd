"""A job as data."""

from typing import Any

from circuitmap.battery.parked_time import draw_that_explains, enough_for, hours_to_no_start, usable_charge
from circuitmap.dead.watched import said_apart, said_of_all
from circuitmap.evidence.battery_seen import BatterySeen
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.after_flat import to_test_after_flat
from circuitmap.jobs.as_it_stands import drained_as_it_stands
from circuitmap.jobs.battery_renewed import is_of_the_old_one
from circuitmap.jobs.clock_after_mending import ByItsClock
from circuitmap.jobs.customer_words import PRIVATE_KEYS
from circuitmap.jobs.found_cause import FoundCause
from circuitmap.jobs.intake import Intake
from circuitmap.jobs.job import Job
from circuitmap.jobs.no_draw_cause import NoDrawCause
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict
from circuitmap.quantities import Band
from circuitmap.reports.dead.break_words import break_words
from circuitmap.reports.job.battery_checks import says_of
from circuitmap.reports.job.battery_text import drawn_as_mended, enough_as_it_is, mean_draw, shown_draw
from circuitmap.reports.job.blown_told_text import blown_headline
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.claims import Claim, claims_on
from circuitmap.reports.job.dead_told_text import dead_headline
from circuitmap.reports.job.over_night_words import fell_of
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.seen_words import nothing_seen_json


def job_json(job: Job) -> dict[str, Any]:
    """Everything of a job but the customer."""
    standing = job.standing
    return {
        "job": {key: text.value for key, text in job.card.intake.items() if key not in PRIVATE_KEYS},
        "stage": standing.stage,
        "door_open": standing.door_open,
        "total": _reading(standing.total),
        "nothing_seen": nothing_seen_json(standing.seen),
        "limit": {
            "amps": standing.limit,
            "of_this_platform": standing.limits.platform.limit is not None,
            "known": [
                {
                    "battery": battery,
                    "amps": round(its.amps, 4),
                    "by_added": round(its.by_added, 4),
                    "added": list(its.added),
                }
                for battery, its in standing.limits.known.items()
            ],
        },
        "tries": [*(_try(one, False) for one in standing.tries), *(_try(one, True) for one in standing.tries_since)],
        "battery": _battery(*job.drained, drawn_as_mended(job)),
        "other_batteries": [_other_battery(*one) for one in job.others_drained],
        "as_it_stands": [
            {**_other_battery(*one), "out": list(job.standing.still_out), "amps": one[2].amps}
            for one in drained_as_it_stands(job)
        ],
        "battery_checks": [_check(check, job) for check in job.evidence.batteries],
        "found": [{"place": one.place, "sign": one.sign} for one in job.evidence.found],
        "on_no_sheet": [
            {"name": part.name, "fed_from": part.fed_from, "asleep": list(part.asleep) if part.asleep else None}
            for part in job.evidence.added
        ],
        "own_battery": list(job.evidence.own_battery),
        "in_slot": [{"fuse": its.name, "amps": its.amps, "style": its.style} for its in job.evidence.in_slot],
        "codes": [{"code": c.code, "module": c.module, "story": c.story} for c in standing.codes],
        "claims": [_claim(one) for one in claims_on(job)],
        "early": [_reading(reading) for reading in standing.early],
        "as_it_happens": standing.as_it_happens.words if standing.as_it_happens is not None else None,
        "changed_itself": [
            {
                "earlier": _reading(one.earlier),
                "later": _reading(one.later),
                "entries": [n for n, _ in one.remarks],
                "found": [{"place": place, "sign": sign} for place, sign in one.found],
            }
            for one in standing.changed
        ],
        "cause": standing.cause,
        "mended": standing.mended,
        "after_mending": _after(standing),
        "dead_loads": _dead(job) if job.dead.stage else None,
        "checked": {
            "worked_before": list(job.dead.worked),
            "works_since_mending": list(job.dead.checked),
            "dead_since_mending": list(job.dead.dead_since),
        },
        "blown": _blown(job) if job.blown.stage else None,
        "still_out": list(standing.still_out),
        "taken_in": list(standing.taken_in),
        "taken_away": list(standing.taken_away),
        "battery_so_far": {
            "fine": sorted(standing.battery.fine),
            "worn": list(standing.battery.worn),
            "leaks": list(standing.battery.leaks),
            "failed": list(standing.battery.failed),
            "charger": standing.battery.charger,
            "to_test_after_flat": " ".join(to_test_after_flat(job)),
        },
        "rests_on": [
            {"battery": one.battery, "switch": one.switch, "load": one.load, "amps": round(one.amps, 4)}
            for one in standing.rests_on
        ],
        "own_clock": [
            {
                "place": one.place,
                "peak": one.peak,
                "period": one.period,
                "parts": list(one.parts),
                "shown_by": list(one.shown_by),
                "without": one.without,
            }
            for one in standing.own_clock
        ],
        "night": _reading(standing.night),
        "entries": [
            {
                "number": number,
                "at": entry.at.value if entry.at is not None else "",
                "says": entry_words(entry),
                "struck": entry.struck.value if entry.struck is not None else "",
            }
            for number, entry in enumerate(job.card.entries, 1)
        ],
        "card_problems": [
            {"code": p.code, "severity": p.severity.word, "headline": p.headline, "place": p.span.place()}
            for p in job.problems
        ],
    }


def _claim(its: Claim) -> dict[str, Any]:
    tried = [{"out": list(one.out), "verdict": one.verdict} for one in its.tried]
    return {
        "words": its.words,
        "tried": tried,
        "measured": list(its.read),
        "more_than_flows": its.too_much,
        "proven_instead": joined(its.cause),
    }


def _dead(job: Job) -> dict[str, Any]:
    its = job.dead
    return {
        "stage": its.stage,
        "headline": dead_headline(job),
        "dead": [one.words for one in said_apart(its.complaint.told) if not one.works],
        "works": [one.words for one in said_apart(its.complaint.told) if one.works],
        "state_said": [f"{its_change.what}={its_change.to}" for its_change in said_of_all(its.complaint.told)],
        "probed": [{"at": str(point), "volts": volts} for point, volts in its.complaint.probed.items()],
        "shown": None if its.shown is None else break_words(job.circuit, its.shown),
        "working_again": list(its.working),
        "still_dead": list(its.still_dead),
        "not_looked_at": list(its.unseen),
    }


def _blown(job: Job) -> dict[str, Any]:
    its = job.blown
    return {
        "stage": its.stage,
        "fuse": its.fuse,
        "headline": blown_headline(job),
        "blows": [one.words for one in its.told if not one.works],
        "holds": [one.words for one in its.told if one.works],
    }


def _reading(reading: Reading | None) -> dict[str, Any] | None:
    if reading is None:
        return None
    speaks = "in use" if reading.in_use else reading.speaks
    return {"place": reading.place, "amps": reading.amps, "speaks": speaks, "minutes": reading.minutes}


def _after(standing: JobStanding) -> dict[str, Any] | None:
    if not standing.mended:
        return None
    after = standing.after
    battery = standing.battery_job
    return {
        "outcome": after.outcome,
        "why": after.why,
        "reading": _reading(after.reading),
        "shown": [_reading(reading) for reading in after.shown],
        "open": list(after.open),
        "quiet": [_reading(reading) for reading in after.quiet],
        "too_coarse": [_reading(reading) for reading in after.too_coarse],
        "went_by_itself": after.went_by_itself or None,
        "by_its_clock": _by_its_clock(after.by_its_clock),
        "found": _found(standing.found),
        "new_battery": None if battery is None else {"batteries": list(battery.batteries), "shown": battery.shown},
        "no_draw_cause": _no_draw_cause(standing.no_draw_cause),
    }


def _by_its_clock(its: ByItsClock | None) -> dict[str, Any] | None:
    if its is None:
        return None
    return {
        "name": its.name, "peak": its.peak, "period": its.period, "most": round(its.most, 4),
        "networks": list(its.networks),
    }  # fmt: skip


def _no_draw_cause(its: NoDrawCause | None) -> dict[str, Any] | None:
    return None if its is None else {"kind": its.kind, "shown": its.shown, "battery": its.battery or None}


def _found(found: FoundCause | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "parts": list(found.parts),
        "words": found.words,
        "grade": found.grade,
        "own": [list(one.out) for one in found.own],
        "led": [list(one.out) for one in found.led],
        "pointers": [{"place": pointer.place, "shown": pointer.shown} for pointer in found.pointers],
        "measured": [{"at": str(one.pin), "volts": one.volts} for one in found.measured],
    }


def _check(check: BatterySeen, job: Job) -> dict[str, Any]:
    says, charge = says_of(check, job.intake.battery.chemistry)
    return {
        "battery": check.battery,
        "check": check.check,
        "volts": check.volts,
        "passed": check.passed,
        "charged": check.charged,
        "night": _night(check, job),
        "says": says,
        "charge": list(charge) if charge is not None else None,
        "renewed_since": is_of_the_old_one(check, job.standing.renewed),
    }


def _night(check: BatterySeen, job: Job) -> dict[str, Any] | None:
    its = fell_of(check, job.intake)
    if its is None or check.stood is None:
        return None
    return {
        "before": check.stood.volts,
        "hours": round(check.stood.minutes / 60.0, 2),
        "lost": round(its.volts, 4),
        "share": None if its.share is None else round(its.share, 3),
        "amps": None if its.amps is None else round(its.amps, 3),
        "says": its.says,
    }


def _try(one: TryVerdict, since_mending: bool) -> dict[str, Any]:
    return {
        "out": list(one.out),
        "verdict": one.verdict,
        "reason": one.reason,
        "wait": one.wait,
        "left_early": one.left_early,
        "ended_by_itself": round(one.ended, 3),
        "missed": one.missed,
        "before": _reading(one.before),
        "after": _reading(one.after),
        "back": _reading(one.back),
        "again_too_early": _reading(one.again),
        "over": one.over,
        "read_since": [_reading(reading) for reading in one.read_since],
        "over_use": one.over_use,
        "left_is_of": list(one.left_is_of),
        "found_behind": one.found_behind,
        "needs": list(one.needs),
        "failed": [{"part": t.part, "what": t.what, "volts": t.volts} for t in one.failed],
        "figures": [None if isinstance(figure, str) else figure for figure in one.figures],
        "change": one.after.change or None,
        "turned": dict(one.turned),
        "beside": list(one.beside),
        "since_mending": since_mending,
        "changes": [{"place": c.place, "before": c.before, "after": c.after} for c in one.changes],
    }


def _battery(intake: Intake, total: Reading | None, rest: Reading | None) -> dict[str, Any] | None:
    usable = usable_charge(intake.battery)
    if usable is None:
        return None
    draw = mean_draw(total)
    hours = hours_to_no_start(usable, draw) if draw is not None else None
    complained = intake.flat_after
    needed = draw_that_explains(usable, complained) if complained is not None else None
    enough = None
    if draw is not None and complained is not None:
        enough = enough_for(usable, draw, complained, shown_draw(total))
    left = mean_draw(rest)
    still = enough_as_it_is(intake, rest) if rest is not None else None
    return {
        "usable_ampere_hours": list(usable.ampere_hours),
        "assumed": list(usable.assumed),
        "hours_to_no_start": _finite(hours),
        "draw_that_explains_the_complaint": _finite(needed),
        "enough_for_the_complaint": enough.value if enough is not None else None,
        "hours_as_mended_so_far": _finite(hours_to_no_start(usable, left) if left is not None else None),
        "enough_as_mended_so_far": still.value if still is not None else None,
    }


def _other_battery(name: str, intake: Intake, total: Reading) -> dict[str, Any]:
    usable, draw = usable_charge(intake.battery), mean_draw(total)
    hours = hours_to_no_start(usable, draw) if usable is not None and draw is not None else None
    return {
        "name": name,
        "usable_ampere_hours": list(usable.ampere_hours) if usable is not None else None,
        "hours_to_no_start": _finite(hours),
    }


def _finite(band: Band | None) -> list[float | None] | None:
    if band is None:
        return None
    return [value if value != float("inf") else None for value in band]

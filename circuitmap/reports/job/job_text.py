"""A job at a glance: the verdict so far, the battery's arithmetic, what to do next."""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import takewhile

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import removable
from circuitmap.evidence.written_readings import battery_read_at, place_of
from circuitmap.jobs.after_flat import to_test_after_flat
from circuitmap.jobs.as_it_stands import drained_as_it_stands
from circuitmap.jobs.battery_renewed import is_of_the_old_one
from circuitmap.jobs.job import Job
from circuitmap.jobs.standing import DRAWING, JobStanding
from circuitmap.jobs.starts import starts_the_engine
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.battery_checks import check_sentences, drawing_at, old_sentences
from circuitmap.reports.job.battery_next import AFTER_FLAT
from circuitmap.reports.job.battery_text import (
    BatteryTold,
    as_it_stands_sentence,
    battery_sentences,
    drawn_as_mended,
    in_use_sentence,
    other_battery_sentence,
    share_sentence,
)
from circuitmap.reports.job.blown_told_text import blown_lines
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.changed_words import changed_lines
from circuitmap.reports.job.claims import claims_on
from circuitmap.reports.job.clock import Clock, clock_of
from circuitmap.reports.job.dead_told_text import dead_lines, is_about_dead_loads
from circuitmap.reports.job.early_words import early_sentences
from circuitmap.reports.job.expected import expected_sentences
from circuitmap.reports.job.first_reading import first_reading_sentences
from circuitmap.reports.job.next_step import next_label, next_sentences
from circuitmap.reports.job.over_night_words import over_night_sentences
from circuitmap.reports.job.own_battery import own_battery_sentences
from circuitmap.reports.job.standing_text import (
    for_proof,
    headline,
    standing_text,
    still_out_sentences,
)
from circuitmap.reports.job.tried_text import try_sentence, verdict_words
from circuitmap.reports.job.try_words import out_words
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import joined, section
from circuitmap.wiring.names import find_name, find_terminal
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.probe_points import probe_point


def job_text(job: Job, next_steps: Sequence[str] = (), maker: str = "") -> list[str]:
    """`next_steps` are the lines of the diagnosis, when there is one; `maker` is what by it makes the part that was out
    take its current."""
    if is_about_dead_loads(job):
        return [*dead_lines(job), *blown_lines(job), *next_steps]
    return [
        *standing_text(job.platform, job.standing, clock_of(job), maker),
        *dead_lines(job),
        *blown_lines(job),
        *section("WRONG FUSE", wrong_fuse_sentences(job)),
        *section("BATTERY", battery_lines(job, short=True)),
        *section("CLAIMED", claim_sentences(job)),
        *section("NEXT", first_reading_sentences(job)),
        *next_steps,
    ]


def claim_sentences(job: Job) -> Iterator[str]:
    """What others say they found: kept apart from what was measured, and said where it was measured here, too."""
    for claim in claims_on(job):
        measured = [f"{out_words(job.platform, one)} {verdict_words(one)}" for one in claim.tried]
        said = [f"tried here: {joined(measured)}"] if measured else []
        said += [f"measured here: {joined(claim.read)}"] if claim.read else []
        said += [claim.too_much] if claim.too_much else []
        said += [f"not the cause: that is {joined(claim.cause)}"] if claim.cause else []
        yield f"{claim.words} ({'; '.join(said) or 'not measured here'})"


def wrong_fuse_sentences(job: Job) -> Iterator[str]:
    """The slots in which a larger fuse is than the sheets have there."""
    for its in job.evidence.in_slot:
        part = job.platform.parts.get(its.name)
        if isinstance(part, Fuse) and part.rating is not None and its.amps > part.rating:
            yield (
                f"{its.name}: {its.amps:g} A is in it, and {part.rating:g} A belongs there: its wire may burn before "
                "it blows. The right one goes in before the vehicle leaves."
            )


def battery_lines(job: Job, short: bool = False) -> Iterator[str]:
    """What was checked at the battery, and its arithmetic: all of it, or `short`, without what was assumed where that
    does not matter."""
    standing, chemistry = job.standing, job.intake.battery.chemistry
    old = [check for check in job.evidence.batteries if is_of_the_old_one(check, standing.renewed)]
    yield from old_sentences(old, chemistry)
    new = [check for check in job.evidence.batteries if check not in old]
    yield from check_sentences(new, chemistry, drawing_at(standing))
    yield from over_night_sentences(new, job.intake)
    intake, total = job.drained
    intake = intake if standing.battery_job is None else replace(intake, flat_after=None)  # that was the old one
    battery = battery_read_at(job.platform, total.place) if total is not None else ""
    nights = (one for one in standing.after.shown if battery_read_at(job.platform, one.place) == battery)
    rest = drawn_as_mended(job)
    now_mended = standing.stage in ("mended", "repaired", "no-draw-mended")
    told = BatteryTold(
        of=battery if len(standing.totals) > 1 else "", came_in=now_mended or rest is not None, rest=rest,
        starts=starts_the_engine(job.circuit, battery) if battery else True, is_new=battery in intake.new,
        failed=_is_worn(standing, battery or intake.of),
        ran=any(one.check == "charging" and one.battery == battery for one in new), short=short,
    )  # fmt: skip
    looks = [one for one in standing.after.quiet if battery_read_at(job.platform, one.place) == battery]
    since = looks[-1] if looks and now_mended and not standing.after.went_by_itself else None
    lasts = battery_sentences(intake, total, next(nights, None) if standing.night is not None else None, told, since)
    yield from (" ".join(lasts),) if short else lasts
    yield from (AFTER_FLAT.format(battery=name) for name in to_test_after_flat(job))
    used = [r for r in job.evidence.readings if r.in_use and not r.without and battery_read_at(job.platform, r.place)]
    its_own = [r for r in used if battery in ("", battery_read_at(job.platform, r.place))]
    if its_own and (said := in_use_sentence(intake, its_own[-1], total, told.starts)):
        yield said
    for one in standing.tries if standing.stage in DRAWING else ():
        if one.verdict == "part" and one.took and battery_read_at(job.platform, one.place) == battery:
            said = share_sentence(intake, out_words(job.platform, one), one.took, told.starts)
            yield from [said] if said else []
    for name, its, reading in job.others_drained:
        yield other_battery_sentence(its, reading, name, starts_the_engine(job.circuit, name))
    yield from left_so_sentences(job)


def _is_worn(standing: JobStanding, battery: str) -> bool:
    """Whether the battery whose times are told failed its test after a charge; where there is no telling, whether any
    did."""
    worn = standing.battery.worn
    return battery in worn if battery else bool(worn)


def left_so_sentences(job: Job) -> Iterator[str]:
    """How long each battery lasts as the vehicle stands just now, with something out, where it still gives too much."""
    several = len(job.standing.totals) > 1
    for name, its, reading in drained_as_it_stands(job):
        of = name if several else ""
        starts = starts_the_engine(job.circuit, name)
        said = as_it_stands_sentence(its, joined(job.standing.still_out), reading, of, starts)
        yield from [said] if said else []


def added_text(before: Job, job: Job, measured: bool, next_steps: Sequence[str], maker: str = "") -> list[str]:
    """What an entry changed: the verdict if it moved, what the readings point to, what is not found yet, and what to do
    next."""
    number = len(job.card.entries)
    lines = [f"Entry {number}: {entry_words(job.card.entries[-1])}."]
    touched = hands_off_sentence(job.hands_off, touched_by(job.platform, job.card.entries[-1], names_added(job)))
    if touched:
        lines += section("HANDS OFF", [f"It is kept, because it was done. {touched}"])
    if is_about_dead_loads(job):
        lines += dead_lines(job) + blown_lines(job)
        return [*lines, *next_steps] if measured else lines
    lines += dead_lines(job) + blown_lines(job)
    lines += section("GOES ON", own_battery_sentences(job))
    if job.card.entries[-1].in_slot:
        lines += section("WRONG FUSE", wrong_fuse_sentences(job))
    clock = clock_of(job)
    now, then = headline(job.platform, job.standing), headline(before.platform, before.standing)
    if now != then:
        lines += section("NOW", [now])
        lines += section("BEFORE", [then])
    else:
        lines += section("STILL", [now])
    news = [*_news(before.standing.tries, job.standing.tries), *_news(*_since(before, job))]
    lines += section(
        "TRIED", [try_sentence(job.platform, one, clock, one.over and job.standing.asleep_soon) for one in news]
    )
    lines += section("EXPECT", expected_sentences(job))
    leading = job.standing.in_hand
    if leading is not None and leading in news:
        lines += section("FOR PROOF", for_proof(job.platform, job.standing, maker, clock))
    new_change = job.standing.changed[len(before.standing.changed) :]
    lines += changed_lines(new_change, clock.at)
    fresh = job.standing.early[len(before.standing.early) :]
    lines += section("IN USE", in_use_sentences(job, fresh, clock))
    early = tuple(r for r in fresh if not r.in_use)
    lines += section("TOO EARLY", early_sentences(job.platform, early, clock, job.standing.door_open))
    if job.standing.stage != "mended":
        lines += section("STILL OUT", still_out_sentences(job.platform, job.standing))
    new = job.evidence.batteries[len(before.evidence.batteries) :]
    checked = check_sentences(new, job.intake.battery.chemistry, drawing_at(job.standing))
    lines += section("BATTERY", [*checked, *over_night_sentences(new, job.intake)])
    lines += section(next_label(job.standing), next_sentences(job.platform, job.standing))
    lines += section("NEXT", first_reading_sentences(job))
    if measured:
        lines += ["", *brief(next_steps)] if next_steps else []
    return lines


def in_use_sentences(job: Job, fresh: Iterable[Reading], clock: Clock) -> Iterator[str]:
    """What was just read with the key on, and how long the battery lasts at that."""
    used = tuple(reading for reading in fresh if reading.in_use)
    yield from early_sentences(job.platform, used, clock)
    posts = [reading for reading in used if battery_read_at(job.platform, reading.place)]
    if posts and (said := in_use_sentence(job.drained[0], posts[-1], job.drained[1])):
        yield said


def _since(before: Job, job: Job) -> tuple[tuple[TryVerdict, ...], tuple[TryVerdict, ...]]:
    return before.standing.tries_since, job.standing.tries_since


def _news(before: Iterable[TryVerdict], now: Iterable[TryVerdict]) -> list[TryVerdict]:
    """The tries of which more is known than before."""
    old = {one.out: (one.verdict, one.needs, one.figures, one.again) for one in before}
    return [one for one in now if old.get(one.out) != (one.verdict, one.needs, one.figures, one.again)]


def names_added(job: Job) -> tuple[str, ...]:
    """What is on no sheet, as the card calls it."""
    return tuple(part.name for part in job.evidence.added)


def touched_by(platform: Platform, entry: Entry, added: Collection[str] = ()) -> Iterator[str]:
    """What was pulled, unplugged, put back or probed by an entry, by its full names."""
    for text in (*entry.out, *entry.back):
        yield removable(platform, text.value, added)
    for pair in entry.volts:
        yield str(find_terminal(platform, pair.name.value))
    for pair in entry.probed:
        yield str(probe_point(platform, pair.name.value))
    for pair in (*entry.relays, *entry.network):
        yield find_name([*platform.parts, *platform.networks], pair.name.value, "part")
    for pair in entry.read:
        place = place_of(platform, pair.name.value, added)
        if isinstance(platform.parts.get(place), Fuse) and "V" in pair.value.value:
            yield place


_ANSWERS = (
    "LOOK AT",
    "MAY BE",
    "OR ELSE",
    "ALIKE",
    "TELL BY",
    "HELD BY",
    "SETTLED",
    "AND",
    "SO FAR",
    "SAY FIRST",
    "DEAD?",
    "BUT",
    "TOO EARLY",
    "NO DRAW",
    "FITS",
    "NOTHING",
    "READ AGAIN",
    "STOP",
)


_LABEL = re.compile(r"(?:[A-Z][A-Z'?/-]*(?: [A-Z]+)*) {2,}|[A-Z]+ \(|(?:NEXT|WHY)\b")
"""How a line begins that has its label before it; a headline has none, and goes on in the lines below it."""


def brief(lines: Sequence[str]) -> list[str]:
    """Out of the whole text of the diagnosis: the answer, the count, the first of the next tests, and those that the
    answer mentions."""
    kept: list[str] = []
    label = before = ""
    for line in lines:
        goes_on = before and not _LABEL.match(label) and not _LABEL.match(line)
        if line[:1].strip() and not goes_on:
            label = line
        before = line
        if label.startswith((*_ANSWERS, "COUNT", "SET ASIDE", "NEXT")):
            kept.append(line)
    named = (int(number) for number in re.findall(r"NEXT (\d)", "\n".join(kept)))
    looks_first = any(line.startswith(" 1  Look round") for line in kept)  # beside a look, what tells more with a meter
    after = f" {max((2 if looks_first else 1, *named)) + 1}"
    kept = list(takewhile(lambda line: not line.startswith(after), kept))
    return [line for n, line in enumerate(kept) if line or (n and kept[n - 1])]

"""A job at a glance: the verdict so far, the battery's arithmetic, what to do next."""

import re
from collections.abc import Iterator, Sequence
from itertools import takewhile

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.written_names import removable
from circuitmap.evidence.written_readings import place_of
from circuitmap.jobs.job import Job, times_of
from circuitmap.reports.job.battery_text import battery_sentences
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.intake_text import claims_lines
from circuitmap.reports.job.next_step import next_label, next_sentences
from circuitmap.reports.job.standing_text import (
    Clock,
    early_sentences,
    for_proof,
    headline,
    standing_text,
    still_out_sentences,
    try_sentence,
)
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import section
from circuitmap.wiring.names import find_name
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform


def job_text(job: Job, next_steps: Sequence[str] = ()) -> list[str]:
    """`next_steps` are the lines of the diagnosis, when there is one."""
    claims = (e.claim.value for e in job.card.entries if e.claim is not None and e.struck is None)
    return [
        *standing_text(job.platform, job.standing, Clock(times_of(job.card))),
        *section("BATTERY", battery_sentences(job.intake, job.standing.total, job.standing.night)),
        *claims_lines(claims),
        *next_steps,
    ]


def added_text(before: Job, job: Job, measured: bool, next_steps: Sequence[str]) -> list[str]:
    """What an entry changed: the verdict if it moved, what the readings point to, what is not found yet, and what to do
    next."""
    number = len(job.card.entries)
    lines = [f"Entry {number}: {entry_words(job.card.entries[-1])}."]
    touched = hands_off_sentence(job.hands_off, touched_by(job.platform, job.card.entries[-1]))
    if touched:
        lines += section("HANDS OFF", [f"It is kept, because it was done. {touched}"])
    clock = Clock(times_of(job.card))
    now, then = headline(job.platform, job.standing), headline(before.platform, before.standing)
    if now != then:
        lines += section("NOW", [now])
        lines += section("BEFORE", [then])
    else:
        lines += section("STILL", [now])
    old = {one.out: (one.verdict, one.needs, one.figures) for one in before.standing.tries}
    news = [one for one in job.standing.tries if old.get(one.out) != (one.verdict, one.needs, one.figures)]
    lines += section("TRIED", [try_sentence(job.platform, one, clock) for one in news])
    leading = job.standing.leading
    if leading is not None and leading in news:
        lines += section("FOR PROOF", for_proof(job.platform, job.standing))
    fresh = job.standing.early[len(before.standing.early) :]
    lines += section("TOO EARLY", early_sentences(job.platform, fresh, clock))
    if job.standing.stage != "mended":
        lines += section("STILL OUT", still_out_sentences(job.platform, job.standing))
    lines += section(next_label(job.standing), next_sentences(job.platform, job.standing))
    if measured:
        lines += ["", *brief(next_steps)] if next_steps else []
    return lines


def touched_by(platform: Platform, entry: Entry) -> Iterator[str]:
    """What was pulled, unplugged, put back or probed by an entry, by its full names."""
    for text in (*entry.out, *entry.back):
        yield removable(platform, text.value)
    for pair in (*entry.relays, *entry.network):
        yield find_name([*platform.parts, *platform.networks], pair.name.value, "part")
    for pair in entry.read:
        place = place_of(platform, pair.name.value)
        if isinstance(platform.parts.get(place), Fuse) and "V" in pair.value.value:
            yield place


_ANSWERS = (
    "LOOK AT",
    "TELL BY",
    "FIRST",
    "OR ",
    "SO FAR",
    "SAY FIRST",
    "AHEAD",
    "DEAD?",
    "BUT",
    "TOO EARLY",
    "NO DRAW",
    "NOTHING",
    "READ AGAIN",
    "STOP",
)


def brief(lines: Sequence[str]) -> list[str]:
    """Out of the whole text of the diagnosis: the answer, the count, the first of the next tests, and those that the
    answer mentions."""
    kept: list[str] = []
    label = ""
    for line in lines:
        if line[:1].strip():
            label = line
        if label.startswith((*_ANSWERS, "COUNT", "SET ASIDE", "NEXT")):
            kept.append(line)
    named = (int(number) for number in re.findall(r"NEXT (\d)", "\n".join(kept)))
    after = f" {max(named, default=1) + 1}"
    kept = list(takewhile(lambda line: not line.startswith(after), kept))
    return [line for n, line in enumerate(kept) if line or (n and kept[n - 1])]

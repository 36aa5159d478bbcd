"""What comes next on a card without a single current: to let the vehicle sleep, from when on a reading counts, and what
is read then, with a clamp or without one."""

from collections.abc import Iterator

from circuitmap.evidence.entry_clock import last_minute
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_time import A_DAY
from circuitmap.jobs.job import Job
from circuitmap.reports.words.cautions import StepKind, caution_sentences, cautions_at
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.usual import sleep_of


def first_reading_sentences(job: Job) -> Iterator[str]:
    """Nothing where a current was read, at whatever place, or something was mended: then what follows from that."""
    if job.standing.stage != "not-read" or job.evidence.readings:
        return
    batteries = [name for name in batteries_of(job.platform) if name not in job.evidence.absent]
    yield f"{_when(job)} open, unplug and pull nothing: that wakes it."
    if batteries:
        each = f"the cable of {joined(batteries)}{' by turns' if len(batteries) > 1 else ''}"
        write = f"({batteries[0]}=..A)" if len(batteries) > 1 else "(total ..A)"
        yield f"Then clamp {each}: how much flows in all {write}."
        yield from _cautions(job, "clamp", batteries)
    row = next((fuse.name.rpartition(".")[0] for fuse in job.platform.fuses if "." in fuse.name), "")
    no_clamp = "No clamp here: r" if batteries else "Then r"
    yield (
        f"{no_clamp}ead millivolts across each fuse that is live, those by the battery first, nothing pulled"
        f"{f' ({row} mV: all 0.0 except ..)' if row else ''}."
    )
    yield from _cautions(job, "read-fuse", batteries)


def _when(job: Job) -> str:
    """From when on a reading counts, and what has to be done for that."""
    standing, sleep = job.standing, sleep_of(job.platform)
    long = f"{sleep.high:.0f} min"
    if standing.battery.charger == "on":
        return f"Once it is charged: charger off (charger off), lock it (locked), and wait {long}. Meanwhile"
    if standing.door_open:
        return f"Shut the door, or hold its contact in (door shut), and wait {long}. Meanwhile"
    asleep = job.evidence.asleep_from
    if asleep is None:
        return f"Lock it, and write that down (locked); what is read counts {long} later. Until then"
    day = asleep % A_DAY
    last = last_minute(entry for entry in job.card.entries if entry.struck is None)
    if last is not None and last >= asleep:
        return "It has had its time to fall asleep:"
    return f"What is read counts from {int(day) // 60}:{int(day) % 60:02d} on. Until then"


def _cautions(job: Job, step: StepKind, batteries: list[str]) -> list[str]:
    return caution_sentences(cautions_at(job.platform, step, batteries))

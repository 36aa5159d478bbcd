"""The dead loads of a job: the verdict in one line, what it rests on, what is still to do."""

from collections.abc import Iterator, Sequence

from circuitmap.dead.watched import said_apart
from circuitmap.jobs.job import Job
from circuitmap.reports.dead.break_words import break_words
from circuitmap.reports.job.blown_told_text import blown_headline
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.paragraphs import joined, section


def is_about_dead_loads(job: Job) -> bool:
    """Whether the job is about loads that do not work, or a fuse that blows, and no current was read."""
    return bool(job.dead.stage or job.blown.stage) and not job.evidence.readings


def is_put_right(job: Job) -> bool:
    """Whether all that was dead was seen working since, and the fuse that blew holds."""
    stages = {its for its in (job.dead.stage, job.blown.stage) if its}
    return stages == {"repaired"}


def verdict_of(job: Job) -> str:
    """Where the job stands in one line, whichever of the two it is about."""
    return dead_headline(job) if is_about_dead_loads(job) else headline(job.platform, job.standing)


def dead_headline(job: Job) -> str:
    """The verdict in one line; of a fuse that blows, too."""
    return " ".join(filter(None, (_dead_headline(job), blown_headline(job))))


def _dead_headline(job: Job) -> str:
    its = job.dead
    told = said_apart(its.complaint.told)
    dead = joined(_named(job, [one.words for one in told if not one.works]))
    match its.stage:
        case "repaired":
            return f"REPAIRED: {joined(_named(job, its.working))} seen working after mending."
        case "not-repaired":
            return f"NOT REPAIRED: {joined(_named(job, its.still_dead))} still dead after mending."
        case "mended":
            unseen = joined(_named(job, its.unseen))
            return f"MENDED, not shown to be repaired: switch on {unseen}, and write down what works."
        case "proven":
            return f"PROVEN: {_shown_words(job)} is interrupted; {dead} dead because of it."
        case "open":
            return f"NOT FOUND YET: {dead} dead."
        case "":
            return ""


def _named(job: Job, names: Sequence[str]) -> list[str]:
    """Loads as somebody who does not know the diagram would call them, with their names in brackets."""
    parts = job.platform.parts
    found = []
    for words in names:
        name = words.partition(" ")[0]
        part = parts.get(name) or parts.get(name.rpartition(".")[0])
        found.append(f"{part.description} ({words})" if part is not None and part.description else words)
    return found


def _shown_words(job: Job) -> str:
    """What was shown; a probe at a cavity does not tell the wire from its end in there."""
    assert job.dead.shown is not None
    links = [job.circuit.links[i] for i in job.dead.shown.links]
    cavity = any(link.wire is not None and (link.a.half or link.b.half) for link in links)
    return break_words(job.circuit, job.dead.shown) + (", or its end in the cavity," if cavity else "")


def dead_lines(job: Job) -> list[str]:
    """The verdict and what it rests on, as lines; where nothing is dead, only what was seen to work."""
    its = job.dead
    if not its.stage:
        return section("CHECKED", checked_sentences(job)) + section("BUT", dead_since_sentences(job))
    lines = section("DEAD", [_dead_headline(job), *dead_because(job)])
    if its.stage == "proven":
        if its.shown is not None and its.shown.kind == "fuse":
            lines += caution_lines(cautions_at(job.platform, "blown-fuse"))
        lines += section("TO DO", ["Mend it, write down what was done (mended ...), and switch everything on again."])
    return lines


def checked_sentences(job: Job) -> Iterator[str]:
    """What was seen to work although nobody had said that it is dead: that nothing was cut off by what was mended."""
    its = job.dead
    if its.worked:
        yield f"Seen working, before anything was mended: {joined(_named(job, its.worked))}."
    if its.checked:
        yield f"Seen working since it was mended: {joined(_named(job, its.checked))}."


def dead_since_sentences(job: Job) -> Iterator[str]:
    """What does not work since something was mended, and nobody had said so before."""
    names = job.dead.dead_since
    if names:
        no = "does not" if len(names) == 1 else "do not"
        yield (
            f"{joined(_named(job, names))} {no} work since it was mended, and nobody said so before: see whether the "
            "mending cut it off."
        )


def dead_because(job: Job) -> Iterator[str]:
    """What works, and what the probe showed."""
    its = job.dead
    yield from checked_sentences(job)
    yield from dead_since_sentences(job)
    if its.complaint.works:
        yield f"Works: {joined([one.words for one in said_apart(its.complaint.told) if one.works])}."
    if its.complaint.probed:
        volts = [f"{point} {value:g} V" for point, value in its.complaint.probed.items()]
        yield f"The probe showed, with the load switched on: {joined(volts)}."
    if its.stage in ("mended", "repaired", "not-repaired") and its.shown is not None:
        yield f"Before mending {_shown_words(job)} was shown to be interrupted."

"""The fuse of a job that blows: the verdict in one line, where the short may be, and what to part first."""

from circuitmap.dead.blown import blown_fuse
from circuitmap.jobs.job import Job
from circuitmap.power.state import VehicleState
from circuitmap.reports.dead.blown_text import blown_sections
from circuitmap.reports.words.paragraphs import WIDTH, joined, section
from circuitmap.reports.words.part_words import named


def blown_headline(job: Job) -> str:
    """The verdict in one line; empty where no fuse blows."""
    its = job.blown
    fuse = named(job.platform, its.fuse) if its.fuse else ""
    match its.stage:
        case "":
            return ""
        case "open":
            blows = joined([one.words for one in its.told if not one.works])
            holds = joined([one.words for one in its.told if one.works])
            return f"{blows} blows{f'; {holds} holds' if holds else ''}: {fuse}. Not found yet."
        case "mended":
            return (
                f"MENDED, not shown: {fuse}. With what it feeds off, put a fuse of the same rating in, never a bigger "
                f"one; switch on, clear of what may move or get hot, and say that it holds (works {its.fuse})."
            )
        case "not-repaired":
            return f"NOT REPAIRED: {fuse} blew again after mending."
        case "repaired":
            return f"REPAIRED: {fuse} has held since the mending."


def blown_lines(job: Job) -> list[str]:
    """The verdict; while it is open or blew again, where the short may be and what to part first, with its cautions."""
    its = job.blown
    if not its.stage:
        return []
    lines = section("FUSE", [blown_headline(job)])
    if its.stage not in ("open", "not-repaired"):
        return lines
    state = VehicleState(fitting=job.evidence.options, switches=job.evidence.positions)
    return [*lines, *blown_sections(job.platform, blown_fuse(job.circuit, state, its.told), WIDTH)]

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
            return f"MENDED, not shown: {fuse}: a fuse of its rating in, and say that it holds (works {its.fuse})."
        case "not-repaired":
            return f"NOT REPAIRED: {fuse} blew again after mending."
        case "repaired":
            return f"REPAIRED: {fuse} holds since it was mended."


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

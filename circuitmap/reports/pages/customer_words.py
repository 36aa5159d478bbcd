"""The customer's page in the customer's words: what a part does before its name, the battery instead of `BAT`."""

from circuitmap.jobs.job import Job
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.dead_told_text import dead_headline, is_about_dead_loads
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.words.limit_words import ampere_words, figure_words, hours_words, is_fine, limit_figure
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Battery, Diode, Fuse, Joint
from circuitmap.wiring.platform import Platform

_OF_OTHERS = ("fuse", "breaker", "diode", "connector", "splice")


def plain_part(platform: Platform, name: str) -> str:
    """`the heated screens relay (REAR.K2)`; a part without a description by its name. A fuse, a diode, a plug is called
    after what it belongs to, and is not that: `the diode D1 (door)`."""
    part = platform.parts.get(name)
    if part is None or not part.description:
        return name
    its = part.description
    called_after = isinstance(part, Fuse | Diode | Joint) and part.kind not in its.casefold().split()
    if called_after and part.kind in _OF_OTHERS:
        return f"the {part.kind} {name} ({its})"
    starts_small = len(its) > 1 and its[1].islower()
    return f"the {its[0].lower() if starts_small else its[0]}{its[1:]} ({name})"


def plain_out(platform: Platform, one: TryVerdict) -> str:
    """What was taken out, or turned."""
    at = dict(one.turned)
    said = [f"{plain_part(platform, name)}{f' at {at[name]}' if name in at else ''}" for name in one.out]
    return joined(said)


def plain_limit(standing: JobStanding) -> str:
    """`the limit for this vehicle is 0.05 A`."""
    whose = "the limit for this vehicle" if standing.limits.platform.limit is not None else "the usual limit"
    return f"{whose} is {limit_figure(standing.limit)}"


def plain_figures(platform: Platform, one: TryVerdict) -> str:
    """`14.80 A with it in, 0.04 A with it out, 14.80 A in again, 0.04 A out again, at the battery`."""
    turns = ("with it in", "with it out", "in again", "out again")
    if one.turned:
        turns = ("before", "since", "then", "since")
    said = [
        f"{figure_words(f, is_fine(one.after))} {turns[min(n, 2 + n % 2)]}"
        for n, f in enumerate(one.figures)
        if n or f is not None
    ]
    if one.beside:
        said[-1] += f" with {joined([plain_part(platform, name) for name in one.beside])} still out"
    batteries = sum(isinstance(part, Battery) for part in platform.parts.values())
    alone = isinstance(platform.parts.get(one.place), Battery) and batteries == 1
    return f"{', '.join(said)}, at {'the battery' if alone else plain_part(platform, one.place)}"


def customer_headline(job: Job) -> str:
    """The verdict at the head of the page."""
    if is_about_dead_loads(job):
        return dead_headline(job)
    standing = job.standing
    night = standing.night
    if standing.stage == "repaired" and night is not None and night.log is not None:
        stood = hours_words(night.log.duration or 0)
        drew = ampere_words(night.log.mean, is_fine(night))
        return f"REPAIRED: parked for {stood} it drew {drew} on average; {plain_limit(standing)}."
    said = headline(job.platform, standing).replace(" (this platform's)", "")
    because = _because(standing.leading) if standing.stage in ("proven", "involved") else ""
    return f"{said.removesuffix('.')}, {because}." if because and not standing.mended else said


def _because(leading: TryVerdict | None) -> str:
    """Why it is said: what was seen of the draw with the part out, in and out again, and what was tested apart."""
    if leading is None:
        return ""
    if leading.turned:
        return "because the draw went when it was turned"
    seen = ["with it out the draw went"]
    if len(leading.figures) > 2:
        seen.append("with it in again it came back")
    if len(leading.figures) > 3:
        seen.append("out again it went again")
    tested = " and its tests are fine" if leading.verdict == "proven" and len(leading.figures) > 3 else ""
    return f"because {joined(seen)}{',' if tested else ''}{tested}"

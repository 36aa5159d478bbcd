"""What was found and why, for the owner of the vehicle: the middle of the customer's page."""

from collections.abc import Iterator, Mapping
from functools import partial

from circuitmap.diagnosis.faults.kind_said import without_kinds
from circuitmap.jobs.job import Job
from circuitmap.jobs.of_the_found import WENT, of_the_found
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.battery_next import battery_steps
from circuitmap.reports.job.dead_told_text import dead_because, dead_headline, is_about_dead_loads
from circuitmap.reports.job.in_use_words import use_steps
from circuitmap.reports.job.job_text import used_lines
from circuitmap.reports.job.no_draw_cause_text import is_habit
from circuitmap.reports.pages.before_after import drawn_at_each, drew_words
from circuitmap.reports.pages.customer_words import plain_limit, plain_out, plain_part
from circuitmap.reports.words.limit_words import ampere_words, hours_words, is_fine
from circuitmap.reports.words.paragraphs import joined


def found_sentences(job: Job, going: Mapping[str, str]) -> Iterator[str]:
    """What was found, in amperes, and what went with what was out; `going` is what ran, burned or stayed awake."""
    standing = job.standing
    if (job.dead.stage or job.blown.stage) and not is_about_dead_loads(job):
        yield dead_headline(job)
    yield from dead_because(job)
    if standing.stage == "no-draw":
        yield f"No draw while we watched, {hours_words(standing.watched)}."
        asked = tuple(use_steps(job.platform, standing))
        yield from asked[:1]
        yield from (text for _, text in battery_steps(standing.battery, bool(asked)))
        return
    found = _in_plain_words(job)
    if found:
        yield found
    yield from _what_was_going(job, going)
    each = drawn_at_each(job)
    if each:
        asleep = "Parked and asleep" if standing.locked else "Parked (when it was locked was not written down)"
        yield f"{asleep} it drew {joined([drew_words(job, one) for one in each])}; {plain_limit(standing)}."
    if is_habit(standing):
        yield from used_lines(job, partial(plain_part, job.platform))
    yield from _second_causes(job)
    yield from _shares(job)


def cause_parts(job: Job) -> tuple[str, ...]:
    """The parts that are proven to be the cause."""
    found, leading = job.standing.found, job.standing.leading
    if found is not None and is_proven(job):
        return found.parts
    return leading.out if leading is not None and leading.verdict == "proven" and not job.standing.mended else ()


_GOING = {"lamp": "burned", "awake": "stayed awake"}
MOST_GOING = 3
"""Of more than so many only the first are named."""


def _what_was_going(job: Job, going: Mapping[str, str]) -> Iterator[str]:
    """What burned or ran because of what is proven: as somebody saw it, or else by the answer."""
    parts = cause_parts(job)
    loads = {*parts, *going, *(load for part in parts for load in job.standing.switching.by(part))}
    mended = job.standing.mended_entry
    came = job.evidence if not mended else job.evidence.told_between(0, job.card.entries[mended - 1].span.start)
    seen = {one.place: one.sign for one in came.found if one.place in loads and not one.too_early}
    for name in (name for name, sign in seen.items() if sign == "burning"):
        yield f"{_begun(plain_part(job.platform, name))} was seen burning while it was parked."
    others = [name for name in going if seen.get(name) not in ("burning", "dark")]
    for name in others[:MOST_GOING]:
        kind = "awake" if going[name] == "awake" else job.platform.parts[name].kind
        warm = ", and was found warm" if seen.get(name) == "warm" else ""
        yield f"{_begun(plain_part(job.platform, name))} {_GOING.get(kind, 'ran')} while it was parked{warm}."


def _begun(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _second_causes(job: Job) -> Iterator[str]:
    """What took a share by itself beside what leads: a small one, or one that went while the other was out."""
    leading = job.standing.leading
    for one in job.standing.tries:
        beside = one.verdict == "part" or one in of_the_found(job.standing)
        beside = beside or (leading is not None and one.verdict in WENT and _apart(one, leading))
        if beside and one is not leading and one.before is not None and one.took is not None:
            was, now = (ampere_words(r.amps, is_fine(r)) for r in (one.before, one.after))
            yield f"With {plain_out(job.platform, one)} out it went from {was} to {now}."


def _apart(one: TryVerdict, other: TryVerdict) -> bool:
    """Whether one of the two was out already when what went with the other was still drawn."""
    pairs = ((one, other), (other, one))
    return any(its.before is not None and set(out.out) <= set(its.before.without) for its, out in pairs)


def _shares(job: Job) -> Iterator[str]:
    """Of several things that were mended: what of the draw went with each."""
    mendings = job.standing.mendings
    for one in mendings if len(mendings) > 1 else ():
        before, since = one.before, one.since
        if before is not None and since is not None:
            was, now = ampere_words(before.amps, is_fine(before)), ampere_words(since.amps, is_fine(since))
            yield f"{one.mended.rstrip('.')}: {was} before it was mended, {now} since."


def causes_told(job: Job) -> tuple[str, ...]:
    """The cause of each thing that was mended; what was written later of the same thing stands for it."""
    causes = [one.found.words for one in job.standing.mendings[:-1] if one.found is not None]
    now = without_kinds(job.standing.cause)  # the kind is for the statistics of the shop
    return tuple(dict.fromkeys((*causes, *([now] if now else []))))


def _in_plain_words(job: Job) -> str:
    """What was found, as the owner of the vehicle would put it; empty where the verdict at the head of the page says it
    all."""
    leading = job.standing.leading
    if leading is None:
        return ""
    part = plain_out(job.platform, leading)
    if leading.turned:
        if leading.needs != ("left-so",):
            return f"With {part} the draw is gone; turned back it is there again."
        return f"With {part} the draw is gone. It is left so."
    left = leading.left
    goes_on = left is not None and left > job.standing.limit
    became = f"goes down to {ampere_words(left, is_fine(leading.after))}" if goes_on else "is gone"
    if leading.verdict == "proven" or (is_proven(job) and leading.back is not None):
        return f"With {part} out the draw {became}; with it in it is back."
    if leading.verdict == "involved" and is_quiet_mended(job, leading):
        return f"With {part} out the draw was gone; now that it is mended and in again, it stays away."
    if leading.verdict == "involved":
        what_it_is = job.standing.found is not None and job.standing.found.parts != leading.out
        if is_proven(job) and not what_it_is:
            return f"With {part} out the draw is gone, and since it was mended it has stayed away."
        return f"With {part} out the draw {became}. That {'led to what it is' if what_it_is else 'is not yet proof'}."
    return ""


def is_quiet_mended(job: Job, leading: TryVerdict) -> bool:
    """Whether what was out is what was mended, is in, and the vehicle was read to be quiet since."""
    found, after = job.standing.found, job.standing.after
    is_it = found is not None and found.parts == leading.out and not job.standing.still_out
    return is_it and bool(after.quiet or after.shown) and not after.went_by_itself


def is_proven(job: Job) -> bool:
    """Whether the cause of what was mended is proven, of all of the draw or of its share, or the vehicle repaired."""
    found = job.standing.found
    open_still = job.standing.stage == "not-repaired" and not job.standing.is_mended_in_part
    proven = found is not None and found.grade == "proven" and not open_still
    return proven or job.standing.stage == "repaired"

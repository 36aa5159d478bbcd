"""Loads that do not work, for the page: what it may be, and the next steps as taps. Each tap writes a line that may as
well be typed: `probe F72.2 12.1V`, `works MIRR@key=run`."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from circuitmap.dead.dead_loads import DeadLoads, NextStep, ProbeOutcome
from circuitmap.dead.probing import usual_reading
from circuitmap.dead.watched import ToldOf, said_of_all
from circuitmap.jobs.job import Job
from circuitmap.reports.dead.black_lead_words import black_lead_told
from circuitmap.reports.dead.break_words import break_words, probe_words
from circuitmap.reports.dead.dead_text import (
    cleared_told,
    complaint_words,
    group_words,
    groups_head,
    groups_shown,
    nothing_explains,
    or_told,
    outcomes_in_short,
    shown_words,
    states_told,
    step_cautions,
    what_to_do,
)
from circuitmap.reports.dead.handing_over import hand_over_told
from circuitmap.reports.dead.resting import dead_rests_on
from circuitmap.reports.job.dead_told_text import (
    checked_sentences,
    dead_because,
    dead_headline,
    dead_since_sentences,
)
from circuitmap.reports.words.chance_words import chance, chances
from circuitmap.reports.words.paragraphs import shortened
from circuitmap.wiring.platform import Platform

MOST_STEPS = 2
"""Steps on offer: the one to do, and another one for where that place cannot be reached (judgement)."""
_MOST_LEFT = 4


def dead_step_values(platform: Platform, its: DeadLoads) -> list[dict[str, Any]]:
    """The steps in the shape of all steps on the page; `probe` is a place at which any other reading can be typed."""
    return [_step(platform, its, number, step) for number, step in enumerate(its.steps[:MOST_STEPS], 1)]


def _step(platform: Platform, its: DeadLoads, number: int, step: NextStep) -> dict[str, Any]:
    point = step.step.point
    likely = chances([outcome.chance for outcome in step.outcomes])
    outcomes = []
    for outcome, how_likely in zip(step.outcomes, likely, strict=True) if not step.step.network else ():
        line = _line(its, step, outcome)
        left = shortened([break_words(its.circuit, one) for one in outcome.left], _MOST_LEFT)
        outcomes.append(
            {
                "key": f"dead.{number}.{outcome.shown}",
                "words": f"{shown_words(its, outcome)}: {left}",
                "chance": how_likely,
                "lines": [line],
                "place": "",
            }
        )
    words = what_to_do(its, step)
    if step.step.network:  # what a line shows is no entry of its own: it is read, and told here what it would mean
        words = f"{words}: {outcomes_in_short(its, step)}"
    return {
        "number": number,
        "words": f"{words[0].upper()}{words[1:]}",
        "time": f"{step.step.minutes:.0f} min",
        "cautions": [told.text for told in step_cautions(platform, its, step)],
        "out": "",
        "probe": None
        if point is None or step.step.network
        else {"name": str(point), "says": probe_words(its.circuit, point)},
        "outcomes": outcomes,
    }


def _line(its: DeadLoads, step: NextStep, outcome: ProbeOutcome) -> str:
    """What is written for an outcome. A load is told of in the position in which all the others are dead."""
    if step.step.point is None or outcome.volts is None:
        told = ToldOf(step.step.load, outcome.shown == "works", said_of_all(its.complaint.told))
        return f"{'works' if told.works else 'dead'} {told.typed}"
    return f"probe {step.step.point} {usual_reading(outcome):.1f}V"


def dead_sections(job: Job, its: DeadLoads | None) -> list[dict[str, Any]]:
    """The verdict and its reasons in labelled sections; where nothing is dead, only what was seen to work."""
    if not job.dead.stage:
        told = (("CHECKED", [*checked_sentences(job)]), ("BUT", [*dead_since_sentences(job)]))
        return [{"label": label, "lines": lines} for label, lines in told if lines]
    sections = [("DEAD", [dead_headline(job), *dead_because(job)])]
    if its is None:
        if job.dead.stage == "proven":
            sections.append(("TO DO", [MEND_IT]))
    else:
        sections += _reasons(job.platform, its)
    return [{"label": label, "lines": lines} for label, lines in sections if lines]


MEND_IT = "Mend it, write down what was done, switch everything on again, and write down what works."


def _reasons(platform: Platform, its: DeadLoads) -> Iterator[tuple[str, list[str]]]:
    yield "TOLD", [f"{complaint_words(platform, its).replace('  ', ' ')}."]
    yield "STATE", states_told(its)
    shown = groups_shown(its)
    if shown:
        label, _, head = groups_head(its).partition("  ")
        rows = [f"{chance(group.chance)}: {group_words(its, group)}" for group in shown]
        yield ("IT MAY BE", [f"{head[0].upper()}{head[1:]}.", *rows]) if head else ("IT MAY BE", [label, *rows])
    else:
        yield "IT MAY BE", [nothing_explains(its)]
    yield "OR", or_told(its)
    yield "HANDS OFF", hand_over_told(its)
    yield "BLACK LEAD", black_lead_told(its)
    yield "CLEARED", cleared_told(its)
    yield "NOT KNOWN", dead_rests_on(its)


_BLOWN_NOW = {
    "": "", "open": "Fuse out, no further one in: ohms from {fuse}, outgoing side, to ground, then part by part.",
    "mended": "With what it feeds off, put a fuse of the same rating in; switch on, clear of what may move or get hot, "
    "and say that it holds: works {fuse}.",
    "not-repaired": "It blew again. Fuse out, no further one in: ohms from {fuse}, outgoing side, to ground, then part "
    "by part.",
    "repaired": "It holds: nothing is left to do for it.",
}  # fmt: skip


def dead_do_now(job: Job, steps: Sequence[Mapping[str, Any]]) -> str:
    """One line: what to do now about what is dead; empty where that is all done."""
    match job.dead.stage:
        case "open" if steps:
            return str(steps[0]["words"])
        case "open":
            return "Nothing tells it further apart: say what else works."
        case "proven":
            return MEND_IT
        case "mended":
            return "Switch on what was dead, and write down what works."
        case "not-repaired":
            return "Something is still dead: say what does not work now, and what does, under Read, Dead."
        case "repaired":
            return "All that was dead works again: nothing is left to do for it."
        case "":
            return _BLOWN_NOW[job.blown.stage].format(fuse=job.blown.fuse)

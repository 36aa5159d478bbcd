"""The whole answer for the page: two lines that are always in view, the reasons, the boxes, the steps, the card."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_time import A_DAY
from circuitmap.jobs.job import Job
from circuitmap.reports.bay.boxes import box_rows
from circuitmap.reports.bay.dead_there import dead_do_now, dead_sections, dead_step_values
from circuitmap.reports.bay.seen_there import care_values, seen_values
from circuitmap.reports.bay.steps import Reads, step_values
from circuitmap.reports.job.blown_told_text import blown_lines
from circuitmap.reports.job.card_text import entry_words
from circuitmap.reports.job.clock import clock_of
from circuitmap.reports.job.dead_told_text import is_about_dead_loads, verdict_of
from circuitmap.reports.job.intake_text import preparation_text
from circuitmap.reports.job.made_to_take import part_to_prove
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.made_to_take import made_to_take_by
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions_of_the_job import FOR_THE_JOB
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import joined

if TYPE_CHECKING:
    from circuitmap.dead.dead_loads import DeadLoads
    from circuitmap.diagnosis.diagnosis import Diagnosis
    from circuitmap.quantities import Band
    from circuitmap.reports.pages.worksheet import Worksheet

_LABEL = re.compile(r"([A-Z][A-Z?']+(?: [A-Z][A-Z?']+)*\??)(?: {2,}(.*))?\Z")
_ONE_LINE = 100_000
"""A width at which no line of an answer is wrapped: the page wraps it."""
_FIRST_DAY = date(1900, 1, 1).toordinal()
STATE_LINES = (
    "locked", "opened", "key on", "key off", "door opened", "door shut", "charger on", "charger off", "zeroed",
)  # fmt: skip
_WITH_MORE_BESIDE = ("WHY", "NEXT", "READ AGAIN")
"""Labels that are followed by something in brackets, or right by what they say."""
_SAID_BY_STEPS = ("NEXT", "CARE")


class FuseBoxes(NamedTuple):
    """What is read at: the fuses box by box, and the current that each should show asleep, in A."""

    sheet: "Worksheet"
    asleep: "Mapping[str, Band]"


def bay_answer(
    job: Job, diagnosis: "Diagnosis | None", dead: "DeadLoads | None", boxes: FuseBoxes, reads: Reads
) -> dict[str, Any]:
    """Everything the page shows of a job, ready made. The job is one without its customer."""
    return {
        **short_answer(job, diagnosis, dead, reads),
        "boxes": box_rows(job.platform, boxes.sheet, job.evidence, boxes.asleep, job.hands_off),
        "totals": _totals(job),
        "seen": seen_values(job.evidence, job.dead),
        "care": care_values(job.platform),
        "meter": next((e.meter.value for e in reversed(job.card.entries) if e.meter and e.struck is None), ""),
        "states": list(STATE_LINES),
        "entries": entry_values(job.card),
        "complaint": _said(job.card, "complaint"),
        "vehicle": _said(job.card, "vehicle"),
        "cautions": list(FOR_THE_JOB),
    }


def short_answer(job: Job, diagnosis: "Diagnosis | None", dead: "DeadLoads | None", reads: Reads) -> dict[str, Any]:
    """Where the job stands and what to do: what may change with each tap."""
    said = [] if diagnosis is None else suspects_text(job.platform, diagnosis, _ONE_LINE).split("\n")
    reasons = list(_sections(said))
    about_dead = [] if dead is None else dead_step_values(job.platform, dead)
    steps = [] if diagnosis is None else step_values(job.platform, diagnosis, reads, len(about_dead) + 1)
    out = _out_now(job)
    asleep = asleep_at(job.evidence, datetime.now())
    maker = made_to_take_by(diagnosis, part_to_prove(job.standing.in_hand)) if diagnosis is not None else ""
    standing = _sections(standing_text(job.platform, job.standing, clock_of(job), maker)[1:])
    ready = job.standing.locked or job.evidence.readings or job.dead.stage or job.blown.stage
    prepare = [] if ready else preparation_text(job.platform, _ONE_LINE)
    sections = _merged(
        [
            *dead_sections(job, dead),
            *_sections(blown_lines(job)),
            *([] if is_about_dead_loads(job) else standing),
            *_sections(prepare),
            *reasons,
        ]
    )
    steps = [*about_dead, *steps]
    return {
        "stands": verdict_of(job),
        "do": _do_now(job, steps, {its["label"]: its["lines"][0] for its in reversed(sections)}, out),
        "early": f"Too early until {asleep:%H:%M}." if asleep is not None else "",
        "asleep_ms": round(asleep.timestamp() * 1000) if asleep is not None else None,
        "out": out,
        "sections": sections,
        "steps": steps,
    }


def asleep_at(evidence: Evidence, today: datetime) -> datetime | None:
    """From when on a reading speaks of the parked car. A card that gives clock times only speaks of today."""
    if evidence.asleep_from is None:
        return None
    day, minute = divmod(evidence.asleep_from, A_DAY)
    its_day = date.fromordinal(int(day)) if day >= _FIRST_DAY else today.date()
    return datetime.combine(its_day, time()) + timedelta(minutes=minute)


def entry_values(card: JobCard) -> list[dict[str, Any]]:
    """Every entry: when, who, what; `id` as the phone that sent it calls it, empty for one typed elsewhere."""
    return [
        {
            "number": number,
            "id": entry.id.value if entry.id is not None else "",
            "at": entry.at.value if entry.at is not None else "",
            "by": entry.by.value if entry.by is not None else "",
            "says": entry_words(entry),
            "struck": entry.struck.value if entry.struck is not None else "",
            "photo": entry.photo is not None and entry.id is not None,
        }
        for number, entry in enumerate(card.entries, 1)
    ]


def _said(card: JobCard, key: str) -> str:
    return card.intake[key].value if key in card.intake else ""


def _totals(job: Job) -> list[dict[str, str]]:
    """The batteries, each with what was last read there with everything in."""
    read = {r.place: r for r in job.evidence.readings if not r.without}
    return [
        {
            "name": name,
            "says": job.platform.parts[name].place,
            "shown": read[name].written.rpartition(" ")[2] if name in read else "",
            "by": read[name].by if name in read else "",
        }
        for name in batteries_of(job.platform)
    ]


def _out_now(job: Job) -> dict[str, Any] | None:
    """What is out by the card, and what may be said of the draw now. What is hands-off is told, and has no taps."""
    names = job.evidence.out
    if not names:
        return None
    hands_off = hands_off_sentence(job.hands_off, names)
    told = any(set(one.out) == set(names) for one in job.evidence.tries)
    outcomes = (("gone", "The draw is gone"), ("less", "Less, but not gone"), ("no change", "No change"))
    return {
        "words": f"{joined(names)} out",
        "asked": not told,
        "hands_off": hands_off,
        "outcomes": [{"line": line, "words": words} for line, words in outcomes if not hands_off],
        "back": "" if hands_off else "back all",
    }


def _do_now(
    job: Job, steps: Sequence[Mapping[str, Any]], said: Mapping[str, str], out: Mapping[str, Any] | None
) -> str:
    """One line: the most urgent thing to do. `said` is the first line of each section of the answer."""
    if job.problems:
        return f"The card cannot be read in {len(job.problems)} places: mend it at the desk (circuitmap card show)."
    if out is not None and out["asked"]:
        return f"{out['words']}: let it settle, then say what became of the draw."
    if is_about_dead_loads(job) and (then := dead_do_now(job, steps)):
        return then
    if "READ AGAIN" in said:
        return f"Read again. {said['READ AGAIN']}"
    then = next(iter(next_sentences(job.platform, job.standing)), "")
    if job.standing.stage == "involved" and "FOR PROOF" in said:
        return said["FOR PROOF"]
    if then:
        return then
    if steps:
        return str(steps[0]["words"])
    if not job.standing.locked:
        return "Lock it, and tap locked: the time to sleep counts from there."
    return "Read the total asleep, then the fuses."


def _sections(lines: Iterable[str]) -> Iterator[dict[str, Any]]:
    """Labelled sections out of an answer in text; the steps have a place of their own."""
    label, said = "", list[str]()
    for line in lines:
        found = _LABEL.match(line)
        if found is not None or (line and not line[0].isspace()):
            if said:
                yield {"label": label, "lines": said}
            beside = next((word for word in _WITH_MORE_BESIDE if line.startswith(word)), "")
            label = beside or (found[1] if found is not None else "")
            text = line.removeprefix(label).lstrip(": ")
            said = [text] if text else []
        elif line.strip():
            text = line.strip()
            if said and not said[-1].endswith((".", ")", "?", ":")) and not text.startswith("!"):
                said[-1] += f" {text}"  # the standing comes wrapped
            else:
                said.append(text)
    if said:
        yield {"label": label, "lines": said}


def _merged(sections: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Without what the steps say, and each label once in a row."""
    kept: list[dict[str, Any]] = []
    for section in sections:
        if section["label"] in _SAID_BY_STEPS:
            continue
        if kept and kept[-1]["label"] == section["label"]:
            kept[-1]["lines"] += section["lines"]
        else:
            kept.append(section)
    return kept

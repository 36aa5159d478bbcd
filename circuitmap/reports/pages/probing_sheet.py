"""The sheet to carry to a car on which something does not work: where to hold the probe, one place after another, what
to expect there, room for what it showed, and where to go on from there."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.dead.probing import Onward, Probing, ProbingRow
from circuitmap.reports.dead.black_lead_words import black_lead_told
from circuitmap.reports.dead.break_words import break_words, probe_words
from circuitmap.reports.dead.dead_text import complaint_words, outcomes_in_short, shown_words, states_told, what_to_do
from circuitmap.reports.dead.handing_over import hand_over_told
from circuitmap.reports.dead.resting import dead_rests_on
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.reports.words.cautions_of_the_job import FOR_THE_JOB
from circuitmap.reports.words.paragraphs import shortened
from circuitmap.reports.words.vehicle_words import vehicle_head
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform

_MOST_LEFT = 4


@dataclass(frozen=True, slots=True)
class ProbingSheetRow:
    """One probe: its number, where it is held, what is sound there, and for each outcome what it shows and what then:
    `go on at 3`, or what it is."""

    number: int
    where: str
    sound: str
    outcomes: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ProbingSheet:
    """`before` is what tells something without a meter; `notes` what the sheet rests on."""

    title: str
    about: str
    cautions: tuple[str, ...]
    before: tuple[str, ...]
    rows: tuple[ProbingSheetRow, ...]
    notes: tuple[str, ...]


def probing_sheet(platform: Platform, its: Probing, sound: Mapping[Terminal, str]) -> ProbingSheet:
    """`sound` is what is to be expected at each point while nothing is interrupted, in words."""
    parts = [row.point.part for row in its.rows]
    cautions = (*cautions_at(platform, "live-volts", parts), *cautions_at(platform, "switch-on"))
    blown = cautions_at(platform, "blown-fuse")
    return ProbingSheet(
        vehicle_head(platform),
        f"{complaint_words(platform, its.first).replace('  ', ' ')}.",
        (*FOR_THE_JOB, *(told.text for told in (*cautions, *blown))),
        tuple(_before(its.first)),
        tuple(_row(its.first, row, sound.get(row.point, "")) for row in its.rows),
        tuple(_notes(its)),
    )


def _before(first: DeadLoads) -> Iterator[str]:
    yield from (f"Black lead: {told[0].lower()}{told[1:]}" for told in black_lead_told(first))
    for step in first.steps:
        if step.step.point is None:
            yield f"{what_to_do(first, step)} {outcomes_in_short(first, step)}."


def _row(first: DeadLoads, row: ProbingRow, sound: str) -> ProbingSheetRow:
    where = f"{probe_words(first.circuit, row.point)} ({row.minutes:.0f} min)"
    outcomes = tuple((shown_words(first, its.outcome), _then(first, its)) for its in row.onward)
    return ProbingSheetRow(row.number, where, sound, outcomes)


def _then(first: DeadLoads, its: Onward) -> str:
    if its.row:
        return f"go on at {its.row}"
    words = [break_words(first.circuit, one) for one in its.left]
    return shortened(words, _MOST_LEFT) if words else "nothing typed in explains it: measure again"


def _notes(its: Probing) -> Iterator[str]:
    lead = "" if its.first.black_lead is not None else "Black lead on the battery's minus; "
    stays = "the load stays switched on while you probe, else volts prove nothing."
    yield f"{lead}{stays}" if lead else f"{stays[0].upper()}{stays[1:]}"
    yield "Sound: nine times in ten, and at most, with everything whole. It is not what an interrupted circuit shows."
    if its.cut_off:
        yield "More probes may be needed than stand here: put what was read on the card, and ask again."
    yield from hand_over_told(its.first)
    yield from states_told(its.first)
    yield from dead_rests_on(its.first)

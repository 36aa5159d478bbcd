"""The answer itself: what to look at and how likely it is, then all that it could be as one list, then what is left
open."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.candidates import candidate_lines, named_by, what_is_wrong
from circuitmap.reports.suspects.count import unfound_sentences
from circuitmap.reports.suspects.fault_words import network_words, part_words, subject_words
from circuitmap.reports.suspects.held_by import held_by_lines
from circuitmap.reports.suspects.held_or_stuck import or_the_other
from circuitmap.reports.suspects.leading import TOLD_FROM, first_part, is_open, is_two, row_of_answer
from circuitmap.reports.suspects.level_parts import level_lines
from circuitmap.reports.suspects.odd_readings import (
    contradicted_lines,
    contradicted_sentence,
    dead_lines,
    unexplained_sentence,
)
from circuitmap.reports.suspects.open_answer import ahead_rows, level_with_the_first, open_lines
from circuitmap.reports.suspects.others import other_rows, second_lines
from circuitmap.reports.suspects.proving import was_shown
from circuitmap.reports.suspects.ruled_out import ruled_out
from circuitmap.reports.suspects.settled_words import rest_lines, the_rest
from circuitmap.reports.suspects.two_things import two_held_by_lines, two_lines, two_rows
from circuitmap.reports.suspects.within_subject import is_the_subject, within_rows
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section
from circuitmap.wiring.platform import Platform


def answer_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """From the first line to what was renewed in vain."""
    return [*_answer(platform, diagnosis, width), *_renewed_lines(platform, diagnosis, width)]


def _answer(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    odd = contradicted_lines(diagnosis, width)
    if is_two(diagnosis):
        rows = two_rows(platform, diagnosis)
        beside = other_rows(platform, diagnosis, rows) if the_rest(diagnosis) is None else []
        return [
            *two_lines(platform, diagnosis, width), *candidate_lines(rows, beside, width),
            *two_held_by_lines(platform, diagnosis, width), *odd,
        ]  # fmt: skip
    rest = the_rest(diagnosis)
    odd += dead_lines(platform, diagnosis, width)
    if rest is not None and not diagnosis.worlds:
        return [*rest_lines(platform, diagnosis, *rest, width), *odd]
    if not is_open(diagnosis):
        return _one_subject(platform, diagnosis, width)
    rows = ahead_rows(platform, diagnosis)
    beside = other_rows(platform, diagnosis, rows) if rest is None else []
    network = next((s for s in level_with_the_first(diagnosis) if s.about in platform.networks), diagnosis.subjects[0])
    return [
        *open_lines(platform, diagnosis, width), *candidate_lines(rows, beside, width),
        *held_by_lines(platform, diagnosis, network, width), *odd,
    ]  # fmt: skip


def _one_subject(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """One subject leads: what it is, whether it is to be looked further, and the list."""
    top = diagnosis.subjects[0]
    within = within_rows(platform, diagnosis, top)
    beside = other_rows(platform, diagnosis, within)
    what = subject_words(platform, top, named_by(within))
    if is_the_subject(top, within):
        first = first_part(top).faults[0]
        what = f"{what_is_wrong(platform, diagnosis, first)}.{or_the_other(platform, diagnosis, first)}"
        within = []
    but = _but(platform, diagnosis, width)
    return [
        *section("LOOK AT", [f"{what}  ({chance(top.probability)})"], width),
        *_stop_lines(platform, diagnosis, but, width),
        *second_lines(platform, diagnosis, width),
        *candidate_lines(within, beside, width),
        *level_lines(platform, diagnosis, within, width),
        *held_by_lines(platform, diagnosis, top, width, ruled_out(platform, diagnosis), named_by(within)),
        *but,
        *dead_lines(platform, diagnosis, width),
    ]


def _stop_lines(platform: Platform, diagnosis: Diagnosis, but: list[str], width: int) -> list[str]:
    if not diagnosis.tests.mend:
        return []
    shown = was_shown(platform, diagnosis, diagnosis.tests.mend)
    if but and not shown:
        return []  # what is left over wants looking for, whatever leads
    then = "mend it" if shown else "prove this now, then mend it"
    return section("STOP", [f"looking further: {then}."], width)


def _renewed_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What was renewed in vain before the vehicle came in, of what is told here."""
    told = {its.part for its in diagnosis.parts if its.probability >= TOLD_FROM}
    names = [part_words(platform, name) for name in diagnosis.renewed_before if name in told]
    if not names:
        return []
    says = "before it came in, no help: a new part seldom has the same fault. Its wires, its supply and what wakes or "
    return section("RENEWED", [f"{joined(names)} {says}drives it are as they were."], width)


def _but(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Where the answer explains only part of what was read."""
    row = row_of_answer(diagnosis)
    said = [
        f"that takes {ampere(short.explained)} as typed in, and {ampere(short.amps)} was read at {short.place}: "
        "something else draws there, too, or what is typed in is not this car's."
        for short in (row.partly if row is not None else ())
    ]
    for misfit in diagnosis.misfits:
        segment = misfit.segment
        if misfit.against is not None:
            said.append(f"{contradicted_sentence(diagnosis, misfit)}.")
            continue
        said.append(
            f"that leaves {segment.place} ({ampere(segment.readings[0].amps)}) unexplained: misread, or a second "
            f"fault{_reread_in(diagnosis, segment.place)}."
        )
    if row is not None and not any(flow.joins_batteries for fault in row.faults[0] for flow in fault.brings):
        said += [
            f"that leaves open how {ampere(abs(reading.amps or 0.0))} get into {reading.place}: something joins it to "
            "the other battery."
            for reading in diagnosis.netted.charging
        ]
    said += [
        f"that does not say why {network_words(platform, name)} was awake: something wakes it, too."
        for name in diagnosis.tests.unexplained
    ]
    said += unfound_sentences(platform, diagnosis, row)
    said += map(unexplained_sentence, diagnosis.unexplained_tries)
    return section("BUT", said, width) if said else []


def _reread_in(diagnosis: Diagnosis, place: str) -> str:
    """Which of the next tests reads a place again."""
    for number, test in enumerate(diagnosis.tests.choices, start=1):
        if test.action.doing == "read-again" and test.action.parts == (place,):
            return f"? NEXT {number} tells"
    return ". Read it again"

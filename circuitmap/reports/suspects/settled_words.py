"""A draw by two faults of which one is settled, in words."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.settled import SettledPart
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.candidates import AnswerRow, candidate_lines
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.fault_words import short_part_words, subject_name, subject_words, where_to_look
from circuitmap.reports.suspects.leading import LIKELY, SURE, first_part, is_open, is_two
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section
from circuitmap.wiring.platform import Platform

MOST_REST = 6
WORTH_SAYING = 0.05
"""How many things that still may draw are named, and from which chance on (judgement)."""


def settled_fault(diagnosis: Diagnosis, faults: Sequence[Fault]) -> Fault | None:
    """Of two faults the one whose share of the draw went with what is out; None where that is neither, or both."""
    if diagnosis.settled is None:
        return None
    ended = _ended(diagnosis.settled, diagnosis)
    its = [fault for fault in faults if fault.identity in ended]
    return its[0] if len(its) == 1 else None


def _ended(settled: SettledPart, diagnosis: Diagnosis) -> set[tuple[str, ...]]:
    """The faults that went with what is out, those that nobody knows at just these places among them."""
    known = {diagnosis.faults[n].identity for n in settled.faults}
    return known | {fault.identity for fault in diagnosis.faults if fault.place in settled.tried.attempt.out}


def settled_words(platform: Platform, diagnosis: Diagnosis, fault: Fault) -> str:
    """`E12.S is on, or its contact does not open. With it at off 0.42 A of 2.93 A went. The rest,
    2.51 A, is still to be found.`"""
    settled, fine = diagnosis.settled, total_is_fine(diagnosis)
    assert settled is not None
    attempt = settled.tried.attempt
    at = dict(attempt.turned)
    did = joined([f"{name} at {at[name]}" if name in at else f"{name} out" for name in attempt.out])
    went = f"{ampere(settled.was - settled.left, fine)} of {ampere(settled.was, fine)}"
    rest = f"The rest, {ampere(settled.left, fine)}, is still to be found."
    return f"{fault_words(platform, fault)}. With {did} {went} went. {rest}"


def the_rest(diagnosis: Diagnosis) -> tuple[Fault, list[Subject]] | None:
    """Where one of two things went with what is out, and it is not known yet which two these are: the likeliest fault
    that went, and what the rest may be about, likeliest first."""
    settled = diagnosis.settled
    if settled is None or diagnosis.two_faults < LIKELY or is_two(diagnosis):
        return None
    ended = _ended(settled, diagnosis)
    went = (fault for part in diagnosis.parts for fault in part.faults if fault.identity in ended)
    first = next(went, None)
    left = [
        subject
        for subject in diagnosis.subjects
        if any(fault.identity not in ended for part in subject.parts for fault in part.faults[:1])
    ]
    return (first, left) if first is not None and left else None


def second_thing(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Where it is surely two things, and only the first of them is known: what the other may be."""
    if diagnosis.two_faults < SURE or is_two(diagnosis) or is_open(diagnosis):
        return []
    top = diagnosis.subjects[0].about
    others = [about for two in diagnosis.if_two for about in two.about if top in two.about and about != top]
    return [short_part_words(platform, about) for about in dict.fromkeys(others)][:3]


def rest_lines(platform: Platform, diagnosis: Diagnosis, went: Fault, left: Sequence[Subject], width: int) -> list[str]:
    """Of two things the one that went with what is out is settled: the answer is about the other one."""
    top = left[0]
    leads = top.probability >= LIKELY
    says = subject_words(platform, top) if leads else "nothing leads yet."
    likely = f"  ({chance(top.probability)})" if leads else ""
    lines = section("LOOK AT", [f"what still draws: {says}{likely}"], width)
    lines += section("SETTLED", [settled_words(platform, diagnosis, went)], width)
    first = [first_part(top)] if leads else []
    within = [AnswerRow(part.probability, where_to_look(platform, part.faults[0])) for part in first]
    others = [
        AnswerRow(subject.probability, subject_name(platform, subject))
        for subject in left[1 if leads else 0 :][:MOST_REST]
        if subject.probability >= WORTH_SAYING
    ]
    return lines + (candidate_lines(within, others, width) if leads else candidate_lines(others, [], width))

"""What the readings tell from the answer, rivals with the same reasons together; and what is ruled out by that: no line
of the same answer names it as what it may be."""

from collections.abc import Iterator
from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.explaining.classes import FaultClass
from circuitmap.reports.suspects.leading import is_open, row_of_answer
from circuitmap.reports.suspects.others import is_out_of_it
from circuitmap.reports.suspects.settled_words import the_rest
from circuitmap.reports.suspects.why import SpokenReason, reasons_against
from circuitmap.wiring.platform import Platform


class Against(NamedTuple):
    """Why it is not the `rivals`; `out_of_it`: it may be said that it is none of them."""

    rivals: tuple[FaultClass, ...]
    reasons: tuple[SpokenReason, ...]
    out_of_it: bool


def row_told(diagnosis: Diagnosis) -> Row | None:
    """The explanation of which it is told why; None while nothing is called the answer."""
    row = row_of_answer(diagnosis)
    return None if row is None or is_open(diagnosis) or the_rest(diagnosis) is not None else row


def told_against(platform: Platform, diagnosis: Diagnosis, row: Row) -> Iterator[Against]:
    """The rivals of which something tells an explanation, in their order."""
    by_reasons: dict[tuple[SpokenReason, ...], list[FaultClass]] = {}
    for beaten in row.beaten:
        reasons = tuple(reasons_against(platform, diagnosis, row, beaten))
        if reasons:
            by_reasons.setdefault(reasons, []).append(beaten.rival)
    for reasons, rivals in by_reasons.items():
        yield Against(tuple(rivals), reasons, all(is_out_of_it(diagnosis, row, rival) for rival in rivals))


def ruled_out(platform: Platform, diagnosis: Diagnosis) -> frozenset[str]:
    """The parts of which the answer says that it is not one of them, each by itself."""
    row = row_told(diagnosis)
    if row is None:
        return frozenset()
    leads = {fault.part for fault in row.faults[0]}
    members = [
        member
        for against in told_against(platform, diagnosis, row)
        if against.out_of_it
        for rival in against.rivals
        for member in rival.members
    ]
    return frozenset(diagnosis.faults[n].part for member in members if len(member) == 1 for n in member) - leads

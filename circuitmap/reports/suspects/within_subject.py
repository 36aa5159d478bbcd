"""What may be wrong at the subject that leads, row by row: the members of a network each with what wakes them, or the
parts one by one."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Subject
from circuitmap.diagnosis.faults.told_as import told_as
from circuitmap.reports.suspects.candidates import (
    MOST_ROWS,
    AnswerRow,
    alike_in_one,
    hands_off_mark,
    likeliest_first,
    named_by,
    what_is_wrong,
)
from circuitmap.reports.suspects.fault_words import (
    network_words,
    output_words,
    part_and_how,
    short_part_words,
    with_colour,
)
from circuitmap.reports.suspects.figures_words import place_to_begin
from circuitmap.reports.suspects.first_member import member_rows
from circuitmap.reports.suspects.held_or_stuck import or_the_other
from circuitmap.reports.suspects.leading import LIKELY, TOLD_FROM, first_part
from circuitmap.reports.words.paragraphs import shortened
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def within_rows(platform: Platform, diagnosis: Diagnosis, subject: Subject) -> list[AnswerRow]:
    """The rows of a subject, likeliest first; what is left of it in one row at the end."""
    if rows := member_rows(platform, diagnosis, subject):
        shown = [row for n, row in enumerate(rows) if n == 0 or row.probability >= TOLD_FROM][:MOST_ROWS]
        return [*shown, *_the_rest(platform, subject, [row for row in rows if row not in shown])]
    rows = [_row(platform, diagnosis, subject, part) for part in _told_together(subject)]
    rows = likeliest_first(rows)
    enough = [row for n, row in enumerate(rows) if n == 0 or row.probability >= TOLD_FROM]
    told = alike_in_one(enough)
    shown = told if len(told) <= MOST_ROWS + 1 else told[:MOST_ROWS]
    named = named_by(shown)
    return [*shown, *_the_rest(platform, subject, [row for row in rows if not row.names <= named])]


def is_the_subject(subject: Subject, rows: Sequence[AnswerRow]) -> bool:
    """Whether a subject is the only part that may be wrong there: the first line says it all then."""
    return len(rows) == 1 and first_part(subject).part == subject.about and subject.about in rows[0].names


def _row(platform: Platform, diagnosis: Diagnosis, subject: Subject, part: PartChance) -> AnswerRow:
    words, short = _in_words(platform, diagnosis, subject, part), short_part_words(platform, part.part)
    short = with_colour(short, part.faults[0]) + output_words(platform, part)
    return AnswerRow(part.probability, words, frozenset({part.part}), short)


def _in_words(platform: Platform, diagnosis: Diagnosis, subject: Subject, part: PartChance) -> str:
    """The first part with its place and what is wrong; the others by name, and what they wake."""
    fault, shut = part.faults[0], hands_off_mark(platform, diagnosis, part.part)
    first, in_network = part.part == first_part(subject).part, subject.about in platform.networks
    if first and (not in_network or fault.hangs or fault.leak):
        other = or_the_other(platform, diagnosis, fault)
        return f"{what_is_wrong(platform, diagnosis, fault)}{shut}{f'.{other}' if other else ''}"
    words = place_to_begin(platform, diagnosis, fault) if first else with_colour(part_and_how(platform, part), fault)
    if not in_network or fault.kind != "wrong-input" or not isinstance(platform.parts.get(part.part), Switch):
        return f"{words}{shut}"
    leads = first_part(subject).probability >= LIKELY  # or else what holds the network is named besides
    wire = "" if leads or (first and fault.or_its_wire) else ", or its wire"
    return f"{words}{wire}{f' (wakes {fault.module})' if fault.module else ''}{shut}"


def _the_rest(platform: Platform, subject: Subject, rows: Sequence[AnswerRow]) -> list[AnswerRow]:
    """What has no row of its own, in one; of a network, whose members all count, also where each is unlikely."""
    left = min(sum(row.probability for row in rows), subject.probability)
    names = dict.fromkeys(name for row in rows if row.probability >= TOLD_FROM for name in sorted(row.names))
    if left < TOLD_FROM or not (names or subject.about in platform.networks):
        return []
    where = f"on {network_words(platform, subject.about)}" if subject.about in platform.networks else "there"
    listed = shortened([short_part_words(platform, name) for name in names], MOST_ROWS)
    words = f"another part {where}, all together{f': {listed}' if names else ''}"
    return [AnswerRow(left, words, frozenset(names))]


def _told_together(subject: Subject) -> list[PartChance]:
    """The parts of a subject; an unknown current at a place is told with something there on no sheet: nobody could look
    for the one and not for the other."""
    faults = [part.faults[0] for part in subject.parts]
    by_name: dict[str, list[PartChance]] = {}
    for name, part in zip(told_as(faults), subject.parts, strict=True):
        by_name.setdefault(name, []).append(part)
    known = {part.part: part for part in subject.parts}
    return [
        known.get(name, its[0])._replace(probability=min(sum(part.probability for part in its), subject.probability))
        for name, its in by_name.items()
    ]

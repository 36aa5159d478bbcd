"""Two things at once as the answer: what each of them is, the surer one first."""

from collections.abc import Container
from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, PartChance, Subject
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.candidates import AnswerRow, likeliest_first, what_is_wrong
from circuitmap.reports.suspects.fault_words import network_words, short_part_words, subject_words, with_colour
from circuitmap.reports.suspects.held_by import held_by_lines
from circuitmap.reports.suspects.leading import LEVEL, LIKELY, first_part
from circuitmap.reports.suspects.settled_words import settled_fault, settled_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section, shortened
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform


class OneOfTwo(NamedTuple):
    """One of two things: its likeliest fault, and the network that it is about as long as no part of that leads.
    `level` are the parts that are about the same thing and as likely, its own among them; empty where it leads."""

    fault: Fault
    probability: float
    network: Subject | None = None
    level: tuple[PartChance, ...] = ()

    @property
    def names(self) -> frozenset[str]:
        """The parts that are told with it; none where its network is."""
        told = (self.fault.part, *(part.part for part in self.level))
        return frozenset(told if self.network is None else ())


def the_two(platform: Platform, diagnosis: Diagnosis) -> list[OneOfTwo]:
    """Both things of the likeliest pair, the surer part first. Where one of them keeps a network awake and no part of
    that leads, the network is told: the half of one pair among many is no answer."""
    chance_of = {part.part: part.probability for part in diagnosis.parts}
    faults = sorted(diagnosis.rows[0].faults[0], key=lambda fault: (-chance_of[fault.part], fault.part))
    parts = {fault.part for fault in faults}
    networks = {its.about: its for its in diagnosis.subjects if its.about in platform.networks}
    found = []
    for fault in faults:
        subject = networks.get(fault.about)
        others = {other.about for other in faults if other is not fault}
        if subject is not None and fault.about not in others and chance_of[fault.part] < LIKELY:
            first = next((its for its in subject.parts if its.part not in parts - {fault.part}), first_part(subject))
            found.append(OneOfTwo(first.faults[0], subject.probability, subject))
        elif level := _level_with(diagnosis, fault, parts - {fault.part}):
            probability = min(1.0, sum(part.probability for part in level))
            found.append(OneOfTwo(fault, probability, level=level))
        else:
            found.append(OneOfTwo(fault, chance_of[fault.part]))
    return found


def _level_with(diagnosis: Diagnosis, fault: Fault, others: Container[str]) -> tuple[PartChance, ...]:
    """The parts about the same thing as a fault that are as likely as its own, that one first; none where it is
    likelier than not, or alone."""
    subject = next((its for its in diagnosis.subjects if its.about == fault.about), None)
    own = next((part for part in subject.parts if part.part == fault.part), None) if subject is not None else None
    if subject is None or own is None or own.probability >= LIKELY:
        return ()
    beside = [part for part in subject.parts if part.part not in others and part is not own]
    level = [part for part in beside if part.probability >= LEVEL * own.probability]
    return (own, *level) if level else ()


def two_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Both by name in the first line, and which of them is settled."""
    two = the_two(platform, diagnosis)
    settled = settled_fault(diagnosis, [its.fault for its in two])
    names = list(dict.fromkeys(_name(platform, its) for its in two))
    which = joined(names) if len(names) > 1 else f"two faults of {names[0]}"
    lines = section("LOOK AT", [f"two things at once: {which}.  ({chance(diagnosis.two_faults)})"], width)
    if settled is not None:
        lines += section("SETTLED", [settled_words(platform, diagnosis, settled)], width)
    return lines


def two_rows(platform: Platform, diagnosis: Diagnosis) -> list[AnswerRow]:
    """Each of the two that is not settled, with where it is and what is wrong there."""
    rows = [
        AnswerRow(its.probability, _in_words(platform, diagnosis, its), frozenset({its.fault.part, *its.names}))
        for its in _left(platform, diagnosis)
    ]
    return likeliest_first(rows)


def two_held_by_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What keeps the network of one of them awake."""
    networks = [its.network for its in _left(platform, diagnosis) if its.network is not None]
    return [line for network in networks for line in held_by_lines(platform, diagnosis, network, width)]


def _left(platform: Platform, diagnosis: Diagnosis) -> list[OneOfTwo]:
    two = the_two(platform, diagnosis)
    settled = settled_fault(diagnosis, [its.fault for its in two])
    return [its for its in two if its.fault is not settled]


def _name(platform: Platform, its: OneOfTwo) -> str:
    if its.network is not None:
        return network_words(platform, its.network.about)
    if not its.level:
        return short_part_words(platform, its.fault.part)
    about = platform.parts.get(its.fault.about)
    if isinstance(about, Relay):
        no_contact = all(part.part != about.name for part in its.level)
        return f"{'what holds' if no_contact else 'what is at'} {short_part_words(platform, about.name)}"
    return f"one of {len(its.level)} at {short_part_words(platform, its.fault.about)}"


def _in_words(platform: Platform, diagnosis: Diagnosis, its: OneOfTwo) -> str:
    if its.network is not None:
        return subject_words(platform, its.network)
    if its.level:
        names = [with_colour(short_part_words(platform, part.part), part.faults[0]) for part in its.level]
        each = chance(its.level[0].probability)
        return f"one of these {len(names)}, can't be told apart yet: {shortened(names)} ({each} each)"
    return what_is_wrong(platform, diagnosis, its.fault)

"""Two things at once as the answer: what each of them is, the surer one first."""

from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.fault_words import network_words, short_part_words, subject_words, where_to_look
from circuitmap.reports.suspects.held_by import held_by_lines
from circuitmap.reports.suspects.leading import LIKELY, first_part
from circuitmap.reports.suspects.settled_words import settled_fault, settled_words
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section
from circuitmap.wiring.platform import Platform


class OneOfTwo(NamedTuple):
    """One of two things: its likeliest fault, and the network that it is about as long as no part of that leads."""

    fault: Fault
    probability: float
    network: Subject | None = None


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
        else:
            found.append(OneOfTwo(fault, chance_of[fault.part]))
    return found


def two_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Both by name in the first line; then each with where it is, or what keeps its network awake."""
    two = the_two(platform, diagnosis)
    settled = settled_fault(diagnosis, [its.fault for its in two])
    names = list(dict.fromkeys(_name(platform, its) for its in two))
    which = joined(names) if len(names) > 1 else f"two faults of {names[0]}"
    lines = section("LOOK AT", [f"two things at once: {which}.  ({chance(diagnosis.two_faults)})"], width)
    if settled is not None:
        lines += section("SETTLED", [settled_words(platform, diagnosis, settled)], width)
    left = [its for its in two if its.fault is not settled]
    for label, its in zip(("FIRST", "THEN"), left, strict=False):
        lines += section(label, [f"{_where(platform, its)}  ({chance(its.probability)})"], width)
    for its in left:
        if its.network is not None:
            lines += held_by_lines(platform, diagnosis, its.network, width)
    told = [f"{fault_words(platform, its.fault)}." for its in two if its.network is None]
    return lines + (section("THAT IS", told, width) if told else [])


def _name(platform: Platform, its: OneOfTwo) -> str:
    about = its.network.about if its.network is not None else ""
    return network_words(platform, about) if about else short_part_words(platform, its.fault.part)


def _where(platform: Platform, its: OneOfTwo) -> str:
    if its.network is not None:
        return subject_words(platform, its.network)
    return f"{where_to_look(platform, its.fault)}."

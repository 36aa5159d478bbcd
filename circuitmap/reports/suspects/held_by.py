"""What can hold a network awake, by the circuit: while no part of it leads, the candidates are named all the same."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.reports.suspects.fault_words import network_words, short_part_words
from circuitmap.reports.suspects.leading import LIKELY, first_part
from circuitmap.reports.words.paragraphs import joined, section, shortened
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

RULED_OUT = 0.002
"""A part with less than this is no candidate any more (judgement)."""
MOST_NAMED = 8


def held_by_lines(platform: Platform, diagnosis: Diagnosis, subject: Subject, width: int) -> list[str]:
    """Who can hold a network: the switches that its members read, the wire of each, and the wake lines. Nothing where a
    part leads, or where the sheet shows no such thing."""
    leads = first_part(subject).probability >= LIKELY
    if subject.about not in platform.networks or leads:
        return []
    said = list(_held_by(platform, diagnosis, subject.about))
    return section("HELD BY", [f"{'; '.join(said)}; or a member by itself."], width) if said else []


def _held_by(platform: Platform, diagnosis: Diagnosis, network: str) -> Iterator[str]:
    chance_of = {part.part: part.probability for part in diagnosis.parts}
    waking = [fault for fault in diagnosis.faults if network in fault.wakes and chance_of[fault.part] >= RULED_OUT]
    waking.sort(key=lambda fault: (-chance_of[fault.part], fault.part))
    switches = [f.part for f in waking if f.kind == "wrong-input" and isinstance(platform.parts.get(f.part), Switch)]
    if names := [short_part_words(platform, name) for name in dict.fromkeys(switches)]:
        its = "its wire" if len(names) == 1 else "the wire of one"
        yield f"{shortened(names, MOST_NAMED)} (or {its})"
    lines = dict.fromkeys(f.about for f in waking if f.about != network and _is_wake_line(platform, f.about))
    if lines:
        words = [network_words(platform, name) for name in lines]
        yield (
            f"a false signal on {words[0]}"
            if len(words) == 1
            else f"a false signal on a wake line ({joined(list(lines))})"
        )


def _is_wake_line(platform: Platform, name: str) -> bool:
    return name in platform.networks and platform.networks[name].kind == "wake"

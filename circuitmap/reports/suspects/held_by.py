"""What can hold a network awake, by the circuit: while no part of it leads, the candidates are named all the same."""

from collections.abc import Collection, Iterator, Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, Subject
from circuitmap.diagnosis.faults.brief_inputs import brief_pins
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.evidence.log_states import comes_again_and_again
from circuitmap.reports.suspects.fault_words import RULED_OUT, network_words, short_part_words
from circuitmap.reports.suspects.leading import LIKELY, first_part
from circuitmap.reports.words.paragraphs import joined, section, shortened, shortened_or
from circuitmap.wiring.parts import Load, Switch
from circuitmap.wiring.platform import Platform

MOST_NAMED = 8
HARDLY = 0.005
"""A switch that is less likely than this is told as not it where something was tried (judgement)."""


def held_by_lines(
    platform: Platform,
    diagnosis: Diagnosis,
    subject: Subject,
    width: int,
    ruled_out: Collection[str] = (),
    told: Collection[str] = (),
) -> list[str]:
    """Who can hold a network: the switches that its members read, the wire of each, and the wake lines, but what the
    readings have `ruled_out` in the same answer, and the switches that it has `told` already. Nothing where a part
    leads, or where the sheet shows no such thing."""
    leads = first_part(subject).probability >= LIKELY
    if subject.about not in platform.networks or leads:
        return []
    chance_of = {part.part: part.probability for part in diagnosis.parts}
    rest = diagnosis.at_rest
    waking = [
        fault
        for fault in diagnosis.faults
        if fault.wakes
        and fault.part not in ruled_out
        and chance_of[fault.part] >= (RULED_OUT if brief_pins(platform, fault) else HARDLY)
    ]
    settled = {fault.part for fault in waking if fault.part in (*rest.by_volts, *rest.by_data)}
    waking = [fault for fault in waking if fault.part not in settled and not _has_no_plus(fault, rest.quiet)]
    waking.sort(key=lambda fault: (-chance_of[fault.part], fault.part))
    its = [fault for fault in waking if subject.about in fault.wakes]
    comes = comes_again_and_again(diagnosis.netted.totals)
    switches = [fault for fault in its if isinstance(platform.parts.get(fault.part), Switch)]
    known = {f.part for f in switches if f.part in told and (comes or not brief_pins(platform, f))}
    waking, its = ([fault for fault in faults if fault.part not in known] for faults in (waking, its))
    said = list(_held_by(platform, its, subject.about, comes))
    apart = {fault.part for fault in waking} - {fault.part for fault in its}
    besides = [
        one
        for one in _held_by(platform, [fault for fault in waking if fault.part in apart], subject.about, comes)
        if not one.startswith("hardly")
    ]
    measured = (("by their volts", rest.by_volts), ("in the live data", rest.by_data))
    out_of_it = [
        f"At rest {how}: {joined([short_part_words(platform, name) for name in names])}."
        for how, names in measured
        if names
    ]
    if not said and not besides:
        return section("HELD BY", ["what is named above.", *out_of_it], width) if known and out_of_it else []
    firm = len(said) - sum(one.startswith("hardly") for one in said)
    if not (known and said):
        said.insert(firm, "or a member by itself" if firm else "a member by itself")
    if known and firm:
        said[0] = f"also {said[0]}"
    if besides:
        said.append(f"or not it but what it wakes, by {joined(besides, 'or')}")
    return section("HELD BY", [f"{'; '.join(said)}.", *out_of_it], width)


def _has_no_plus(fault: Fault, quiet: Sequence[str]) -> bool:
    """Whether a wake wire was measured, and no plus was on it."""
    return is_wake_wire(fault) and any(name in quiet for name in fault.others)


def _held_by(platform: Platform, waking: Sequence[Fault], network: str, comes: bool) -> Iterator[str]:
    inputs = [f for f in waking if f.kind == "wrong-input" and isinstance(platform.parts.get(f.part), Switch)]
    brief = {} if comes else _for_a_time(platform, inputs)  # what comes again and again is held by just these
    switches = dict.fromkeys(f.part for f in inputs if f.part not in brief)
    if names := [short_part_words(platform, name) for name in switches]:
        wire = "its wire" if len(names) == 1 else "the wire of one"
        yield f"{shortened(names, MOST_NAMED)} (or {wire})"
    plus = dict.fromkeys(name for f in waking if is_wake_wire(f) for name in f.others if name != f.module)
    if plus:
        yield f"foreign plus on the wake wire at {shortened_or(list(plus), MOST_NAMED)}"
    lines = dict.fromkeys(f.about for f in waking if f.about != network and _is_wake_line(platform, f.about))
    if lines:
        words = [network_words(platform, name) for name in lines]
        yield (
            f"a false signal on {words[0]}"
            if len(words) == 1
            else f"a false signal on a wake line ({joined(list(lines))})"
        )
    if brief:
        most = max(brief.values())
        told = shortened([short_part_words(platform, name) for name in brief], MOST_NAMED)
        yield f"hardly {told}: by the sheet that wakes for {most:g} min at most, unless it comes again and again"


def _for_a_time(platform: Platform, inputs: Sequence[Fault]) -> dict[str, float]:
    """The switches that only wake for some minutes, by the sheet, with the longest of these."""
    brief: dict[str, float] = {}
    others: set[str] = set()
    for fault in inputs:
        module, pins = platform.parts.get(fault.module), brief_pins(platform, fault)
        if pins and isinstance(module, Load):
            minutes = (module.lasts[pin.removeprefix(f"{module.name}.")].high for pin in pins)
            brief[fault.part] = max(brief.get(fault.part, 0.0), *minutes)
        else:
            others.add(fault.part)
    return {name: its for name, its in brief.items() if name not in others}


def _is_wake_line(platform: Platform, name: str) -> bool:
    return name in platform.networks and platform.networks[name].kind == "wake"

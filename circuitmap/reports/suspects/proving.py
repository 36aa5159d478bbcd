"""How what is nearly sure is proven, out, in, out again, with what to take care of; and what is left of that once the
card has it."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.under_load import fuses_first
from circuitmap.reports.suspects.contact_words import contact_words
from circuitmap.reports.suspects.fault_kind_words import TAKEN_OFF, proof_words
from circuitmap.reports.suspects.fault_words import part_words
from circuitmap.reports.words.cautions import caution_lines, cautions_at, proof_step
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import UNFUSED_KINDS, Switch
from circuitmap.wiring.platform import Platform

_TESTED_APART = "Its inputs and what it feeds tested apart; feed and ground under load. "


def to_mend(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What to do at the part that is to be proven and mended."""
    its = platform.parts.get(part)
    apart = "" if its is None or isinstance(its, Switch) else _TESTED_APART
    first = f"Prove {part_words(platform, part)}: {_proof(platform, diagnosis, part)}"
    if was_shown(platform, diagnosis, part):
        first = f"{part_words(platform, part)}: {_shown(platform, part)}"
    return f"{first} {apart}Then mend it, and log a night."


def go_to(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What to do at the part that leads, where no other step tells more."""
    shown = was_shown(platform, diagnosis, part)
    said = _shown(platform, part) if shown else _proof(platform, diagnosis, part)
    return f"Go to {part_words(platform, part)}: {said}"


_SHOWN = "out, in and out again, and the draw with it each time: shown, not to be done once more."


def _shown(platform: Platform, part: str) -> str:
    whole = _taken_out_with(platform, part)
    return f"{f'it is in {whole}, which was ' if whole != part else ''}{_SHOWN}"


def _taken_out_with(platform: Platform, part: str) -> str:
    """What is taken out where something is to be out: of a contact inside a lamp, the lamp."""
    its = platform.parts.get(part)
    return its.inside or part if isinstance(its, Switch) else part


def was_shown(platform: Platform, diagnosis: Diagnosis, part: str) -> bool:
    """Whether the draw went with a part that was taken out by itself, came back with it, and went with it again; a
    contact inside a part is out with that part."""
    names = {(part,), (_taken_out_with(platform, part),)}
    its = [one.attempt for one in diagnosis.tried if one.attempt.out in names and not one.attempt.turned]
    first = next((n for n, one in enumerate(its) if one.fell and one.came_back), len(its))
    return any(one.fell for one in its[first + 1 :])


def care_at_proof(platform: Platform, diagnosis: Diagnosis, part: str, width: int) -> list[str]:
    """What is on no sheet is taken off where it is fed: what holds for that part holds for it, too."""
    faults = next((its.faults for its in diagnosis.parts if its.part == part), ()) if part not in platform.parts else ()
    parts = (part, *dict.fromkeys(f.place for f in faults if f.kind == "added" and f.place))
    step = "prove" if any(f.kind == "added" and f.about == f.part for f in faults) else proof_step(platform, part)
    if isinstance(platform.parts.get(part), Switch) and _leads_by_opening(diagnosis, part):
        step = "bridge"
    its = next((its.faults for its in diagnosis.parts if its.part == part), ())
    fuses = {fuse for fault in its for fuse in fuses_first(platform, diagnosis.hands_off, fault)}
    return caution_lines(cautions_at(platform, step, parts, f"{joined(sorted(fuses))} out" if fuses else ""), width)


def _leads_by_opening(diagnosis: Diagnosis, part: str) -> bool:
    """Whether what is likeliest wrong with a switch is that it is open: then it is as open when it is out."""
    return any(bool(chance.faults[0].by_opening) for chance in diagnosis.parts if chance.part == part)


def _proof(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """Out, in, out, in words that fit a switch, a part, a wire, or what somebody fitted."""
    its = platform.parts.get(part)
    if isinstance(its, Switch) and _leads_by_opening(diagnosis, part):
        return (
            f"its plug parted and {contact_words(platform, part)} bridged in it, the draw is gone; the bridge out, it "
            f"comes back; bridged again it is gone (tested {part} bad). Bridged for nothing: its wire is left."
        )
    if isinstance(its, Switch) and its.positions:
        off = its.positions[0]
        opens = f"volts behind its contact at {off}: battery volts say that it does not open. "
        if diagnosis.positions.get(part) == off:
            return f"it stands at {off} by what was seen, so {opens}"
        return (
            f"is it really at {off}? There the draw must go, with it on come back, and go again. If it makes no "
            f"difference, {opens}"
        )
    if its is not None and its.kind in UNFUSED_KINDS:
        return (
            "a clamp on its cable shows the draw; with the cable off once, the draw is gone. That is enough: a cable "
            "without a fuse is not taken off and put back again and again."
        )
    if part in platform.parts:
        return "with it out the draw is gone, with it back it comes back, out again it is gone."
    likeliest = next((its.faults[0] for its in diagnosis.parts if its.part == part), None)
    return proof_words(platform, likeliest) if likeliest is not None else TAKEN_OFF

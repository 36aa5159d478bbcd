"""How what is nearly sure is proven, out, in, out again, with what to take care of; and what is left of that once the
card has it."""

from dataclasses import replace
from typing import Literal

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.under_load import fuses_first
from circuitmap.evidence.tries import Try
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.comes_and_goes import held_to_a_time
from circuitmap.reports.suspects.eyes_only import is_by_its_plug
from circuitmap.reports.suspects.fault_kind_words import TAKEN_OFF, proof_words
from circuitmap.reports.suspects.fault_words import part_words
from circuitmap.reports.suspects.fed_backwards import backwards_cautions
from circuitmap.reports.suspects.held_or_stuck import is_measured_first, measured_first
from circuitmap.reports.suspects.leading import is_two, row_of_answer
from circuitmap.reports.suspects.lets_go import hold_proof, holding_fault, lets_go
from circuitmap.reports.words.cautions import Told, all_switched, caution_lines, cautions_at, proof_step
from circuitmap.reports.words.contact_words import contact_words
from circuitmap.reports.words.hands_off_words import HANDED_OVER
from circuitmap.reports.words.paragraphs import joined, wrapped
from circuitmap.wiring.parts import UNFUSED_KINDS, Load, Relay, Switch
from circuitmap.wiring.platform import Platform


def _tested_apart(diagnosis: Diagnosis, part: str) -> str:
    """What is tested besides; not the inputs that were all measured at rest."""
    what = "What it feeds" if part in diagnosis.at_rest.modules else "Its inputs and what it feeds"
    return f"{what} tested apart; feed and ground under load. "


MOST_PUT_IN = 4
"""From so many things on that have to be in again first they are not named (our own choice)."""


def back_in(diagnosis: Diagnosis, part: str = "") -> str:
    """What has to be in again before anything else is done, because the draw is gone with it out."""
    out = [name for name in diagnosis.tests.put_in if name != part]
    return f"Put {joined(out)} in again, and see the draw come back. " if 0 < len(out) < MOST_PUT_IN else ""


def to_mend(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What to do at the part that is to be proven and mended."""
    its = platform.parts.get(part)
    too_many = _is_too_many(diagnosis, part)
    by_itself = its is None or too_many or isinstance(its, Switch | Relay) or its.kind in UNFUSED_KINDS
    apart = "" if by_itself else _tested_apart(diagnosis, part)
    measured = _measured_first(platform, diagnosis, part)
    first = (
        f"{measured}{back_in(diagnosis, part)}Prove {part_words(platform, part)}: {_proof(platform, diagnosis, part)}"
        f"{held_to_a_time(diagnosis)}"
    )
    if was_shown(platform, diagnosis, part):
        first = f"{part_words(platform, part)}: {_shown(platform, part)}"
    then = "leave it out, mark the slot" if too_many else "mend it"
    return f"{first} {apart}Then {then}, and log a night."


def _is_too_many(diagnosis: Diagnosis, part: str) -> bool:
    """Whether the part is a fuse that stands where the sheet has none: there is nothing to mend in it."""
    its = next((one.faults for one in diagnosis.parts if one.part == part), ())
    return bool(its) and its[0].kind == "extra-fuse"


def go_to(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What to do at the part that leads, where no other step tells more."""
    shown = was_shown(platform, diagnosis, part)
    said = _shown(platform, part) if shown else _proof(platform, diagnosis, part)
    back = "" if shown else f"{_measured_first(platform, diagnosis, part)}{back_in(diagnosis, part)}Go to "
    return f"{back}{part_words(platform, part)}: {said}{'' if shown else held_to_a_time(diagnosis)}"


def _measured_first(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """What is measured at a relay while it sits in its socket: pulled, it may let go, and nobody knows what it was."""
    if is_measured_first(platform, diagnosis, part):
        return measured_first(platform, diagnosis, part)
    if not _is_pulled_unmeasured(platform, diagnosis, part):
        return ""
    return (
        f"Before {part} is pulled, which may free a stuck contact: volts across its coil, then across its contact "
        f"(millivolts: closed), in its socket or at the wires (relay {part} held|stuck). "
    )


def _is_pulled_unmeasured(platform: Platform, diagnosis: Diagnosis, part: str) -> bool:
    its = platform.parts.get(part)
    return isinstance(its, Relay) and part not in diagnosis.relays_measured and not _turn(platform, diagnosis, part)


_SHOWN = "out, in and out again, and the draw with it each time: shown, not to be done once more."


def left_alone_lines(platform: Platform, diagnosis: Diagnosis, part: str, width: int) -> list[str]:
    """What is left to do where the cause can only be in something that nobody may touch, or in something that hangs
    behind it: of that only its own plug and switch are used."""
    name = part_words(platform, part)
    if not is_by_its_plug(diagnosis, part):
        return wrapped(f"Nothing more is tested here: what is left is in {name}. {HANDED_OVER}", " ", " ", width)
    shown = was_shown(platform, diagnosis, part)
    faults = next(its.faults for its in diagnosis.parts if its.part == part)
    feeds = joined(list(dict.fromkeys(fault.place for fault in faults)))
    says = (
        f"{name}: {_SHOWN if shown else f'{BY_ITS_PLUG} {TAKEN_OFF}'} Nothing else is done at it: {feeds}, which feeds "
        "it, is hands-off, and nothing behind it is opened, probed, measured or moved. Then it is used otherwise, and "
        "a night is logged."
    )
    care = () if shown else cautions_at(platform, "own-plug", ())
    return [*wrapped(says, " ", " ", width), *caution_lines(care, width)]


BY_ITS_PLUG = "by its own plug or switch, used by whoever owns it:"


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
    its = _tries_of(platform, diagnosis, part)
    first = next((n for n, one in enumerate(its) if one.fell and one.came_back), len(its))
    return any(one.fell for one in its[first + 1 :])


def _tries_of(platform: Platform, diagnosis: Diagnosis, part: str) -> list[Try]:
    """The tries of a part by itself, beside what was out already and had taken its share."""
    names = ({part}, {_taken_out_with(platform, part)})
    its = [one.attempt for one in diagnosis.tried if not one.attempt.turned and one.why_not != "too early"]
    found = {n: one for n, one in enumerate(its) if set(one.out) in names}
    if diagnosis.settled is not None:  # then it went from what was left
        first = diagnosis.settled.tried.attempt
        beside = {n: one for n, one in enumerate(its) if set(one.out) - set(first.out) in names and n not in found}
        found |= {n: replace(one, before=first.after) for n, one in beside.items()}
    return [found[n] for n in sorted(found)]


Turn = Literal["", "waits", "out", "back", "stayed away"]
"""How far a proof has come: not begun; some of it went, and what had to fall asleep had not yet; it went with the part;
and came back with it; or did not."""


def _turn(platform: Platform, diagnosis: Diagnosis, part: str) -> Turn:
    its = _tries_of(platform, diagnosis, part)
    if its and its[-1].back is None and _is_too_early(diagnosis, part, its[-1]):
        return "waits"
    went = [one for one in its if one.fell]
    if not went:
        return ""
    back = {one.came_back for one in went}
    if True in back:
        return "back"
    return "stayed away" if went[-1].came_back is False else "out"


def _is_too_early(diagnosis: Diagnosis, part: str, last: Try) -> bool:
    """Whether what was left with a part out that wakes others was read before they could fall asleep."""
    wakes = any(fault.part == part and fault.wakes for fault in diagnosis.faults)
    early = (one.attempt.after for one in diagnosis.tried if one.at_once and one.outcome == "down")
    return wakes and any(its is last.after for its in early)


_STILL_TO_DO: dict[Turn, str] = {
    "waits": "some of the draw went with it out; what falls asleep without it had not had its time. Leave it out, "
    "wait, and read again: gone then, put it back and see it come back; out again, it must go.",
    "out": "the draw went with it out. Put it back and see it come back; out again, it must go.",
    "back": "the draw went with it out, and came back with it in. Once more out, and it must go again.",
    "stayed away": "the draw went with it out, and did not come back by putting it in alone. Once more out while it is "
    "there: it must go again.",
}
"""What is left of out, in and out again."""


_CABLE_OFF_ONCE = (
    "a clamp on its cable shows the draw; with the cable off once, the draw is gone. That is enough. Not clamped, it "
    "has to come back with the cable: the ground lead off for it resets what only hung."
)
_CABLE_BACK = (
    "the draw went with its cable off. Put the cable back, ground lead on last, and see the draw come back: a clamp on "
    "the cable then shows it. That is enough. The ground lead off resets what only hung, so gone once may be that."
)
"""A cable without a fuse is not taken off again and again."""


def care_at_proof(platform: Platform, diagnosis: Diagnosis, part: str, width: int) -> list[str]:
    return caution_lines(proof_cautions(platform, diagnosis, part), width)


def proof_cautions(platform: Platform, diagnosis: Diagnosis, part: str) -> tuple[Told, ...]:
    """What to take care of when a part is proven. What is on no sheet is taken off where it is fed: what holds for that
    part holds for it, too."""
    faults = next((its.faults for its in diagnosis.parts if its.part == part), ()) if part not in platform.parts else ()
    parts = (part, *dict.fromkeys(f.place for f in faults if f.kind == "added" and f.place))
    step = "prove" if any(f.kind == "added" and f.about == f.part for f in faults) else proof_step(platform, part)
    if isinstance(platform.parts.get(part), Switch) and _leads_by_opening(diagnosis, part):
        step = "bridge"
    its = next((its.faults for its in diagnosis.parts if its.part == part), ())
    if isinstance(platform.parts.get(part), Switch) and not was_shown(platform, diagnosis, part):
        by_volts = any(one.switch == part for one in diagnosis.contacts)
        measured = cautions_at(platform, "drop-test" if by_volts else "wire-ohms")
        told = cautions_at(platform, step, parts, switched=all_switched(diagnosis.switching, parts))
        return (*told, *(one for one in measured if one not in told))
    # Of a relay whatever its contact feeds may flow; of anything else what the answer says that it runs.
    row = row_of_answer(diagnosis) if not isinstance(platform.parts.get(part), Relay) else None
    running = [fault for fault in row.faults[0] if fault.part == part] if row is not None else []
    fuses = {
        fuse
        for fault in running or its
        for fuse in fuses_first(platform, diagnosis.hands_off, fault, diagnosis.netted.readings)
    }
    switched = all_switched(diagnosis.switching, parts)
    if faults:  # freed, or taken off, it stops what flows by it, and back it starts again
        loads = (name for name in sorted(faults[0].owners) if isinstance(platform.parts.get(name), Load))
        switched |= dict.fromkeys(loads, True)
    first = f"{joined(sorted(fuses))} out" if fuses else ""
    told = cautions_at(platform, step, parts, first, switched, diagnosis.fed_from)
    told += (*backwards_cautions(platform, diagnosis, parts), *lets_go(platform, diagnosis, parts))
    if is_measured_first(platform, diagnosis, part) or _is_pulled_unmeasured(platform, diagnosis, part):
        told += tuple(one for one in cautions_at(platform, "relay-volts", (part,)) if one not in told)
    return told


def _contact_words(diagnosis: Diagnosis, part: str, off: str) -> str:
    """How volts, or ohms where volts say nothing, tell whether a contact opens (common practice, no source)."""
    its = next((one for one in diagnosis.contacts if one.switch == part), None)
    if its is None:
        return f"unplug it, and ohms across its contact at {off}: near 0 ohms say that it does not open."
    at = f"volts to ground at {joined(list(its.probes))}, with it at {off}:"
    if len(its.probes) > 1:
        at += " at any of them"
    if its.closed and its.brings == "ground":
        return f"{at} near 0 V say that its contact is closed, as it should be there; any more, that it is open."
    if its.closed:
        return f"{at} battery volts say that its contact is closed, as it should be there; none, that it is open."
    if its.brings == "ground":
        return (
            f"{at} near 0 V say that it does not open, battery volts that it is open. Unplug it: near 0 V still, and "
            "its wire is on ground, or nothing holds it up."
        )
    return (
        f"{at} battery volts say that it does not open, no volts that it is open. Unplug it: battery volts still, and "
        "its wire is on plus."
    )


def _only_joins(diagnosis: Diagnosis, part: str) -> bool:
    """Whether what is likeliest wrong with a part is that it lets current from one battery into another, and nothing
    else."""
    brings = next((its.faults[0].brings for its in diagnosis.parts if its.part == part), ())
    return bool(brings) and all(flow.joins_batteries for flow in brings)


def _goes_on_words(diagnosis: Diagnosis) -> str:
    """Whether anything else draws beside what only goes from one battery into another."""
    its = diagnosis.together
    if its is None:
        return "Whether anything draws besides is known once each battery was read."
    if its.too_much:
        return "The draw itself goes on: what takes it is found and mended besides."
    return (
        f"Nothing is to be found besides: together the batteries give {ampere(its.together)}, no more than the sheets "
        f"give ({ampere(its.own)})."
    )


def _leads_by_opening(diagnosis: Diagnosis, part: str) -> bool:
    """Whether what is likeliest wrong with a switch is that it is open: then it is as open when it is out."""
    return any(bool(chance.faults[0].by_opening) for chance in diagnosis.parts if chance.part == part)


def _proof(platform: Platform, diagnosis: Diagnosis, part: str) -> str:
    """Out, in, out, in words that fit a switch, a part, a wire, or what somebody fitted."""
    its, turn = platform.parts.get(part), _turn(platform, diagnosis, part)
    if isinstance(its, Switch) and _leads_by_opening(diagnosis, part):
        return (
            f"its plug parted and {contact_words(platform, part)} bridged in the half with the wires, the draw is "
            f"gone; the bridge out, it comes back; bridged again it is gone (tested {part} bad). Bridged for nothing: "
            "its wire is what remains."
        )
    if isinstance(its, Switch) and its.positions:
        off = its.positions[0]
        opens = _contact_words(diagnosis, part, off)
        if turn:
            stands = "" if diagnosis.positions.get(part) == off else f" Is it really at {off}?"
            return f"{_STILL_TO_DO[turn]}{stands} Then {opens}"
        if diagnosis.positions.get(part) == off:
            return f"it stands at {off} by what was seen, so {opens}"
        return (
            f"is it really at {off}? There the draw must go, with it on come back, and go again. If it makes no "
            f"difference, {opens}"
        )
    if its is not None and its.kind in UNFUSED_KINDS:
        return _CABLE_BACK if turn == "out" else _CABLE_OFF_ONCE
    if _only_joins(diagnosis, part):
        return (
            "it only joins the batteries, and takes nothing itself: with it out one of them gives less and another as "
            f"much more, with it back both are as before, out again the same. {_goes_on_words(diagnosis)}"
        )
    held = holding_fault(diagnosis, part)
    if held is not None:
        return hold_proof(held)
    if turn:
        return _STILL_TO_DO[turn]
    if part in platform.parts:
        draw = "its share of the draw" if is_two(diagnosis) and diagnosis.settled is None else "the draw"
        return f"with it out {draw} is gone, with it back it comes back, out again it is gone."
    likeliest = next((its.faults[0] for its in diagnosis.parts if its.part == part), None)
    return proof_words(platform, likeliest) if likeliest is not None else TAKEN_OFF

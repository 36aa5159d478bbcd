"""What lets go for good once it is parted: a relay that holds itself over a contact that sticks. Taken out for a moment
the draw is gone, and stays away until it is used again, so that shows nothing and loses what there is to measure."""

from collections.abc import Collection

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.words.cautions import Told
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Relay
from circuitmap.wiring.platform import Platform

MAY_BE_HELD = 0.05
"""From this probability on of what lets a relay hold itself nobody parts it unwarned (judgement)."""


def lets_go(platform: Platform, diagnosis: Diagnosis, out: Collection[str]) -> tuple[Told, ...]:
    """The warning at whatever parts the hold, where a fault that is likely enough makes one."""
    parted = [one for one in _held(diagnosis) if any(not flow.way.through.isdisjoint(out) for flow in one.brings)]
    relays = sorted({relay for one in parted for relay in one.holds})
    if not relays:
        return ()
    measured = joined(sorted({*relays, *(one.part for one in parted if isinstance(platform.parts[one.part], Relay))}))
    goes = f"{joined(relays)} may let go with it out, and nothing draws then until it is used again"
    says = f"It may not come back: {goes}. First the volts of {measured}, coil and contact, all in, written down."
    return (Told("lets-go", says),)


def holding_fault(diagnosis: Diagnosis, part: str) -> Fault | None:
    """The fault by which this part, if that is what leads of it, lets another one hold itself."""
    faults = next((chance.faults for chance in diagnosis.parts if chance.part == part), ())
    return faults[0] if faults and faults[0].holds else None


def _held(diagnosis: Diagnosis) -> list[Fault]:
    likely = (one for one in diagnosis.parts if one.probability >= MAY_BE_HELD)
    return [fault for one in likely for fault in one.faults if fault.holds]


def use_again_words(fault: Fault) -> str:
    """How what a part lets go is brought back."""
    return f"use it once as its owner does, so that {joined(list(fault.holds))} pulls in, lock, let it sleep, and read"


def hold_proof(fault: Fault) -> str:
    """In and out prove nothing of what any break of the hold ends: the part by itself does (common practice, no
    source)."""
    relays, part = joined(list(fault.holds)), fault.part
    return (
        f"out and in prove nothing here, because {relays} holds itself and lets go for good with anything on its way. "
        f"Volts first, all in: none at the coil of {part}, its contact closed. Then {part} out, and by itself, nothing "
        f"on its coil: ohms over its contact (tested {part} bad if it is closed). Then, mended, "
        f"{use_again_words(fault)}: it must stay quiet."
    )

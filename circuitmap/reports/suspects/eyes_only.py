"""What may still be done where something is hands-off: eyes, and what its own user switches off or unplugs."""

from collections.abc import Iterable

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.leading import may_be_tried
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import HandsOff

NO_USER: tuple[HandsOff, ...] = ("restraint", "sealed")
"""Why something is hands-off that nobody switches on or plugs anything into."""

ASK_ITS_USER = (
    "Ask its user what is switched on or plugged in there. The user may use the switch and the plug used every day, "
    "and no more; no connector of the vehicle is parted."
)


def with_hands(diagnosis: Diagnosis, faults: Iterable[Fault]) -> list[Fault]:
    """Of these faults those at which somebody may put a hand."""
    return [fault for fault in faults if may_be_tried(diagnosis, fault.part)]


def eyes_only_at(diagnosis: Diagnosis, faults: Iterable[Fault]) -> tuple[str, ...]:
    """Where of these faults nothing is touched, by the names of the platform where it has one."""
    left = [fault for fault in faults if not may_be_tried(diagnosis, fault.part)]
    known = diagnosis.hands_off.platform.parts
    return tuple(dict.fromkeys(fault.part if fault.part in known else fault.place or fault.part for fault in left))


def eyes_only_sentence(diagnosis: Diagnosis, faults: Iterable[Fault]) -> str:
    """That a look at these faults stays a look; empty where all of them may be touched."""
    places = eyes_only_at(diagnosis, faults)
    if not places:
        return ""
    whys = [its.reason.why for name in places if (its := diagnosis.hands_off.why_not(name)) is not None]
    ask = f" {ASK_ITS_USER}" if any(why not in NO_USER for why in whys) else ""
    return f"Eyes only at {joined(list(places))}: hands-off, so nothing is touched, moved or opened there.{ask}"


def is_by_its_plug(diagnosis: Diagnosis, part: str) -> bool:
    """Whether a part is on no sheet and is fed by what is hands-off: its user may switch it off and unplug it, and
    nothing else is done to it."""
    faults = next((its.faults for its in diagnosis.parts if its.part == part), ())
    on_no_sheet = bool(faults) and all(fault.kind == "added" and fault.about == part for fault in faults)
    return on_no_sheet and part not in diagnosis.hands_off.platform.parts and not may_be_tried(diagnosis, part)

"""Quick tests with the hands and eyes that fit what a look is for: nothing is unplugged, little is written down."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.looking import burns
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.reports.suspects.eyes_only import eyes_only_sentence, with_hands
from circuitmap.reports.suspects.fault_kind_words import SHUT
from circuitmap.reports.words.cautions import Told, cautions_at
from circuitmap.wiring.care import care_of
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

MOST = 2
WIGGLE = "Wiggle its wires along the run with an eye on the clamp: where the current jumps is the place."
CAMERA = "Nobody sees into a shut room: leave a telephone filming inside, shut and locked."
BY_A_CRACK = (
    "Leave it shut, for opening it lights the lamp: look in by a crack, or leave a telephone filming inside, shut and "
    "locked (common practice, no source)."
)
WARMTH = "By infrared, or the back of a hand: what draws is warmer than its like."
TRAILER = "Unplug the trailer first: what goes with it is on the trailer."


def wiggle_cautions(platform: Platform, diagnosis: Diagnosis, test: PlannedTest) -> tuple[Told, ...]:
    """What to take care of where a wire that may be rubbed through is moved while it is live."""
    told = test.action.doing == "look" and WIGGLE in quick_tests(platform, diagnosis, test)
    return cautions_at(platform, "wiggle") if told else ()


def quick_tests(platform: Platform, diagnosis: Diagnosis, test: PlannedTest) -> list[str]:
    """What else is quickly done while looking round, the most fitting first (practice, no source). Where something is
    hands-off, eyes are all."""
    found = []
    look_for = with_hands(diagnosis, test.look_for)
    kinds = {fault.kind for fault in look_for}
    names = {name for fault in look_for for name in (fault.part, *fault.owners)}
    if any("tows" in care_of(platform.parts[name]) for name in names if name in platform.parts):
        found.append(TRAILER)
    if kinds & {"chafed", "coil"}:
        found.append(WIGGLE)
    if "lamp" in kinds and any(_opens_a_room(platform, fault) for fault in look_for):
        found.append(CAMERA)
    if kinds & {"by-itself", "unfused"}:
        found.append(WARMTH)
    eyes_only = eyes_only_sentence(diagnosis, test.look_for)
    return [eyes_only, *found[:MOST]] if eyes_only else found[:MOST]


def at_a_shut_room(platform: Platform, diagnosis: Diagnosis, lamp: str) -> str:
    """How to see a lamp that burns by the switch of a lid or a door of its own, which nobody may open for it; empty
    where no such switch is supposed."""
    switched = (fault for fault in diagnosis.faults if fault.kind == "lamp" and lamp in burns(fault, platform))
    return BY_A_CRACK if any(_opens_a_room(platform, fault) for fault in switched) else ""


def _opens_a_room(platform: Platform, fault: Fault) -> bool:
    switch = platform.parts.get(fault.part)
    return isinstance(switch, Switch) and bool(switch.positions[:1]) and switch.positions[0] in SHUT

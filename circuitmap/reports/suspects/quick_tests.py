"""Quick tests with the hands and eyes that fit what a look is for: nothing is unplugged, little is written down."""

from circuitmap.diagnosis.diagnosis import Diagnosis
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
    switches = [part for fault in look_for if isinstance(part := platform.parts.get(fault.part), Switch)]
    if "lamp" in kinds and any(switch.positions[:1] and switch.positions[0] in SHUT for switch in switches):
        found.append(CAMERA)
    if kinds & {"by-itself", "unfused"}:
        found.append(WARMTH)
    eyes_only = eyes_only_sentence(diagnosis, test.look_for)
    return [eyes_only, *found[:MOST]] if eyes_only else found[:MOST]

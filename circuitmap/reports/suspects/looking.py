"""What to look for at this car, and what that proves (common practice, no source): of what is suspected what shows
without any tool."""

from collections.abc import Iterable

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Relay, Switch
from circuitmap.wiring.platform import Platform

PROVES = "A warm load or a burning lamp shows where the current goes, not yet why."


def look_words(platform: Platform, faults: Iterable[Fault]) -> str:
    """`DOME burning; ...`, the likeliest to be seen first; empty where nothing would show."""
    return "; ".join(dict.fromkeys(words for fault in faults if (words := _sign_of(platform, fault))))


def _sign_of(platform: Platform, fault: Fault) -> str:
    name = short_part_words(platform, fault.part)
    match fault.kind:
        case "lamp":
            burning = joined([short_part_words(platform, other) for other in fault.others]) or name
            return f"{burning} burning, {name} not pressed home"
        case "contact":
            part = platform.parts.get(fault.part)
            if isinstance(part, Relay):
                return f"{name} scorched or misshapen (look, don't tap: that may free it and hide the fault)"
            if isinstance(part, Switch):
                return f"{name} not at {part.positions[0]}" if part.positions else f"{name} not off"
            return ""  # what it feeds runs whoever turns it on
        case "coil":
            return f"the control wire of {fault.contact} rubbed or pinched, along its run"
        case "added":
            if fault.about == fault.part:
                return f"{name}, which was fitted to this car"
            return f"anything fitted at {short_part_words(platform, fault.about)} that is on no sheet"
        case "chafed":
            return f"{name} rubbed, pinched or wet"
        case "by-itself":
            return f"{name} warm or humming, its plug wet"
        case "unfused":
            return f"{name} warm, hours after it last ran"
        case "wrong-input":
            return f"{name}, and whether what it watches is really shut or off"
    return ""

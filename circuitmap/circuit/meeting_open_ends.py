"""Whether a wire that leads off the drawn sheets may be the one that a hands-off thing is fed by."""

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.wiring.parts import Load, OpenEnd
from circuitmap.wiring.platform import Platform


def may_meet(platform: Platform, goes_on: OpenEnd, comes: OpenEnd, fed: Untouchable) -> bool:
    """`fed` is what hangs on the end `comes`.

    Two sheets seldom call one wire the same, so ends with different words may meet, unless the sheets that they name
    say otherwise. Not so at an inlet, or what it passes on to, at a high voltage: what feeds that is no wire
    of the vehicle's own supply unless the text says so, by the sheets that they name or by the same words. A thing that
    takes current itself may be fed from both.
    """
    known = platform.sheets
    to = {sheet for sheet in known if sheet in goes_on.description}
    back = {sheet for sheet in known if sheet in comes.description}
    if to and comes.sheets and not to & set(comes.sheets):
        return False
    if back and goes_on.sheets and not back & set(goes_on.sheets):
        return False
    if fed.reason.why != "high-voltage" or isinstance(platform.parts.get(fed.of), Load):
        return True
    if to & set(comes.sheets) or back & set(goes_on.sheets):
        return True
    return bool(_words(goes_on)) and _words(goes_on) == _words(comes)


def _words(end: OpenEnd) -> str:
    return " ".join(end.description.casefold().split())

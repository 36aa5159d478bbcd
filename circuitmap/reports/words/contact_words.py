"""The contact of a switch by its pins."""

from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def contact_words(platform: Platform, name: str) -> str:
    """The pins of the contact that is closed while the vehicle is parked: `1 and 2`, or `1 to ground`."""
    switch = platform.parts[name]
    assert isinstance(switch, Switch)
    parked = switch.positions[0] if switch.positions else ""
    closed = next((one for one in switch.contacts if parked in one.closed_in), None)
    if closed is None:
        return "its contact"
    return f"{closed.pin_a} to ground" if closed.pin_b == "case" else f"{closed.pin_a} and {closed.pin_b}"

"""What must come to the inputs that an output hangs on, in the words that answers use for it."""

from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Output, Platform


def inputs_said(platform: Platform, output: Output) -> str:
    """`plus at BCM.B7`; of several inputs only which: `U3.15 and U3.UI, not U3.DI`."""
    pins = [f"{output.module}.{pin}" for pin in output.inputs]
    without = [f"{output.module}.{pin}" for pin in output.without]
    if len(pins) + len(without) > 1:
        told = [" and ".join(pins)] if pins else []
        return ", ".join([*told, f"not {' or '.join(without)}"] if without else told)
    part = platform.parts.get(output.module)
    told = [f"{_what(part, pin)} at {output.module}.{pin}" for pin in output.inputs]
    return "".join([*told, *(f"not {_what(part, pin)} at {output.module}.{pin}" for pin in output.without)])


def _what(part: object, pin: str) -> str:
    if not isinstance(part, Load):
        return "plus"
    by = part.wakes_by.get(pin, "what wakes" if part.roles.get(pin) == "wake" else "plus")
    return "no ground" if by == "opening" else by

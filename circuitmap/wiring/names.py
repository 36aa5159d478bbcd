"""Names as people type them at a command: any unique tail of the full name will do."""

from collections.abc import Iterable

from circuitmap.failures import WrongUse
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.parts import OpenEnd, Terminal
from circuitmap.wiring.platform import Platform

_MOST_LISTED = 12


def find_part(platform: Platform, text: str) -> str:
    """The full name of a part from its whole name or a tail of it, `F22` for `CAB.F22`; upper and lower case may
    differ if that leaves only one.

    Raises WrongUse for a tail of several parts, listing them, and for a name that is not there.
    """
    return find_name(platform.parts, text, "part")


def find_name(names: Iterable[str], text: str, noun: str) -> str:
    """`text` made whole from `names`; `noun` says in the message what was looked for."""
    known = list(names)
    if text in known:
        return text
    for tail, wanted in (("." + text, str), ("." + text.casefold(), str.casefold)):
        found = [name for name in known if wanted(name).endswith(tail) or wanted(name) == tail[1:]]
        if len(found) == 1:
            return found[0]
        if found:
            raise WrongUse(f"{text} is not one {noun}: which of these?", _listed(found))
    near = _near([name for name in known if not name.startswith("?")], text)
    raise WrongUse(f"There is no {noun} {text}.", f"Did you mean {near}?" if near else "")


def as_declared(text: str, names: Iterable[str]) -> str:
    """`text` as one of `names` is written, when only upper and lower case differ and only one of them fits."""
    known = tuple(dict.fromkeys(names))
    found = [name for name in known if name.casefold() == text.casefold()]
    return found[0] if text not in known and len(found) == 1 else text


def find_terminal(platform: Platform, text: str) -> Terminal:
    """A pin, cavity (its arriving half), splice or post from `HEATER.A1` or a unique tail of its name.

    Raises WrongUse when the part is not found, or has no such pin.
    """
    levels = text.split(".")
    failure: WrongUse | None = None
    for count in range(len(levels), 0, -1):
        try:
            part = find_part(platform, ".".join(levels[:count]))
        except WrongUse as why:
            failure = failure or why
            continue
        pin = ".".join(levels[count:])
        known = terminals_of_part(platform, part)
        found = [terminal for terminal in known if terminal.pin == pin]
        if found:
            return found[0]
        if not pin and len(known) == 1:
            return known[0]
        pins = ", ".join(str(terminal) for terminal in known[:_MOST_LISTED])
        if not pin:
            raise WrongUse(f"Which terminal of {part}?", pins)
        raise WrongUse(f"{part} has no terminal {pin} that a wire is typed in for.", pins)
    assert failure is not None
    raise failure


def terminals_of_part(platform: Platform, part: str) -> tuple[Terminal, ...]:
    """The terminals of a part at which something was typed in, in order."""
    found = {
        terminal for wire in platform.wires_at.get(part, ()) for terminal in (wire.a, wire.b) if terminal.part == part
    }
    its = platform.parts[part]
    for pin in getattr(its, "roles", ()):
        found.add(Terminal(part, pin))
    return tuple(sorted(found))


def pointable(platform: Platform) -> tuple[str, ...]:
    """Names that make sense after a command: all but the open ends."""
    return tuple(name for name, part in platform.parts.items() if not isinstance(part, OpenEnd))


def _near(known: list[str], text: str) -> str:
    near = NearNames(known).near(text)
    if near:
        return near
    tails: dict[str, list[str]] = {}
    for name in known:
        tails.setdefault(name.rpartition(".")[2], []).append(name)
    tail = NearNames(tails).near(text)
    return " or ".join(tails[tail]) if tail and len(tails[tail]) <= 3 else ""


def _listed(names: list[str]) -> str:
    listed = ", ".join(sorted(names)[:_MOST_LISTED])
    more = len(names) - _MOST_LISTED
    return f"{listed} and {more} more" if more > 0 else listed

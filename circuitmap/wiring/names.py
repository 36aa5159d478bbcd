"""Names as people type them at a command: any unique tail of the full name will do."""

from collections.abc import Iterable, Iterator

from circuitmap.failures import WrongUse
from circuitmap.notation.names import DEEPEST_NAME, LONGEST_NAME
from circuitmap.wiring.known_names import KnownNames
from circuitmap.wiring.parts import Terminal, is_unnamed
from circuitmap.wiring.pins import pin_as_known
from circuitmap.wiring.platform import Platform

_MOST_LISTED = 12
_SHOWN_OF_LONG = 40


def find_part(platform: Platform, text: str) -> str:
    """The full name of a part from its whole name or a tail of it, `F22` for `CAB.F22`; upper and lower case may
    differ if that leaves only one.

    Raises WrongUse for a tail of several parts, listing them, and for a name that is not there.
    """
    return find_name(platform.part_names, text, "part")


def find_name(names: KnownNames | Iterable[str], text: str, noun: str) -> str:
    """`text` completed from `names`; `noun` is what the message calls the thing looked for."""
    known = names if isinstance(names, KnownNames) else KnownNames(names)
    if text in known:
        return text
    for found in (known.having_tail(text), known.having_tail_in_any_case(text)):
        if len(found) == 1:
            return found[0]
        if found:
            raise WrongUse(f"{text} is not one {noun}: which of these?", _listed(found))
    near = _near(known, text)
    raise WrongUse(f"There is no {noun} {cut_short(text)}.", f"Did you mean {near}?" if near else "")


def cut_short(text: str) -> str:
    """Shortens a text given as a name, for a message: anything longer than a name can be is cut off."""
    if len(text) <= LONGEST_NAME:
        return text
    return f"{text[:_SHOWN_OF_LONG]}... ({len(text):,} characters; a name has at most {LONGEST_NAME})"


def as_declared(text: str, names: Iterable[str]) -> str:
    """`text` as one of `names` is written, when only upper and lower case differ and only one of them fits."""
    known = tuple(dict.fromkeys(names))
    found = [name for name in known if name.casefold() == text.casefold()]
    return found[0] if text not in known and len(found) == 1 else text


def find_terminal(platform: Platform, text: str) -> Terminal:
    """A pin, cavity (its arriving half), splice or post from `HEATER.A1` or a unique tail of its name.

    Raises WrongUse when the part is not found, or has no such pin.
    """
    failure: WrongUse | None = None
    for owner, pin in owners_in(text):
        try:
            part = find_part(platform, owner)
        except WrongUse as why:
            failure = failure or why
            continue
        known = terminals_of_part(platform, part)
        meant = pin_as_known(pin, (terminal.pin for terminal in known))
        found = [terminal for terminal in known if terminal.pin == meant]
        if found:
            return found[0]
        if not pin and len(known) == 1:
            return known[0]
        pins = _terminals_to_choose(platform, part, known)
        if not pin:
            raise WrongUse(f"Which terminal of {part}?", pins)
        raise WrongUse(f"{part} has no terminal {pin} that a wire is typed in for.", pins)
    assert failure is not None
    raise failure


def owners_in(text: str) -> Iterator[tuple[str, str]]:
    """Each way to cut a written name into the name of a part and of something belonging to it (a pin, a plug, a post),
    the longest part name first. A name with more levels than two names can have is left whole: it is neither."""
    yield text, ""
    levels = text.split(".")
    if len(levels) <= 2 * DEEPEST_NAME:
        for count in range(len(levels) - 1, 0, -1):
            yield ".".join(levels[:count]), ".".join(levels[count:])


def terminals_of_part(platform: Platform, part: str) -> tuple[Terminal, ...]:
    """The terminals of a part at which something was typed in, in order."""
    found = {
        terminal for wire in platform.wires_at.get(part, ()) for terminal in (wire.a, wire.b) if terminal.part == part
    }
    its = platform.parts[part]
    for pin in getattr(its, "roles", ()):
        found.add(Terminal(part, pin))
    return tuple(sorted(found))


def _terminals_to_choose(platform: Platform, part: str, known: Iterable[Terminal]) -> str:
    """The terminals that have a name, and where to ask for those that have none: at what feeds them."""
    named = ", ".join([str(terminal) for terminal in known if not is_unnamed(terminal.pin)][:_MOST_LISTED])
    wires = platform.wires_at.get(part, ())
    feeders = dict.fromkeys(wire.a.part for wire in wires if wire.b.part == part and is_unnamed(wire.b.pin))
    if not feeders:
        return named
    its = "pin" if len(feeders) == 1 else "pins"
    at = f"Nobody named the {its} of {part} that the chart feeds by {_listed(tuple(feeders))}: ask there."
    return f"{named}. {at}" if named else at


def _near(known: KnownNames, text: str) -> str:
    near = known.near.near(text)
    if near:
        return near
    tail = known.near_tails.near(text)
    meant = known.by_last_level[tail] if tail else []
    return " or ".join(meant) if len(meant) <= 3 else ""


def _listed(names: tuple[str, ...]) -> str:
    listed = ", ".join(sorted(names)[:_MOST_LISTED])
    more = len(names) - _MOST_LISTED
    return f"{listed} and {more} more" if more > 0 else listed

"""What is itself hands-off: because it was typed so, or by its box or sheet, or by its words.

What follows from that for the wiring around it is found in the circuit.
"""

import re
from collections.abc import Mapping
from typing import Literal, NamedTuple

from circuitmap.wiring.parts import Box, HandsOff, OpenEnd, Part
from circuitmap.wiring.platform import Platform, Wire


class HandsOffReason(NamedTuple):
    """Why something may not be touched, and how that is known: it was `typed`, its `words` say so, or they may
    (`doubt`: it counts as hands-off until somebody says what it is). `words` are those words, or the name of the box
    or sheet that says so."""

    why: HandsOff
    known_by: Literal["typed", "words", "doubt"]
    words: str = ""


class HandsOffThings(NamedTuple):
    """What is itself hands-off, by its name; wires by their number in the platform."""

    parts: Mapping[str, HandsOffReason]
    networks: Mapping[str, HandsOffReason]
    stars: Mapping[str, HandsOffReason]
    wires: Mapping[int, HandsOffReason]


def hands_off_things(platform: Platform) -> HandsOffThings:
    """Everything that is itself hands-off. What somebody called `not hands-off` is not, whatever its words, box or
    sheet say."""
    sheets = _sheets(platform)
    parts: dict[str, HandsOffReason] = {}
    for part in platform.parts.values():
        reason = _of_part(platform, part, sheets)
        if reason is not None:
            parts[part.name] = reason
    networks = {
        network.name: reason
        for network in platform.networks.values()
        if (reason := _said_or_looks(network.hands_off, network.name, network.description)) is not None
    }
    stars = {
        star.name: reason
        for star in platform.stars.values()
        if (reason := _said_or_looks(star.hands_off, star.name)) is not None
    }
    wires = {
        number: reason for number, wire in enumerate(platform.wires) if (reason := _of_wire(wire, sheets)) is not None
    }
    return HandsOffThings(parts, networks, stars, wires)


def _sheets(platform: Platform) -> dict[str, HandsOffReason]:
    """The sheets of hands-off systems. Parts on a sheet that was typed as hands-off already carry that themselves."""
    found = {}
    for sheet in platform.sheets.values():
        # A title that lists several systems does not make the others hands-off.
        pieces = [piece for piece in _LISTED.split(sheet.title) if piece.strip()]
        looks = [_said_or_looks(sheet.hands_off, piece) for piece in pieces or [""]]
        reason = looks[0]
        if reason is not None and all(looks):
            found[sheet.name] = reason._replace(words=f"sheet {sheet.name}")
    return found


_LISTED = re.compile(r",|;|/|&|\band\b")


def _said_or_looks(said: HandsOff, *texts: str) -> HandsOffReason | None:
    if said == "not":
        return None
    if said:
        return HandsOffReason(said, "typed")
    from circuitmap.wiring.hands_off_words import look_of  # they are many, and not needed where they were looked at

    look = look_of(*texts)
    return HandsOffReason(look.why, "doubt" if look.doubtful else "words", look.words) if look is not None else None


def _of_part(platform: Platform, part: Part, sheets: Mapping[str, HandsOffReason]) -> HandsOffReason | None:
    if part.hands_off:
        return _said_or_looks(part.hands_off)
    box = platform.box_of(part.name)
    if box is not None and box.hands_off not in ("", "not"):
        return HandsOffReason(box.hands_off, "typed", box.name)
    name = "" if isinstance(part, OpenEnd | Box) else part.name
    own = _said_or_looks("", name, part.description)
    if own is not None:
        return own
    if isinstance(part, OpenEnd):
        leads_to = next((sheet for sheet in sheets if sheet and sheet in part.description), "")
        if leads_to:
            return sheets[leads_to]
    return _of_all_its_sheets(part.sheets, sheets)


def _of_wire(wire: Wire, sheets: Mapping[str, HandsOffReason]) -> HandsOffReason | None:
    if wire.hands_off:
        return _said_or_looks(wire.hands_off)
    return _of_all_its_sheets(wire.sheets, sheets)


def _of_all_its_sheets(names: tuple[str, ...], sheets: Mapping[str, HandsOffReason]) -> HandsOffReason | None:
    if names and all(name in sheets for name in names):
        return sheets[names[0]]
    return None

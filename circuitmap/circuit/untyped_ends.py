"""Where sheets leave open what a terminal is joined to: what may be live there, or grounded, as far as is typed in."""

from collections.abc import Iterable, Mapping

from circuitmap.circuit.inside import WiredPins
from circuitmap.circuit.link import Link, LoadPins
from circuitmap.wiring.parts import Joint, OpenEnd, Terminal, Undeclared
from circuitmap.wiring.platform import Platform


def _pieces(joint: Joint, wired: WiredPins) -> Iterable[WiredPins]:
    """The wires at each piece of metal of a joint: all wires, or those of one cavity of a connector."""
    if joint.kind != "connector":
        return (wired,)
    cavities: dict[str, WiredPins] = {}
    for terminal in wired.all:
        piece = cavities.setdefault(terminal.pin, WiredPins())
        if terminal in wired.arriving:
            piece.arriving[terminal] = None
        if terminal in wired.leaving:
            piece.leaving[terminal] = None
        piece.wires[terminal] = wired.wires[terminal]
        if terminal in wired.against:
            piece.against[terminal] = wired.against[terminal]
    return cavities.values()


def untyped_ends(
    platform: Platform, links: Iterable[Link], loads: Mapping[str, LoadPins], wired: Mapping[str, WiredPins]
) -> tuple[set[Terminal], dict[Terminal, bool], set[Terminal]]:
    """Terminals that may be live and those that may be grounded, as far as is typed in; and joints that wires only
    leave.

    Of those that may be grounded the value is true for a sure ground pin, false where it may be anything but a supply.
    """
    supplies: set[Terminal] = set()
    loose: set[Terminal] = set()
    grounds: dict[Terminal, bool] = {}
    joined: set[Terminal] = set()
    for link in links:
        if link.kind in ("wire", "copper", "chart", "joint", "body"):
            joined.update((link.a, link.b))
    # What a switch inside a load leads on to, from a wire, is a pin of the load, which has no wire itself.
    own = {pin for pins in loads.values() for pin in (*pins.supplies, *pins.grounds)}
    inside = [link for link in links if link.kind == "contact" and link.a.part != link.part]
    joined.update([end for link in inside for end in (link.a, link.b) if end in own and link.other(end) in joined])
    for link in links:
        if link.kind in ("fuse", "link", "breaker", "contact", "diode", "resistor"):
            if link.a not in joined and link.b in joined:
                supplies.add(link.a)
                if link.contact:
                    grounds.setdefault(link.a, False)
            elif link.b not in joined and link.a in joined and link.contact:
                grounds.setdefault(link.b, False)
        elif link.kind == "output" and link.output and link.output.action == "feeds" and link.a not in joined:
            supplies.add(link.a)
    for pins in loads.values():
        supplies.update(pin for pin in pins.supplies if pin not in joined)
        grounds.update((pin, True) for pin in pins.grounds if pin not in joined)
    for link in links:
        if link.kind == "coil":
            for pin in (link.a, link.b):
                if pin not in joined:
                    supplies.add(pin)
                    grounds[pin] = True
    for name, its in wired.items():
        part = platform.parts.get(name)
        if isinstance(part, Joint):
            for pieces in _pieces(part, its):
                # Only the wires on one side of it are typed in: its feed, or what it leads on to, is not.
                turned, wires = sum(pieces.against.values()), sum(pieces.wires.values())
                if (pieces.arriving and pieces.leaving) or 0 < turned < wires:
                    continue
                if bool(pieces.arriving) == (turned > 0):
                    loose.update(pieces.all)
                else:
                    grounds.update((end, False) for end in pieces.all)
        elif isinstance(part, OpenEnd):
            if part.from_supply:
                supplies.update(its.all)
            else:
                grounds.update((end, False) for end in its.all)
        elif part is None or isinstance(part, Undeclared):
            supplies.update(its.leaving)
            grounds.update((end, False) for end in its.arriving)
    return supplies, grounds, loose

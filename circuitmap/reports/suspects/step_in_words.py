"""What is done in a step, in the trade's words, with where it is done."""

from collections.abc import Sequence
from typing import assert_never

from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.reports.suspects.fault_words import network_words
from circuitmap.reports.suspects.post_words import post_words
from circuitmap.reports.words.contact_words import contact_words
from circuitmap.reports.words.paragraphs import in_rows, joined
from circuitmap.reports.words.part_words import in_full, rating
from circuitmap.wiring.parts import UNFUSED_KINDS, Fuse, Load, Relay
from circuitmap.wiring.platform import Platform


def action_words(platform: Platform, action: Action) -> str:
    """What to do, as an instruction."""
    parts = action.parts
    match action.doing:
        case "look":
            return "Look round, no tool."
        case "look-at":
            return f"Look at {in_full(platform, parts[0])}: does it burn?"
        case "follow":
            return f"Follow the wire behind {parts[0]}{at_box(platform, parts[0])}, as far as it goes, no tool."
        case "at-the-post":
            return post_words(platform, parts)
        case "read-fuse":
            fuse = platform.parts[parts[0]]
            said = [word for word in (rating(fuse), fuse.description) if word] if isinstance(fuse, Fuse) else []
            size = f" ({', '.join(said)})" if said else ""
            return f"Read {parts[0]}{size}{at_box(platform, parts[0])}: millivolts across it, nothing pulled."
        case "read-box":
            box = platform.box_of(parts[0])
            assert box is not None
            # A row goes over no fuse that is left out: it may be one that nobody may touch.
            row = f"{len(parts)} fuses, {in_rows(part.removeprefix(f'{box.name}.') for part in parts)}"
            return f"Read the rest of {in_full(platform, box.name)}: millivolts across {row}, nothing pulled."
        case "read-again":
            return f"Read {parts[0]} again{at_box(platform, parts[0])}, leads or clamp zeroed before."
        case "zero-again":
            return f"Zero the clamp, away from every cable, and read {joined(parts)} again."
        case "leads-again":
            return f"Hold the leads together: what shows is their zero. Zero them, and read {joined(parts)} again."
        case "finer-clamp":
            with_it = "with a finer clamp (a low-current clamp, to 1 mA)"
            return f"Read {joined(parts)} again {with_it}: one step of this one is about all that may flow."
        case "clamp":
            return f"Clamp {_feeder(platform, parts[0])}."
        case "network-line":
            its = "the one line" if platform.networks[parts[0]].kind == "lin" else "the lines"
            return f"Measure {its} of {network_words(platform, parts[0])} to ground, at rest, no scan tool."
        case "inputs":
            return "Live data, key on: what do the modules believe of latches, hood, park, brake and key?"
        case "input-volts":
            pin, owner = parts[0], parts[0].rpartition(".")[0]
            return f"Volts to ground at {pin}, from behind the plug of {in_full(platform, owner)}; nothing unplugged."
        case "load-volts":
            feed = f"the feed of {in_full(platform, action.about)}"
            return f"Volts to ground at {parts[0]}, {feed}, from behind its plug; all off, nothing unplugged."
        case "asked-volts":
            owner, _, pin = parts[0].rpartition(".")
            asked = (str(o.terminal) for o in platform.outputs if o.module == owner and pin in o.inputs)
            its, plug = joined(list(dict.fromkeys(asked)), "or"), f"from behind the plug of {in_full(platform, owner)}"
            return f"Volts to ground at {parts[0]}, which asks for {its}, {plug}; nothing unplugged."
        case "relay-volts":
            return f"Before anybody touches {in_full(platform, parts[0])}: {_relay_volts(platform, parts[0])}."
        case "pull-relay" if action.cut_first:
            fuses, relay = joined(action.cut_first), in_full(platform, parts[0])
            return f"{fuses} out, then pull relay {relay}, then {fuses} in again: without the relay nothing may flow."
        case "pull-relay":
            return f"Pull relay {in_full(platform, parts[0])}."
        case "pull-fuses":
            together = " together" if len(parts) > 1 else ""
            return f"Take {_by_box(platform, parts, together)}."
        case "connector" if parts[0] not in platform.parts:
            connector, _, cavity = parts[0].rpartition(".")
            if isinstance(platform.parts.get(connector), Load):
                return f"Lift the terminal of pin {cavity} alone out of the plug of {in_full(platform, connector)}."
            return f"Lift the terminal of cavity {cavity} alone out of connector {in_full(platform, connector)}."
        case "connector":
            return f"Part connector {in_full(platform, parts[0])}."
        case "leg":
            return _leg_words(platform, parts[0])
        case "plug":
            return f"Unplug {parts[0]} only."
        case "bridge":
            pins = contact_words(platform, parts[0])
            plug = f"Part the plug of {in_full(platform, parts[0])}"
            return f"{plug}, and bridge {pins} in the half with the wires, fused jumper only."
        case "finish-sheet":
            return f"At the desk: type in {joined(parts)}."
        case "unplug" if _is_socket(platform, parts[0]):
            return f"Unplug what is plugged in at {in_full(platform, parts[0])}; if that changes nothing, its own plug."
        case "unplug":
            return f"Unplug {in_full(platform, parts[0])}."
        case _:
            assert_never(action.doing)


def _is_socket(platform: Platform, name: str) -> bool:
    part = platform.parts.get(name)
    return part is not None and part.kind == "socket"


def _relay_volts(platform: Platform, name: str) -> str:
    """Where the probes go: a closed contact that carries current shows millivolts (common practice, no source)."""
    relay = platform.parts[name]
    assert isinstance(relay, Relay)
    contact = next((f"{c.pin_a} and {c.pin_b}" for c in relay.contacts if c.energised), "its contact")
    plus, minus = relay.coil
    return f"volts between {plus} and {minus} (coil), then between {contact} (millivolts: closed)"


def _by_box(platform: Platform, parts: Sequence[str], together: str) -> str:
    """`F40 and F41 out together, frame box`; for several boxes, each fuse with its own."""
    boxes: dict[str, list[str]] = {}
    for part in parts:
        boxes.setdefault(at_box(platform, part).removeprefix(", "), []).append(part)
    if len(boxes) == 1:
        return f"{joined(parts)} out{together}{at_box(platform, parts[0])}"
    return f"{'; '.join(f'{joined(its)} ({box})' if box else joined(its) for box, its in boxes.items())} out{together}"


def at_box(platform: Platform, name: str) -> str:
    box = platform.box_of(name)
    return f", {box.description[0].lower()}{box.description[1:]}" if box is not None and box.description else ""


def _feeder(platform: Platform, place: str) -> str:
    part = platform.parts.get(place)
    if part is not None and part.kind in UNFUSED_KINDS:
        return f"the plus cable of {in_full(platform, place)}"
    if part is None:
        owner, _, post = place.rpartition(".")
        if owner not in platform.parts:
            return f"the plus cable of {place}"
        what = {"-": "the minus cable", "mid": "the tap"}.get(post, "the cable")
        return f"{what} of {in_full(platform, owner)}"
    if isinstance(part, Fuse):
        return f"the cable of {in_full(platform, place)} ({rating(part)})"
    if part.kind == "battery":
        return f"the plus cable of {in_full(platform, place)}"
    return f"the feed of {in_full(platform, place)}"


def _leg_words(platform: Platform, name: str) -> str:
    owner, _, number = name.rpartition(".")
    star = platform.stars[owner]
    members = star.legs[int(number) - 1]
    place = f", {star.place}" if star.place else ""
    return f"Open leg {number} of star {owner}{place}: {joined(members)} off the network, still fed."

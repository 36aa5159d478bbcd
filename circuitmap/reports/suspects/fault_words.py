"""What a fault is about and what there is to mend, in the trade's words."""

from collections.abc import Container

from circuitmap.diagnosis.diagnosis import PartChance, Subject
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import in_full, named, open_end_words
from circuitmap.wiring.parts import Battery, Fuse, Load, OpenEnd, Part, Relay, Switch
from circuitmap.wiring.platform import Platform

MOST_ITSELF = 0.05
"""Probability that a part is itself at fault from which on it is still to be proven (judgement)."""
RULED_OUT = 0.002
"""A part with less than this is no candidate any more (judgement)."""
MOST_LISTED = 8
"""How many members of a network are named in the answer's first line."""


def part_words(platform: Platform, part: str) -> str:
    """What there is to mend, by name and description."""
    known = platform.parts.get(part)
    if isinstance(known, OpenEnd):
        return f"what is {open_end_words(known)}"
    return named(platform, part)


def part_and_how(platform: Platform, part: PartChance) -> str:
    """The same, and by which pin it would be: of a part that starts something else by an output of its own."""
    return part_words(platform, part.part) + output_words(platform, part)


def output_words(platform: Platform, part: PartChance) -> str:
    """By which of its pins a part would start something else, as what follows its name; empty where it would not be by
    an output of its own."""
    contacts = {fault.contact for fault in part.faults[:1] if fault.kind == "contact" and fault.part == part.part}
    pins = dict.fromkeys(its.pin for its in platform.outputs if its.module == part.part and its.contact in contacts)
    return f", by its pin {joined(list(pins))}" if pins else ""


def short_part_words(platform: Platform, part: str) -> str:
    """Its name alone; for something not typed in, what the sheet says of it."""
    if isinstance(platform.parts.get(part), OpenEnd):
        return part_words(platform, part)
    owner, _, post = part.rpartition(".")
    if post == "mid" and isinstance(platform.parts.get(owner), Battery):
        return f"the tap between the batteries of {owner}"
    return named(platform, part).partition(",")[0]


def with_colour(name: str, fault: Fault) -> str:
    """A wire at fault by its colour, too, as typed in."""
    return f"{name} ({fault.colour})" if fault.colour else name


def where_to_look(platform: Platform, fault: Fault) -> str:
    """The part in full, with the place where it sits, or else the place of what the fault is about."""
    if fault.part in platform.parts:
        known = platform.parts[fault.part]
        return part_words(platform, fault.part) if isinstance(known, OpenEnd) else in_full(platform, fault.part)
    near = fault.contact if fault.contact in platform.parts else fault.place or next(iter(fault.others), "")
    its = platform.parts.get(near)
    if fault.colour:
        at = f"; {in_full(platform, near)}" if its is not None else ""
        return f"{fault.part} ({fault.colour}{at})"
    if its is None:
        return fault.part
    if near in fault.part:
        about = ", ".join(word for word in (its.description, _where(platform, its)) if word)
        wires = (
            f"; {coil_wires(platform, its, pin)}"
            if isinstance(its, Relay) and (pin := control_pin(platform, fault))
            else ""
        )
        return f"{fault.part} ({about}){wires}" if about else f"{fault.part}{wires}"
    return f"{fault.part} ({in_full(platform, near)})"


def _where(platform: Platform, part: Part) -> str:
    """Where a part sits, or the box it sits in."""
    box = platform.box_of(part.name)
    return part.place or (f"in {box.description[0].lower()}{box.description[1:]}" if box and box.description else "")


def control_pin(platform: Platform, fault: Fault) -> str:
    """The coil pin of the relay whose control wire is at fault: the side that is rubbed through."""
    relay = platform.parts.get(fault.contact)
    if not isinstance(relay, Relay) or fault.state is None:
        return ""
    if fault.pin:
        return fault.pin
    points = (point for pair in fault.state.bridged for point in pair)
    rubbed = next((point.pin for point in points if point.part == relay.name), "")
    return rubbed or relay.coil[0]


def coil_wires(platform: Platform, relay: Relay, pin: str) -> str:
    """The wires at a coil pin as typed in: `85 GY/VT to X20.8`; only the pin where there is none."""
    found = []
    for wire in platform.wires_at.get(relay.name, ()):
        here, other = (wire.a, wire.b) if (wire.a.part, wire.a.pin) == (relay.name, pin) else (wire.b, wire.a)
        if (here.part, here.pin) == (relay.name, pin) and wire.kind == "wire" and wire.colour:
            to = f"{other.part}.{other.pin}" if other.pin else other.part
            found.append(f"{wire.colour_written} to {short_part_words(platform, to)}")
    return f"{pin} {joined(found)}" if found else f"pin {pin}"


def network_words(platform: Platform, network: str) -> str:
    its = platform.networks.get(network)
    if its is None:
        return network
    noun = its.description or ("wake line" if its.kind == "wake" else "network")
    return f"the {noun} {network}"


def line_words(platform: Platform, network: str, state: str) -> str:
    """What the line of a network shows to ground when awake or asleep."""
    if platform.networks[network].kind == "lin":
        return "near battery volts, steady: at rest" if state == "asleep" else "jumping below battery volts: talking"
    return "near 0 V: asleep" if state == "asleep" else "about 2.5 V: awake"


def subject_name(platform: Platform, subject: Subject) -> str:
    """What the case is about, with its description."""
    if subject.about in platform.networks:
        return network_words(platform, subject.about)
    part, owner = platform.parts.get(subject.about), subject.about.rpartition(".")[0]
    known = part is not None
    if isinstance(part, Battery):
        return f"something at the post of {named(platform, subject.about)}"
    if isinstance(part, Fuse) and all(its.part != subject.about for its in subject.parts):
        return f"a wire or something fitted behind {part_words(platform, subject.about)}"
    if isinstance(part, Switch) and not part.description and isinstance(platform.parts.get(owner), Load):
        return f"{part_words(platform, owner)}, by its own switch"
    return part_words(platform, subject.about) if known else short_part_words(platform, subject.about)


def is_a_fuse_too_many(subject: Subject) -> bool:
    """Whether it is a fuse that stands where the sheet has none, and not what hangs on it."""
    return bool(subject.parts) and subject.parts[0].faults[0].kind == "extra-fuse"


def subject_words(platform: Platform, subject: Subject, told_below: Container[str] = ()) -> str:
    """What the case is about, and what that means, as the answer's first line; members that are all `told_below` it
    are not listed."""
    network = platform.networks.get(subject.about)
    if network is not None:
        # Members that this car does not have are no suspects, nor are those that were cleared.
        suspects = {part.part: part.probability for part in subject.parts}
        fitted = [name for name in dict.fromkeys(member.part for member in network.members) if name in suspects]
        left = [name for name in fitted if suspects[name] >= RULED_OUT] or fitted
        members = len(left)
        known = all(name in told_below for name in left)
        listed = f" ({', '.join(left)})" if 1 < members <= MOST_LISTED and not known else ""
        which = "its" if members == len(fitted) else "the"
        still = "" if members == len(fitted) else " that are left"
        who = f"one of {which} {members} members{still}{listed}, or a switch that wakes one," if members != 1 else ""
        if members == 1:
            who = "its member" if len(fitted) == 1 else f"{left[0]}, or a switch that wakes it,"
        return f"{network_words(platform, subject.about)}: {who} won't let it sleep."
    part = platform.parts.get(subject.about)
    if isinstance(part, Relay):
        itself = any(one.part == part.name and one.probability >= MOST_ITSELF for one in subject.parts)
        if subject.parts and not itself:
            return f"relay {named(platform, subject.about)}: something holds it in, its contact is not stuck."
        return f"relay {named(platform, subject.about)}: its contact is closed and should be open."
    if isinstance(part, Fuse):
        if is_a_fuse_too_many(subject):
            return f"{named(platform, subject.about)}: a fuse stands there, and the sheet has none for this vehicle."
        return f"what hangs on {named(platform, subject.about)}."
    if part is not None and part.kind == "battery":
        return f"{named(platform, subject.about)}: something at its post, or a wire from it."
    if subject.about.endswith(".mid"):
        return f"the tap between the batteries of {subject.about.removesuffix('.mid')}: something is taken there."
    return f"{part_words(platform, subject.about)}."

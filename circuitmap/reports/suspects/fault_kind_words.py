"""Each kind of fault in the trade's words, one record for each kind: its name, what is wrong, what a look may show."""

from collections.abc import Callable, Container, Iterable
from typing import NamedTuple, assert_never

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.faults.candidates_waking import is_wake_wire
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.faults.input_wires import is_input_wire
from circuitmap.reports.suspects.fault_words import network_words, part_words, short_part_words, with_colour
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import Fuse, Relay, Switch
from circuitmap.wiring.platform import Platform

PROVES = "A warm load or a burning lamp shows where the current goes, not yet why."


FREED = "freed from what it rubs on, the draw is gone; back against it, it comes back; freed again, it is gone."
TAKEN_OFF = "taken off, the draw is gone; put back, it comes back; off again, it is gone."


class KindWords(NamedTuple):
    """`meaning` names the kind. `wrong` says in one phrase what is wrong with a fault's part, given in full. `sign`
    says what can be seen without any tool (common practice, no source), given the part's name; empty: nothing. `proof`
    is how it is proven where the thing at fault is not a part that was typed in (common practice, no source)."""

    meaning: str
    wrong: Callable[[Platform, Fault, str], str]
    sign: Callable[[Platform, Fault, str], str]
    proof: str


def kind_words(kind: Kind) -> KindWords:
    match kind:
        case "added":
            return KindWords(
                "something added, or on no sheet",
                lambda _p, _f, part: f"{part}, on no sheet",
                _added_shows,
                TAKEN_OFF,
            )
        case "keeps-awake":
            return KindWords("a module keeps its network awake", _keeps_awake, _nothing_shows, TAKEN_OFF)
        case "wrong-input":
            return KindWords("a module believes a wrong input", _wrong_input, _wrong_input_shows, TAKEN_OFF)
        case "by-itself":
            return KindWords(
                "a part takes current by itself",
                _by_itself,
                _by_itself_shows,
                TAKEN_OFF,
            )
        case "lamp":
            return KindWords("a lamp and its switch", _lamp, _lamp_shows, TAKEN_OFF)
        case "contact":
            return KindWords("a contact is stuck closed", _contact, _contact_shows, TAKEN_OFF)
        case "coil":
            return KindWords(
                "a coil is still driven",
                _coil,
                _coil_shows,
                FREED,
            )
        case "chafed":
            return KindWords(
                "wiring chafed between two points",
                _chafed,
                lambda _p, _f, name: f"{name} rubbed, pinched or wet",
                FREED,
            )
        case "unfused":
            return KindWords(
                "unfused: alternator or starter",
                lambda p, f, part: f"{part}{_unfused_words(p, f, part)} lets current through",
                lambda _p, _f, name: f"{name} warm, hours after it last ran",
                TAKEN_OFF,
            )
        case "extra-fuse":
            return KindWords("a fuse where the sheet has none", _extra_fuse, _extra_fuse_shows, TAKEN_OFF)
        case "none-of-these":
            return KindWords(
                "none of these",
                lambda _p, fault, _part: f"none of these: an unknown current at {fault.place}",
                _nothing_shows,
                TAKEN_OFF,
            )
        case _:
            assert_never(kind)


def _unfused_words(platform: Platform, fault: Fault, part: str) -> str:
    """That no fuse protects it, unless its current passes one that is typed in."""
    fused = any(isinstance(platform.parts.get(name), Fuse) for supply in fault.lives_by for name in supply)
    return ("," if "," in part else "") if fused else ", which no fuse protects,"


def fault_words(platform: Platform, fault: Fault, named: str = "") -> str:
    """What is wrong, in one phrase; the part is called as it is `named`, or else by name and description."""
    its = named or with_colour(part_words(platform, fault.part), fault)
    wrong = kind_words(fault.kind).wrong(platform, fault, its)
    return f"{wrong}{_besides(platform, fault)}"


def _besides(platform: Platform, fault: Fault) -> str:
    """That its module is at work, too; what it turns on takes nothing."""
    if fault.works:
        return f"; {short_part_words(platform, fault.module)} is at work, by what it takes"
    if fault.hangs:
        several = len(fault.hangs) > 1
        off = f"do{'' if several else 'es'} not turn off either"
        verb = off if fault.kind == "keeps-awake" else f"{'are' if several else 'is'} on by that"
        return f"; output{'s' * several} {joined(fault.hangs)} {verb}"
    if not fault.dead:
        return ""
    names = joined([short_part_words(platform, name) for name in fault.dead])
    if any(flow.holds_a_relay for flow in fault.brings) and not any(f.key.taken == "running" for f in fault.brings):
        return (
            f", yet {names} do{'es' if len(fault.dead) == 1 else ''} not run: its contact, or a wire behind it, is open"
        )
    return f"; {names} takes nothing: it, its wire or its ground is open"


NEEDS_A_HAND: tuple[Kind, ...] = ("by-itself", "unfused", "wrong-input")
"""Kinds of fault whose sign is felt, or seen with a plug apart; so is what an output lets through."""


def look_words(platform: Platform, faults: Iterable[Fault], eyes_only: Container[str] = ()) -> str:
    """What to look for, and where: `DOME burning; ...`, starting with what is likeliest to be seen; empty where nothing
    would show. At the parts `eyes_only` nothing is felt, moved or parted."""
    named = ((f, with_colour(short_part_words(platform, f.part), f)) for f in faults)
    signs = (
        f"{name} on (its lamp, its own switch)"
        if (f.kind in NEEDS_A_HAND or f.partly) and f.part in eyes_only
        else kind_words(f.kind).sign(platform, f, name)
        for f, name in named
    )
    return "; ".join(dict.fromkeys(sign for sign in signs if sign))


def _nothing_shows(_platform: Platform, _fault: Fault, _name: str) -> str:
    return ""


def _added_shows(platform: Platform, fault: Fault, name: str) -> str:
    if fault.about == fault.part:
        return f"{name}, which was fitted to this car"
    where = fault.part.removeprefix(f"something on {fault.about}") if fault.ends else ""
    at = f"behind {fault.about}{where}" if where else f"at {short_part_words(platform, fault.about)}"
    return f"anything fitted {at} that is on no sheet"


def _by_itself(platform: Platform, fault: Fault, part: str) -> str:
    """A socket takes nothing: what is plugged in there does, or it is damp inside."""
    if _is_socket(platform, fault):
        return f"{part}: what is plugged in there takes it, or it is damp or green inside"
    if fault.half_awake:
        return f"{part} hangs between asleep and awake, and takes a part of what it takes awake"
    return f"{part} takes current by itself"


def _by_itself_shows(platform: Platform, fault: Fault, name: str) -> str:
    if _is_socket(platform, fault):
        return f"anything plugged in at {name} (unplug it: is the draw gone?), water or green inside it"
    return f"{name} warm or humming, its plug wet"


def _is_socket(platform: Platform, fault: Fault) -> bool:
    its = platform.parts.get(fault.part)
    return its is not None and its.kind == "socket"


def _keeps_awake(platform: Platform, fault: Fault, part: str) -> str:
    return f"{part} keeps {network_words(platform, fault.network)} awake"


def _wrong_input(platform: Platform, fault: Fault, part: str) -> str:
    if fault.undrawn:
        return f"{part} believes a wrong input; none of its inputs is typed in"
    if fault.pin:
        return f"{part} reads its input {fault.pin} wrong by itself: its switch and its wire may be sound"
    if fault.leak:
        return f"{part}: water or green between {joined(fault.leak)} tells {fault.module} something that is not so"
    if is_input_wire(platform, fault):
        how = "rubbed through to ground" if fault.state is not None and fault.state.bridged else "parted"
        return f"{part} is {how}: it tells {fault.module} something that is not so"
    holds = f", and that keeps {network_words(platform, fault.network)} awake" if fault.network else ""
    burning = [f.owner for f in fault.brings if f.key.taken == "running"] if not fault.works else []
    names = shortened([short_part_words(platform, name) for name in dict.fromkeys(burning)], 4)
    turns_on = f" and turns on {names}" if burning else ""
    return f"{part} tells {fault.module} something that is not so{holds}{turns_on}"


def proof_words(platform: Platform, fault: Fault) -> str:
    """How a fault is proven that is not in a part that was typed in."""
    return FREED if is_input_wire(platform, fault) else kind_words(fault.kind).proof


def _wrong_input_shows(platform: Platform, fault: Fault, name: str) -> str:
    if fault.leak:
        return f"{name} wet or green inside, between {joined(fault.leak)}"
    if is_input_wire(platform, fault):
        rubbed = fault.state is not None and fault.state.bridged
        return f"{name} {'rubbed, pinched or wet' if rubbed else 'parted, or a terminal of it pushed back'}"
    if fault.pin:
        return f"the plug of {name} wet or green at {fault.pin}"
    return f"{name}, and whether what it watches is really shut or off"


def _lamp(_platform: Platform, fault: Fault, part: str) -> str:
    if fault.undrawn:
        return f"{part} burns; its switch is not typed in"
    return f"{part} stays closed: {joined(fault.others)} burn{'s' if len(fault.others) == 1 else ''}"


SHUT = ("shut", "closed", "home")
"""Positions in which a lid or door presses a contact home."""


def _lamp_shows(platform: Platform, fault: Fault, name: str) -> str:
    burning = joined([short_part_words(platform, other) for other in fault.others]) or name
    its = platform.parts.get(fault.part)
    if not isinstance(its, Switch):
        return f"{burning} burning"
    rests = its.positions[0] if its.positions else "off"
    dark = f", {joined([short_part_words(platform, other) for other in fault.dead])} dark" if fault.dead else ""
    return f"{burning} burning{dark}, {name} not {'pressed home' if rests in SHUT else f'at {rests}'}"


def _contact(platform: Platform, fault: Fault, part: str) -> str:
    its = platform.parts.get(fault.part)
    if isinstance(its, Relay):
        return f"{part}: its contact {fault.contact} is stuck closed"
    if any(output.module == fault.part for output in platform.outputs) and fault.pin:
        return f"{part}: its outputs to {short_part_words(platform, fault.pin)} do not turn off"
    if fault.partly:
        return f"{part}: its output {_output(platform, fault.contact)} lets current through without being asked"
    if any(output.module == fault.part for output in platform.outputs):
        return f"{part}: its output {_output(platform, fault.contact)} does not turn off"
    if isinstance(its, Switch) and not its.is_key:
        return f"{part} is on, or its contact {fault.contact} does not open"
    return f"{part}: its contact {fault.contact} does not open"


def _output(platform: Platform, contact: str) -> str:
    """An output as it is said: by its pin, and by what it gives where it can give either."""
    its = next((output for output in platform.outputs if output.contact == contact), None)
    if its is None or not its.both_ways:
        return contact
    return f"{its.terminal}, by which it {'feeds' if its.action == 'feeds' else 'grounds'},"


def _contact_shows(platform: Platform, fault: Fault, name: str) -> str:
    part = platform.parts.get(fault.part)
    if isinstance(part, Relay):
        return f"{name} scorched or misshapen (look, don't tap: that may free it and hide the fault)"
    if isinstance(part, Switch):
        return f"{name} not at {part.positions[0]}" if part.positions else f"{name} not off"
    if fault.partly:
        return f"{name} warm, with nothing on that it feeds"
    return ""  # what it feeds runs whatever turns it on


def _extra_fuse(platform: Platform, fault: Fault, part: str) -> str:
    fed = shortened([short_part_words(platform, name) for name in sorted(fault.owners)], 4)
    if fault.others:
        both = joined([fault.part, *fault.others])
        return f"{both} hold a fuse each, which no vehicle has at once: {fed} are fed through them"
    return f"{part}: a fuse where the sheet has none for this vehicle; {fed} are fed through it"


def _extra_fuse_shows(_platform: Platform, fault: Fault, _name: str) -> str:
    slots = joined([fault.part, *fault.others])
    return f"a fuse in {slots}: the sheet has {'one of them' if fault.others else 'none there'}"


def _chafed(_platform: Platform, fault: Fault, part: str) -> str:
    if is_wake_wire(fault):
        return f"{part} rubbed through to a live wire: {fault.module} is awake by it"
    return f"{part} chafed"


def _coil_shows(_platform: Platform, fault: Fault, name: str) -> str:
    if fault.undrawn:
        return f"{name} warm: its coil is driven"
    return f"the control wire of {fault.contact} rubbed or pinched, along its run"


def _coil(_platform: Platform, fault: Fault, part: str) -> str:
    if fault.undrawn:
        return f"{part} is held in; what drives its coil is on no sheet"
    bridged = fault.state.bridged if fault.state is not None else frozenset()
    onto = "ground" if any(BODY in pair for pair in bridged) else "a live wire"
    return f"{part} rubbed through to {onto}: the relay is held in"

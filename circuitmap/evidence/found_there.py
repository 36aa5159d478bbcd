"""What eyes, a hand or a nose found at one place, without a meter: a lamp burning, a part warm, a smell, water, a
chafed spot; a lamp that does not burn; or that the wire was followed and is
sound."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal, get_args

from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.source import Span
from circuitmap.wiring.names import find_terminal
from circuitmap.wiring.platform import Platform

Sign = Literal["burning", "warm", "smells", "wet", "chafed", "dark", "sound"]
SIGNS: tuple[Sign, ...] = get_args(Sign)

SAID_ALSO: dict[str, Sign] = {
    "burns": "burning", "lit": "burning", "glows": "burning", "glowing": "burning", "alight": "burning",
    "hot": "warm", "smell": "smells", "smelt": "smells", "smelling": "smells", "stinks": "smells",
    "water": "wet", "damp": "wet", "moisture": "wet", "corroded": "wet", "corrosion": "wet", "green": "wet",
    "chafe": "chafed", "rubbed": "chafed", "pinched": "chafed", "bare": "chafed",
    "unlit": "dark",
    "fine": "sound", "intact": "sound", "nothing": "sound",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundThere:
    """`place` is a part, a plug, a pin, cavity or splice by its full name, the code printed on a wire, or a
    network (its lines). `too_early`: a lamp was seen burning of a locked vehicle that was not yet asleep, and may have
    gone out since."""

    place: str
    sign: Sign
    too_early: bool = False
    written: str = ""
    span: Span | None = None


def sign_of(word: str) -> Sign | None:
    """The sign that a word stands for; None if it stands for none."""
    said = word.casefold()
    return next((sign for sign in SIGNS if sign == said), SAID_ALSO.get(said))


def written_found(platform: Platform, name: str, value: str, added: Collection[str] = ()) -> FoundThere:
    """`LOADL` and `burning`, `X20.8` and `chafed`; raises WrongUse."""
    place = found_place(platform, name, added)
    sign = sign_of(value.strip())
    if sign is None:
        raise WrongUse(
            f"{place} is found {', '.join(SIGNS[:-1])} or {SIGNS[-1]}, not {value.strip()}.",
            f"For example: found {place} {SIGNS[1]}; anything else is a remark.",
        )
    part = platform.parts.get(place)
    if sign in ("burning", "dark") and part is not None and part.kind != "lamp":
        raise WrongUse(f"{place} is no lamp: is it warm?", f"For example: found {place} warm, or found {place} smells.")
    return FoundThere(place=place, sign=sign, written=f"{name} {value}")


def found_place(platform: Platform, name: str, added: Collection[str] = ()) -> str:
    """The full name of a place where something was found; raises WrongUse."""
    try:
        return removable(platform, name, added)
    except WrongUse as failure:
        if name in platform.networks or any(wire.code == name for wire in platform.wires):
            return name
        try:
            return str(find_terminal(platform, name))
        except WrongUse:
            raise failure from None

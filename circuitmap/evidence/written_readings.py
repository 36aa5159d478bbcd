"""A reading as somebody types it: `F22=0.46A`, `F22=1.6mV`, `F9=0A`, `BAT=-0.2A`, `F30=draws`, `F31=quiet`."""

import re
from collections.abc import Collection
from typing import NamedTuple

from circuitmap.evidence.fuse_drop import ColdResistance, by_rating_alone, cold_resistance, hidden_below, of_any_style
from circuitmap.evidence.in_slot import FuseInSlot, as_it_is
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import IN_SERIES, METERS, Meter, read_with_step
from circuitmap.evidence.readings import MOST_THAT_HIDES, Reading, Speaks, amps_of_drop
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.source import Span
from circuitmap.wiring.names import as_declared, find_part, find_terminal
from circuitmap.wiring.parts import UNFUSED_KINDS, Battery, Box, Fuse, Load
from circuitmap.wiring.platform import Platform

WORDS_FOR_DRAWS = ("draws", "high")
WORDS_FOR_QUIET = ("quiet", "nothing")

_AMOUNT = re.compile(r"(?P<sign>[-+\u2212]?)(?P<digits>\d+(?:\.(?P<decimals>\d+))?)\s*(?P<unit>[A-Za-z]*)\Z", re.ASCII)
_IN_AMPS = {"A": 1.0, "mA": 1e-3, "uA": 1e-6}
_IN_VOLTS = {"V": 1.0, "mV": 1e-3}
MOST_AMPS, MOST_DROP = 1000.0, 1.0

MILLIVOLTS = next(meter for meter in METERS if meter.kind == "millivolts")


class Amount(NamedTuple):
    """What stands after the `=`: a current in A or a drop in V, the last digit's step in the same unit, or only whether
    current is drawn."""

    amps: float | None = None
    volts: float | None = None
    step: float = 0.0
    draws: bool | None = None


def amount_of(text: str) -> Amount:
    """Read `0.46A`, `460mA`, `-0.2A`, `1.6mV`, `draws` or `quiet`; raises WrongUse with what could stand there."""
    word = text.strip()
    if word in WORDS_FOR_DRAWS:
        return Amount(draws=True)
    if word in WORDS_FOR_QUIET:
        return Amount(draws=False)
    match = _AMOUNT.match(word)
    if match is None:
        if "," in word and _AMOUNT.match(word.replace(",", ".")):
            raise WrongUse(f"{text} has a comma: write {word.replace(',', '.')}.")
        try:
            read_quantity(word.lstrip("-+"), "current")
        except QuantityError as error:
            raise WrongUse(f"{text} is not a reading: {error}", _HOW) from None
        raise WrongUse(f"{text} is not a reading.", _HOW)
    unit, sign = match["unit"], -1.0 if match["sign"] in ("-", "\u2212") else 1.0
    if not unit:
        raise WrongUse(f"{text} has no unit: {word}A or {word}mV?", _HOW)
    if len(match["digits"].replace(".", "")) > 15:
        raise WrongUse(f"{text} has more than 15 digits.")
    value, step = sign * float(match["digits"]), 10.0 ** -len(match["decimals"] or "")
    if unit in _IN_AMPS:
        amps = value * _IN_AMPS[unit]
        if abs(amps) > MOST_AMPS:
            raise WrongUse(f"{text} is out of range: a reading here is at most {MOST_AMPS:g}A.")
        return Amount(amps=amps, step=step * _IN_AMPS[unit])
    if unit in _IN_VOLTS:
        volts = value * _IN_VOLTS[unit]
        if abs(volts) > MOST_DROP:
            raise WrongUse(f"{text} is not a drop across a fuse that holds: at most 1000mV.")
        return Amount(volts=volts, step=step * _IN_VOLTS[unit])
    raise WrongUse(f"{text}: {unit} is not a unit of a reading.", _HOW)


_HOW = "A reading is a current (0.46A, 460mA), the millivolts across a fuse (1.6mV), draws, or quiet."


def current_of(text: str) -> tuple[float, float]:
    """A current in A and the step of its last digit; raises WrongUse for anything else."""
    amount = amount_of(text)
    if amount.amps is None:
        raise WrongUse(f"{text} is not a current, such as 1.85A or 40mA.")
    return amount.amps, amount.step


def place_of(platform: Platform, text: str, added: Collection[str] = ()) -> str:
    """The full name of a place where current is read: a fuse, a battery, a box (its feeder), or the plus cable of
    something that no fuse protects or that was `added` to the car, also by the pin at which that cable ends
    (`REG.B+`).

    A battery is read at its plus post; two in series as one also at the tap (`BAT.mid`) and at the minus post
    (`BAT.-`), which carries what is taken from the tap as well."""
    if (own := as_declared(text, added)) in added:
        return own
    owner, _, post = text.rpartition(".")
    if owner and post in ("+", "-", "mid"):
        battery = platform.parts[find_part(platform, owner)]
        if isinstance(battery, Battery) and (post != "mid" or battery.series):
            return f"{battery.name}.{post}" if battery.series and post != "+" else battery.name
    try:
        name = find_part(platform, text)
    except WrongUse as failure:
        return _by_its_pin(platform, text, failure)
    part = platform.parts[name]
    if isinstance(part, Fuse | Battery | Box) or part.kind in UNFUSED_KINDS:
        return name
    raise WrongUse(
        f"{name} is not a place to read a current: name a fuse, a battery, a box, an alternator or a starter."
    )


def _by_its_pin(platform: Platform, text: str, failure: WrongUse) -> str:
    """The place whose current passes a pin: a fuse, or what has a plus cable of its own. Any other pin, and a name that
    is no pin either (`failure`), is refused."""
    owner, _, _ = text.rpartition(".")
    try:
        pin = find_terminal(platform, text) if owner else None
    except WrongUse:
        pin = None
    if pin is None:
        known = owner and any(its == owner or its.endswith(f".{owner}") for its in platform.parts)
        raise WrongUse(failure.message, failure.advice or (_places_for(platform) if known else ""))
    part = platform.parts[pin.part]
    own_cable = part.kind in UNFUSED_KINDS and isinstance(part, Load) and part.roles.get(pin.pin) == "supply"
    if own_cable or isinstance(part, Fuse):
        return pin.part
    raise WrongUse(f"{pin} is a pin: no current is read there by itself.", _places_for(platform))


def _places_for(platform: Platform) -> str:
    """The kinds of places at which a current is read, with one of each that this platform has."""
    post = next((f" ({part.name}.+)" for part in platform.parts.values() if isinstance(part, Battery)), "")
    own = next((f" ({part.name})" for part in platform.parts.values() if part.kind in UNFUSED_KINDS), "")
    return (
        "Clamp what feeds it, and name that: a fuse, the feeder of a box, a post of a battery"
        f"{post}, the plus cable of an alternator or starter{own}."
    )


def battery_read_at(platform: Platform, place: str) -> str:
    """The battery whose whole current is read at a place: its own plus post or, for two in series, the minus post
    (`BAT.-`), which is not the name of a part. Empty for any other place, also for the tap."""
    name = place.removesuffix(".-")
    part = platform.parts.get(name)
    return name if isinstance(part, Battery) else ""


def reading_at(
    platform: Platform,
    place: str,
    amount: Amount,
    meter: Meter,
    *,
    total: float | None = None,
    minutes: float | None = None,
    without: tuple[str, ...] = (),
    speaks: Speaks = "parked",
    watched: bool = False,
    log: Log | None = None,
    written: str = "",
    span: Span | None = None,
    in_slot: FuseInSlot | None = None,
) -> Reading:
    """The reading of `amount` at a place; a drop becomes a current where the fuse's resistance is known, that of the
    fuse which is `in_slot` on this car, if somebody said so."""
    part = platform.parts.get(place)
    fuse = as_it_is(part, in_slot) if isinstance(part, Fuse) else None
    amps, drop, draws, resistance = amount.amps, None, amount.draws, None
    if amount.volts is not None:
        if fuse is None:
            raise WrongUse(f"{place} is not a fuse: millivolts across it say nothing. Give its current.")
        drop, meter = amount.volts, read_with_step(MILLIVOLTS, amount.step)
        resistance = cold_resistance(fuse.style, fuse.rating)
        if resistance is None:
            resistance, draws = _of_no_published_style(fuse, drop, meter)
        amps = amps_of_drop(drop, resistance) if draws is None else None
    elif amps is not None and meter.kind == "series" and abs(amps) > IN_SERIES:
        raise WrongUse(
            f"{place} {amps:g} A: no meter goes in series above {IN_SERIES:g} A; its fuse blows, or its leads burn.",
            "Put a clamp round the cable, and say so: --meter clamp.",
        )
    elif amps is not None and amount.step > 0.0:
        meter = read_with_step(meter, amount.step)
    return Reading(
        place=place, meter=meter, amps=amps, drop=drop, draws=draws, resistance=resistance, total=total,
        minutes=minutes, log=log, without=without, speaks=speaks, watched=watched, written=written, span=span,
    )  # fmt: skip


def _of_no_published_style(fuse: Fuse, drop: float, meter: Meter) -> tuple[ColdResistance | None, bool | None]:
    """The resistance by which a drop across a fuse of another style is told, and whether it draws where that is all
    that is to be told. A drop of as many counts as the display may be off is doubtful, and no nothing; one of less
    clears no more for a blade of unknown style, and hides more in a large fuse."""
    counts = abs(drop) / meter.step
    its = by_rating_alone(fuse.rating) if fuse.kind == "fuse" else None
    if its is None:
        return None, counts > meter.counts
    if counts > meter.counts - 0.5:
        return (of_any_style(fuse.rating) if not fuse.style else None) or its, None
    hides_more = hidden_below(its, meter.step, meter.counts) > MOST_THAT_HIDES
    return (its if hides_more else None), False


def written_reading(
    platform: Platform, text: str, meter: Meter, total: float | None = None, added: Collection[str] = ()
) -> Reading:
    """`PLACE=READING` as typed at a command; raises WrongUse with what is wrong."""
    place, equals, amount = text.partition("=")
    if not equals or not place.strip() or not amount.strip():
        raise WrongUse(f"{text} is not a reading.", "Write PLACE=READING, such as F22=0.46A or F22=1.6mV.")
    name = place_of(platform, place.strip(), added)
    return reading_at(platform, name, amount_of(amount), meter, total=total, written=text)

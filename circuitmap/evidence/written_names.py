"""Names and short phrases as people type them in a card or at a command: parts, networks, trouble codes."""

import re
from collections.abc import Collection
from typing import NoReturn

from circuitmap.evidence.checks_at_parts import RELAY_STATES, InputSeen, PinVolts, RelayVolts
from circuitmap.evidence.codes import Code, is_code
from circuitmap.evidence.network_lines import LineState, NetworkLine, state_at
from circuitmap.failures import WrongUse
from circuitmap.quantities import Band, QuantityError, read_band, read_quantity
from circuitmap.wiring.names import as_declared, find_name, find_part, find_terminal
from circuitmap.wiring.parts import Load, Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.probe_points import probe_point

_BARE = re.compile(r"\d{1,15}(?:\.\d{1,15})?\Z", re.ASCII)


def batteries_of(platform: Platform) -> tuple[str, ...]:
    """The batteries, in name order."""
    return tuple(sorted(part.name for part in platform.parts.values() if part.kind == "battery"))


def check_added(platform: Platform, name: str, fed_from: str) -> tuple[str, str]:
    """The name of what no sheet shows and the full name of what it is fed from; raises WrongUse for the name of a part
    on the sheets."""
    same = next((part for part in platform.parts if part.casefold() == name.casefold()), None)
    if same is not None:
        raise WrongUse(f"{same} is on the sheets already.", f"If it is fitted to this car: option {same}.")
    return name, _part_or_its_pin(platform, fed_from)


def feed_and_figure(platform: Platform, name: str, text: str) -> tuple[str, Band | None]:
    """What something on no sheet is fed from, by its full name, and what it takes standing by, in A, where that was
    said: `CAB.F8`, `CAB.F8 6mA`; raises WrongUse."""
    place, gap, figure = text.strip().rpartition(" ")
    if not gap or not figure[:1].isdecimal():
        return check_added(platform, name, text.strip())[1], None
    try:
        asleep = read_band(figure, "current")
    except QuantityError as failure:
        raise WrongUse(f"{figure} is not what {name} takes standing by.", f"For example: {place} 6mA") from failure
    return check_added(platform, name, place.rstrip(" ,"))[1], asleep


def _part_or_its_pin(platform: Platform, text: str) -> str:
    """The full name of a part, told by itself or by one of its pins (`TSOCK.9`)."""
    try:
        return find_part(platform, text)
    except WrongUse:
        owner, dot, _ = text.rpartition(".")
        if not dot:
            raise
        try:
            return find_terminal(platform, text).part
        except WrongUse:
            raise WrongUse(f"There is no part or pin {text}.", f"{owner}: see circuitmap list PLATFORM.") from None


def removable(platform: Platform, text: str, added: Collection[str] = ()) -> str:
    """The full name of a part, a plug (`BCM.A`), a single cavity of a connector (`X61.4`) or pin of a load (`LIFT.B3`,
    its terminal lifted out of the plug), a star or one of its legs (`X60.1`); or what was `added` to the car and is on
    no sheet."""
    if (own := as_declared(text, added)) in added:
        return own
    try:
        return find_part(platform, text)
    except WrongUse:
        owner, _, tail = text.rpartition(".")
        if text in platform.stars or (owner in platform.stars and tail.isdecimal()):
            return text
        if owner:
            part = find_part(platform, owner)
            if tail in getattr(platform.parts[part], "plugs", ()):
                return f"{part}.{tail}"
            has_terminals = platform.parts[part].kind == "connector" or isinstance(platform.parts[part], Load)
            if has_terminals and find_terminal(platform, f"{part}.{tail}"):
                return f"{part}.{tail}"
        raise


def written_line(platform: Platform, name: str, value: str) -> NetworkLine:
    """`CHASSIS` and `awake`, `asleep` or the volts of a line, such as `2.5V`; raises WrongUse."""
    network = find_name(platform.network_names, name, "network")
    if not value.strip():
        raise WrongUse(f"{network} is awake, asleep, or has volts to ground.", f"For example: network {network} 2.5V")
    state: LineState
    if value in ("awake", "asleep"):
        state, volts = ("awake" if value == "awake" else "asleep"), None
    else:
        try:
            volts = read_quantity(value.strip(), "voltage")
        except QuantityError as error:
            raise WrongUse(f"A network is awake, asleep, or has volts to ground: {error}") from None
        state = state_at(volts, platform.networks[network].kind, platform.supply_volts)
    return NetworkLine(network=network, state=state, volts=volts, value=value, written=f"{name} {value}")


def written_relay(platform: Platform, name: str, value: str) -> RelayVolts:
    """`KSPLIT` and `held`, `stuck` or `open`; raises WrongUse."""
    relay = find_part(platform, name)
    if platform.parts[relay].kind != "relay":
        raise WrongUse(f"{relay} is not a relay.")
    state = next((state for state in RELAY_STATES if state == value.strip()), None)
    if state is None:
        which = f", not {value}" if value.strip() else ""
        raise WrongUse(
            f"A relay is held (volts at its coil), stuck (none, yet its contact is closed) or open{which}.",
            f"For example: relay {relay} held",
        )
    return RelayVolts(relay=relay, state=state, written=f"{name} {value}")


def written_input(platform: Platform, name: str, value: str) -> InputSeen:
    """`FLAPSW` and `right` or `wrong`; for a module: all of its inputs; raises WrongUse."""
    part = find_part(platform, name)
    if value.strip() not in ("right", "wrong"):
        which = f", not {value}" if value.strip() else ""
        raise WrongUse(f"An input is seen right or wrong{which}.", f"For example: input {part} wrong")
    return InputSeen(part=part, right=value.strip() == "right", written=f"{name} {value}")


def written_volts(platform: Platform, name: str, value: str) -> PinVolts:
    """`CTRL.5` and `0.0V`, or `0.0`: a pin, a side of a fuse, a rail, a splice, a cavity, and its volts to ground;
    raises WrongUse."""
    pin = probe_point(platform, name)
    part = platform.parts[pin.part]
    if part.kind == "battery":
        raise WrongUse(
            f"The volts of a battery are those at rest, or while it is charged: {name}.",
            f"For example: battery {pin.part} rest 12.45V",
        )
    if isinstance(part, Load) and not name.casefold().endswith(f".{pin.pin}".casefold()):
        raise WrongUse(
            f"At which pin of {pin.part}?", "For example: volts HEATER.A5 0.0V. A network: network BODY 2.5V"
        )
    text = value.strip()
    try:
        sign, digits = (-1.0, text[1:]) if text.startswith("-") else (1.0, text)
        volts = sign * (float(digits) if is_bare(digits) else read_quantity(digits, "voltage"))
    except QuantityError as error:
        raise WrongUse(f"A pin has volts to ground: {error}", f"For example: volts {pin} 0.0V") from None
    return PinVolts(pin=pin, volts=volts, written=f"{name} {value}")


def is_bare(text: str) -> bool:
    """Whether a text is a number without a unit."""
    return bool(_BARE.match(text))


def written_position(platform: Platform, name: str, value: str) -> tuple[str, str]:
    """`LIVSW` and `on`: a switch and one of its positions; raises WrongUse."""
    switch = find_part(platform, name)
    part = platform.parts[switch]
    if not isinstance(part, Switch) or not part.positions:
        raise WrongUse(f"{switch} is not a switch with positions.")
    if part.is_key:
        raise WrongUse(
            f"{switch} is the key: what is read speaks of the car parked, with the key at {part.positions[0]}."
        )
    position = as_declared(value.strip(), part.positions)
    if position not in part.positions:
        which = f", not {value.strip()}" if value.strip() else ""
        raise WrongUse(
            f"{switch} stands at {' or '.join(part.positions)}{which}.",
            f"For example: set {switch} {part.positions[-1]}",
        )
    return switch, position


def written_code(platform: Platform, text: str) -> Code:
    """`U0140`, or `U0140 back GATE about BCM`: the code, its standing, who reports it, whom it misses."""
    words = text.split()
    code = words[0].upper() if words else ""
    if not is_code(code):
        raise WrongUse(f"{text} is not a trouble code.", "A code is P, C, B or U and four digits, such as U0140.")
    standing, module, about = "stored", "", ""
    rest = iter(words[1:])
    for word in rest:
        if word in ("stored", "back", "low-voltage"):
            standing = word
        elif word == "about":
            about = find_part(platform, next(rest, "") or _missing(text))
        else:
            module = find_part(platform, word)
    return Code(code=code, standing=standing, module=module, about=about, written=text)  # type: ignore[arg-type]


def _missing(text: str) -> NoReturn:
    raise WrongUse(f"{text}: about which module?")

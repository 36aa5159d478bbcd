"""Names and short phrases as people type them in a card or at a command: parts, networks, trouble codes."""

from collections.abc import Collection
from typing import NoReturn

from circuitmap.evidence.checks_at_parts import RELAY_STATES, InputSeen, RelayVolts
from circuitmap.evidence.codes import Code, is_code
from circuitmap.evidence.network_lines import LineState, NetworkLine, state_at
from circuitmap.failures import WrongUse
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.wiring.names import as_declared, find_name, find_part
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def batteries_of(platform: Platform) -> tuple[str, ...]:
    """The batteries, in name order."""
    return tuple(sorted(part.name for part in platform.parts.values() if part.kind == "battery"))


def check_added(platform: Platform, name: str, fed_from: str) -> tuple[str, str]:
    """The name of what no sheet shows and the full name of what it is fed from; raises WrongUse for the name of a part
    on the sheets."""
    same = next((part for part in platform.parts if part.casefold() == name.casefold()), None)
    if same is not None:
        raise WrongUse(f"{same} is on the sheets already.", f"If it is fitted to this car: option {same}.")
    return name, find_part(platform, fed_from)


def removable(platform: Platform, text: str, added: Collection[str] = ()) -> str:
    """The full name of a part, a plug (`BCM.A`), a star or one of its legs (`X60.1`); or what was `added` to the car
    and is on no sheet."""
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

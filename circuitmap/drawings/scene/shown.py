"""Parts, wires and rails of a platform as they are shown on a drawing."""

from collections.abc import Collection, Iterable, Mapping

from circuitmap.drawings.scene.scene import (
    CoilLook,
    DrawnCoil,
    DrawnContact,
    DrawnFeed,
    DrawnNetwork,
    DrawnPart,
    DrawnSheet,
    DrawnWire,
    DrawnWithin,
    Kind,
    Mark,
    Nature,
    Rail,
    Tap,
)
from circuitmap.drawings.scene.scene import DrawnEnd as SceneEnd
from circuitmap.wiring import platform as wiring
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import (
    Battery,
    Condition,
    Contact,
    Fuse,
    Load,
    OpenEnd,
    Relay,
    Resistor,
    Switch,
    Terminal,
    Undeclared,
)
from circuitmap.wiring.parts import Part as PlatformPart

_JOINTS = {"splice": Kind.SPLICE, "bar": Kind.BAR, "terminal": Kind.TERMINAL, "connector": Kind.CAVITY}
_KINDS = {kind.value: kind for kind in Kind}
_NETWORK_KINDS = {"can": "CAN", "lin": "LIN", "wake": "wake line", "other": ""}


def shown_part(
    part: PlatformPart,
    key: str,
    pins: Iterable[str],
    fitting: Fitting,
    mark: Mark = Mark.NONE,
    named: bool = False,
    with_place: bool = False,
    switches: Iterable[Switch] = (),
    makes_volts: float = 0.0,
) -> DrawnPart:
    """One part with the pins that are used in the drawing. `switches` are those inside of it, on its terminals;
    `makes_volts` is a voltage that it makes itself."""
    kind = Kind.CONVERTER if makes_volts and part.kind == "module" else kind_of(part)
    used = list(dict.fromkeys(pins))
    if kind is Kind.CAVITY:
        return DrawnPart(key, kind, key, tuple(half for half in ("a", "l") if half in used), mark=mark, named=named)
    if kind is Kind.OPEN_END:
        return DrawnPart(key, kind, "", description=part.description or "not typed in")
    contacts = _contacts(part, used, switches)
    coils, within = _coils(part), _within(part, contacts)
    joined = part.joined if isinstance(part, Load) else ()
    if kind in (Kind.SPLICE, Kind.BAR, Kind.TERMINAL):
        used = []
    elif contacts or coils or joined:
        inner = [pin for contact in contacts for pin in (contact.common, contact.other)]
        inner += [pin for coil in coils for pin in (coil.plus, coil.minus)]
        inner += [pin for its in within for pin in (its.first, its.second)]
        used = list(dict.fromkeys([*used, *inner, *(pin for pair in joined for pin in pair)]))
    elif isinstance(part, Fuse):
        used = ["1", "2"]
    return DrawnPart(
        key=key,
        kind=kind,
        name=part.name,
        pins=tuple(used),
        description=part.description,
        rating=f"makes {makes_volts:g} V" if makes_volts else _rating(part),
        place=part.place if with_place else "",
        contacts=contacts,
        coils=coils,
        within=within,
        joined=joined,
        mark=mark,
        named=named,
        note=_note(part, fitting),
    )


def kind_of(part: PlatformPart) -> Kind:
    """What a part is drawn as."""
    if isinstance(part, OpenEnd):
        return Kind.OPEN_END
    if isinstance(part, Switch):
        return Kind.KEY if part.is_key else Kind.RELAY if part.coils else Kind.SWITCH
    if part.kind == "alternator" and "rectif" in part.description.lower():
        return Kind.RECTIFIER  # what is typed as the source of charging current need not be the machine itself
    if isinstance(part, Undeclared):
        return Kind.LOAD
    if part.kind in _JOINTS:
        return _JOINTS[part.kind]
    return _KINDS.get(part.kind, Kind.LOAD)


def _rating(part: PlatformPart) -> str:
    if isinstance(part, Fuse):
        amperes = f"{part.rating:g} A" if part.rating is not None else ""
        return " ".join(word for word in (amperes, part.style, "empty slot" if part.empty else "") if word)
    if isinstance(part, Battery):
        return f"{part.capacity:g} Ah" if part.capacity is not None else ""
    if isinstance(part, Resistor) and part.ohms is not None:
        return f"{part.ohms:g} ohm"
    if isinstance(part, Relay):
        return _relay_words(part)
    return ""


def _relay_words(relay: Relay) -> str:
    """What the symbol of a relay does not tell: how long it holds, how large its resistor is."""
    words = []
    if relay.holds is not None:
        low, high = f"{relay.holds.low:g}", f"{relay.holds.high:g}"
        words.append(f"holds {low if low == high else f'{low} to {high}'} min")
    if relay.across == "resistor" and relay.ohms is not None:
        words.append(f"{relay.ohms:g} ohm")
    return ", ".join(words)


def _note(part: PlatformPart, fitting: Fitting) -> str:
    if isinstance(part, Undeclared):
        return "not declared"
    words = condition_words(part.condition, fitting)
    if part.copied:
        words = f"{words}, not checked" if words else "copied, not checked"
    return words


def condition_words(condition: Condition, fitting: Fitting) -> str:
    """`if TOW`, for what depends on equipment where nobody said whether it is fitted."""
    open_needs = [need for need in condition if need.option not in fitting]
    return " ".join(f"if {need.option}" if need.fitted else f"if not {need.option}" for need in open_needs)


def _contacts(part: PlatformPart, used: Collection[str], switches: Iterable[Switch]) -> tuple[DrawnContact, ...]:
    """The contacts that have a wire in the drawing; for a relay all of them, so that it looks like one."""
    if isinstance(part, Relay):
        return tuple(DrawnContact(c.pin_a, c.pin_b, not c.energised) for c in part.contacts)
    if isinstance(part, Switch) and part.coils:
        rest = part.positions[0]
        return tuple(DrawnContact(c.pin_a, c.pin_b, rest in c.closed_in) for c in part.contacts)
    if isinstance(part, Switch):
        found = [c for c in part.contacts if c.pin_a in used and c.pin_b in used]
        alone = [c for c in part.contacts if (c.pin_a in used) != (c.pin_b in used) and c not in found]
        known = {pin for c in found for pin in (c.pin_a, c.pin_b)}
        found += [c for c in alone if not {c.pin_a, c.pin_b} & known]
        return _closing(part, found)
    return tuple(drawn for switch in switches for drawn in _closing(switch, switch.contacts))


def _closing(switch: Switch, contacts: Iterable[Contact]) -> tuple[DrawnContact, ...]:
    """Contacts with the positions in which they close; two that join the same pins are one."""
    rest = switch.positions[0] if switch.positions else ""
    positions: dict[tuple[str, str], dict[str, None]] = {}
    for contact in contacts:
        pair = (contact.pin_a, contact.pin_b)
        pair = pair[::-1] if pair[::-1] in positions else pair
        positions.setdefault(pair, {}).update(dict.fromkeys(contact.closed_in))
    return tuple(DrawnContact(a, b, rest in closed, ", ".join(closed)) for (a, b), closed in positions.items())


def _coils(part: PlatformPart) -> tuple[DrawnCoil, ...]:
    if isinstance(part, Switch):
        looks = (CoilLook.SET, CoilLook.RESET)
        return tuple(DrawnCoil(*coil, look) for coil, look in zip(part.coils, looks, strict=False))
    if not isinstance(part, Relay):
        return ()
    look = CoilLook.FLASHES if part.flashes else CoilLook.HOLDS if part.holds else CoilLook.PLAIN
    return (DrawnCoil(*part.coil, look),)


def _within(part: PlatformPart, contacts: Collection[DrawnContact]) -> tuple[DrawnWithin, ...]:
    """What lies across a relay's coil, and the load itself in a part that is drawn with its own contacts or metal."""
    if isinstance(part, Relay) and part.across:
        plus, minus = part.coil
        if part.across == "diode":
            return (DrawnWithin(minus, plus, Kind.DIODE),)
        return (DrawnWithin(plus, minus, Kind.RESISTOR),)
    if not isinstance(part, Load) or not (contacts or part.joined):
        return ()
    kind, supplies, grounds = kind_of(part), part.pins_with("supply"), part.pins_with("ground")
    if kind not in (Kind.LAMP, Kind.HEATER):
        supplies = supplies[:1]  # a motor with two supplies is one motor
    metal = {pin: {pin, *(p for pair in part.joined if pin in pair for p in pair)} for pin in (*supplies, *grounds)}
    return tuple(
        DrawnWithin(supply, grounds[0], kind) for supply in supplies if grounds and grounds[0] not in metal[supply]
    )


def shown_wire(
    wire: wiring.Wire, key: str, start: SceneEnd, finish: SceneEnd, fitting: Fitting, mark: Mark, named: bool
) -> DrawnWire:
    """One wire, from `start` to `finish`."""
    base, *tracers = wire.colour or ("",)
    return DrawnWire(
        key=key,
        start=start,
        finish=finish,
        colour=base,
        tracer="/".join(tracers),
        size=wire.size_written.removesuffix("mm2"),
        code=wire.code,
        sheets=wire.sheets,
        nature=Nature(wire.kind),
        mark=mark,
        named=named,
        note=condition_words(wire.condition, fitting),
    )


def shown_rail(terminal: Terminal, platform: wiring.Platform) -> Rail:
    """A battery's post, or a contact of the key, as a rail; DIN 72552 numbers the first 30 and the key's by its pin."""
    part = platform.parts[terminal.part]
    key = f"rail {terminal}"
    if isinstance(part, Switch):
        positions = dict.fromkeys(p for c in part.contacts if terminal.pin in c[:2] for p in c.closed_in)
        return Rail(key, terminal.pin, f"{', '.join(positions)} ({part.name})", DrawnFeed.SWITCHED)
    words = "tap, constant" if terminal.pin == "mid" else "constant"
    batteries = [p.name for p in platform.parts.values() if isinstance(p, Battery)]
    number = "30" if terminal.pin != "mid" and batteries[0] == part.name else ""
    return Rail(key, number, f"{words}, {terminal}" if number else f"{terminal} {words}", DrawnFeed.CONSTANT)


def shown_network(
    network: wiring.Network, platform: wiring.Platform, drawn: Collection[str], mark: Mark = Mark.NONE
) -> DrawnNetwork:
    """A network with a tap for every member that is drawn."""
    star_of = {
        part: star.name
        for star in platform.stars.values()
        if star.network == network.name
        for leg in star.legs
        for part in leg
    }
    taps = tuple(
        Tap(member.part, tap_pin(network.name, member.pins), star_of.get(member.part, ""))
        for member in network.members
        if member.part in drawn
    )
    kind = _NETWORK_KINDS[network.kind]
    description = "" if network.name.lower() in network.description.lower() else network.description
    words = " ".join(word for word in (description or "network", f"({kind})" if kind else "") if word)
    stars = {tap.star for tap in taps}
    if len(stars) == 1 and "" not in stars:
        words = f"{words}, star {stars.pop()}"
        taps = tuple(tap._replace(star="") for tap in taps)
    if len(taps) < len(network.members):
        words = f"{words}, {len(taps)} of {len(network.members)} members shown"
    return DrawnNetwork(f"network {network.name}", network.name, words, taps, mark)


def tap_pin(network: str, pins: tuple[str, ...]) -> str:
    """The pins of one member as they are written on the drawing; a member without pins has one that is not shown."""
    return ", ".join(pins) if pins else f"~{network}"


def shown_sheets(wires: Iterable[DrawnWire], sheets: Mapping[str, wiring.Sheet]) -> tuple[DrawnSheet, ...]:
    """The sheets that these wires are on, in the order of the platform."""
    used = {name for wire in wires for name in wire.sheets}
    return tuple(DrawnSheet(name, sheet.title) for name, sheet in sheets.items() if name in used)

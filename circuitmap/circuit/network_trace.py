"""One data network or wake line: its members and the fuses they are on, what it wakes and what wakes it, its stars."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.one_metal import DRAWN_METAL, metal_from
from circuitmap.circuit.unknowns import no_feed, options_not_said
from circuitmap.circuit.waking import Woken, members_of, wakes_by_itself, woken_by
from circuitmap.circuit.worked_by import Worked, waking_pins
from circuitmap.effort import Effort
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Network, Star

MOST_WOKEN = 300_000
"""How many networks are found awake, over all networks, while it is worked out what wakes one (judgement: about a
second)."""


class NetworkMember(NamedTuple):
    """A module on the network: its `pins` there, and its supply pins, each with the fuses it hangs on directly.

    `joins` are the other networks that it is a gateway to. It `listens` or `drives` where that was said.
    """

    part: str
    pins: tuple[str, ...]
    feeds: tuple[tuple[Terminal, tuple[str, ...]], ...]
    joins: tuple[str, ...]
    waking: str = ""


class NetworkWire(NamedTuple):
    """One line of a network as it is wired: the members' pins that it joins, the splices and cavities it passes, the
    sheets it is on, and the resistors that lie at it."""

    pins: tuple[Terminal, ...]
    splices: tuple[str, ...]
    cavities: tuple[str, ...]
    sheets: tuple[str, ...]
    resistors: tuple[str, ...] = ()


@dataclass(frozen=True)
class NetworkTrace:
    """What is known of one network. `wakes` stay awake as long as it does, `woken_from` keep it awake in turn; each
    through a gateway, and by another member than that. `wakers` are the members that can keep it awake, each with its
    wake pins; one without any wakes by itself only, as far as was typed."""

    network: Network
    members: tuple[NetworkMember, ...]
    wakes: tuple[Woken, ...]
    woken_from: tuple[Woken, ...]
    wakers: tuple[Worked, ...]
    stars: tuple[Star, ...]
    lines: tuple[NetworkWire, ...]
    unknown: tuple[Unknown, ...]


def network_trace(feeding: Feeding, name: str) -> NetworkTrace:
    """The network of this full name, as it is in this car."""
    platform, fitting = feeding.circuit.platform, feeding.fitting
    network = platform.networks[name]
    pins = {member.part: member.pins for member in network.members}
    waking = {member.part: member.waking for member in network.members}
    members = []
    unknown: dict[Unknown, None] = {}
    if network.copied:
        unknown[Unknown("copied", name, network.copied, network.sheets)] = None
    for part in members_of(platform, name, fitting):
        takings = [its for its in feeding.of_part.get(part, ()) if its.kind == "load"]
        joins = [gateway.joins for gateway, _ in platform.gateways_on.get(name, ()) if gateway.module == part]
        others = dict.fromkeys(other for its in joins for other in its if other != name)
        feeds = tuple((its.terminal, its.last_fuses) for its in takings)
        members.append(NetworkMember(part, pins.get(part, ()), feeds, tuple(others), waking.get(part, "")))
        if part not in feeding.circuit.loads:
            unknown[Unknown("not declared", part)] = None
        elif any(its.paths.cut_off for its in takings):
            unknown[Unknown("cut off", part)] = None
        elif not any(path.known for its in takings for path in its.paths.direct):
            unknown.update((no_feed(its.terminal), None) for its in takings)
        if part in platform.parts:
            if platform.parts[part].copied:
                unknown[Unknown("copied", part, platform.parts[part].copied, platform.parts[part].sheets)] = None
            unknown.update(dict.fromkeys(options_not_said(fitting, (platform.parts[part].condition,))))
    woken_from = []
    effort = Effort(MOST_WOKEN)
    for other in platform.networks:
        if other == name:
            continue
        if effort.used_up:
            unknown[Unknown("cut off", name)] = None
            break
        woken = woken_by(platform, other, fitting)
        effort.spend(len(woken) + 1)
        found = next((its for its in woken if its.network == name), None)
        if found is not None and wakes_by_itself(platform, other, name, fitting):
            woken_from.append(found._replace(network=other))
    return NetworkTrace(
        network=network,
        members=tuple(members),
        wakes=tuple(
            its
            for its in woken_by(platform, name, fitting)
            if effort.used_up or wakes_by_itself(platform, name, its.network, fitting)
        ),
        woken_from=tuple(woken_from),
        wakers=tuple(
            Worked(its.part, waking_pins(feeding, its.part), ())
            for its in members
            if its.waking != "listens" and its.part in feeding.circuit.loads
        ),
        stars=tuple(
            star
            for star in platform.stars.values()
            if star.network == name and holds(star.condition, fitting) != Answer.NO
        ),
        lines=tuple(_lines(feeding, members)),
        unknown=tuple(unknown),
    )


def _lines(feeding: Feeding, members: Iterable[NetworkMember]) -> Iterator[NetworkWire]:
    """The wires that lead from the members' pins, as far as they are metal; none where no wire is typed."""
    circuit = feeding.circuit
    ends = [Terminal(member.part, pin) for member in members for pin in member.pins]
    seen: set[int] = set()
    for end in ends:
        start = circuit.number.get(end)
        if start is None or start in seen:
            continue
        nodes, links = metal_from(circuit, start, feeding.fitting)
        passed: dict[str, None] = {}
        sheets: dict[str, None] = {}
        resistors: dict[str, None] = {}
        for i in links:
            link = circuit.links[i]
            if link.kind == "resistor":
                resistors[link.part] = None
            if link.kind in DRAWN_METAL:
                sheets.update(dict.fromkeys(link.wire.sheets if link.wire else ()))
            if link.kind == "cavity":
                passed[str(link.a)] = None
        seen.update(nodes)
        met = [circuit.nodes[node] for node in nodes]
        kinds = {part.name: part.kind for t in met if (part := circuit.platform.parts.get(t.part))}
        splices = dict.fromkeys(t.part for t in met if kinds.get(t.part) in ("splice", "terminal"))
        if len(nodes) > 1:
            on_it = frozenset(nodes)
            at_members = tuple(its for its in ends if circuit.number.get(its) in on_it)
            yield NetworkWire(at_members, tuple(splices), tuple(passed), tuple(sheets), tuple(resistors))

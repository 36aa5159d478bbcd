"""Networks join at least two modules, and modules need a feed."""

from collections import Counter
from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.loads import has_feed
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.parts import Load, Terminal
from circuitmap.wiring.platform import Network, Platform


def networks_of_one(platform: Platform) -> Iterator[Problem]:
    """A network with at most one member; a gateway that joins it counts as a member."""
    for network in platform.networks.values():
        if network.name in platform.doubted or network.declared is None:
            continue
        members = {*network.member_names, *(g.module for g in platform.gateways if network.name in g.joins)}
        if len(members) < 2:
            only = f"only {min(members)}" if members else "no member"
            yield Problem(
                "network-one-member",
                Severity.WARNING,
                f"The network {network.name} has {only}.",
                network.declared,
            )


def unfed_members(platform: Platform) -> Iterator[Problem]:
    """Modules on a network with nothing typed in that could feed them, network by network."""
    stated = {its.part for its in platform.stated}
    told: set[str] = set()
    for network in platform.networks.values():
        unfed = []
        for member in network.members:
            load = platform.parts[member.part]
            if member.part in told or member.part in platform.doubted or not isinstance(load, Load):
                continue
            told.add(member.part)
            grounded = any(pin in wired_pins(platform, load.name) for pin in load.pins_with("ground"))
            if not grounded and not has_feed(platform, load, stated):
                unfed.append(member)
        if unfed:
            yield Problem(
                "member-unfed",
                Severity.NOTE,
                f"No feed is typed in for {listed(m.part for m in unfed)} on the network {network.name}.",
                min(member.span for member in unfed),
                advice=f"The fuse chart will do: its name, then feeds {', '.join(m.part for m in unfed[:3])}.",
            )


def gateways_of_one(platform: Platform) -> Iterator[Problem]:
    for gateway in platform.gateways:
        if len(gateway.joins) < 2 and platform.doubted.isdisjoint((gateway.module, *gateway.joins)):
            joined = f"only {gateway.joins[0]}" if gateway.joins else "no network"
            yield Problem(
                "gateway-one-network",
                Severity.WARNING,
                f"The gateway {gateway.module} joins {joined}.",
                gateway.span,
            )


def crossed_lines(platform: Platform) -> Iterator[Problem]:
    """A pin of a network that wires join with another line of it than the same pin of the other members. Which pin was
    written first is not the same everywhere: who is crossed with all of its pins may be right."""
    for network in platform.networks.values():
        if network.name in platform.doubted:
            continue
        lines = _lines(platform, network)
        for member in network.members:
            if member.part in platform.doubted:
                continue
            wired = wired_pins(platform, member.part)
            nets = {pin: platform.nets.key(Terminal(member.part, pin)) for pin in member.pins if pin in wired}
            if len(set(nets.values())) == len(member.pins) and set(nets.values()) <= set(lines):
                continue
            for at, pin in enumerate(member.pins):
                if pin not in nets or at >= len(lines) or nets[pin] == lines[at] or nets[pin] not in lines:
                    continue
                right = lines.index(nets[pin])
                yield Problem(
                    "lines-crossed",
                    Severity.WARNING,
                    f"{member.part}.{pin} is pin {at + 1} of {network.name} and is joined with the pins {right + 1} of "
                    "the other members.",
                    max(wire.spans[0] for wire in wired[pin]),
                )
                break


def _lines(platform: Platform, network: Network) -> list[Terminal]:
    """The net of each line of a network: the one that most members have that pin on, two at least."""
    found: list[Terminal] = []
    for at in range(max((len(member.pins) for member in network.members), default=0)):
        count = Counter(
            platform.nets.key(Terminal(member.part, member.pins[at]))
            for member in network.members
            if at < len(member.pins) and member.pins[at] in wired_pins(platform, member.part)
        )
        most = count.most_common(2)
        if not most or most[0][1] < 2 or (len(most) > 1 and most[0][1] == most[1][1]):
            return []
        found.append(most[0][0])
    return found if len(set(found)) == len(found) else []

"""Networks join at least two modules, and modules need a feed."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.loads import has_feed
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform


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

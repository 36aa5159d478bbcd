"""`common` as JSON."""

from typing import Any

from circuitmap.circuit.common import InCommon, Shared
from circuitmap.circuit.common_beside import FeedOfSome
from circuitmap.circuit.common_networks import SharedNetwork
from circuitmap.circuit.demands import Demands
from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.reports.circuit.common_text import named_in
from circuitmap.reports.circuit.worked_text import worked_json
from circuitmap.reports.words.hands_off_words import untouchable_among, untouchable_json
from circuitmap.reports.words.unknown_words import unknown_json
from circuitmap.wiring.platform import Platform


def common_json(platform: Platform, shared: InCommon, hands_off: HandsOffMap | None = None) -> dict[str, Any]:
    supply = shared.supply
    nearest = supply.nearest
    return {
        "fuses": list(shared.fuses),
        "quiet": list(shared.quiet),
        "hands_off": untouchable_json(untouchable_among(hands_off, named_in(shared))),
        "loads": {load: list(fuses) for load, fuses in shared.loads.items()},
        "inputs": {
            fuse: [{"part": its.part, "at": its.terminal.as_typed, "kind": its.kind} for its in takings]
            for fuse, takings in shared.inputs.items()
        },
        "common_loads": [entry.name for entry in shared.common_loads],
        "common_splices": [entry.name for entry in shared.common_splices],
        "common_supply": {
            "nearest": nearest.name if nearest else None,
            "chain": [{"kind": point.kind, "name": point.name} for point in supply.chain],
            "contacts": list(supply.contacts),
            "unfed": list(supply.unfed),
            "main_nearest": str(shared.main_nearest) if shared.main_nearest else None,
            "easiest_nearest": str(shared.easiest_nearest) if shared.easiest_nearest else None,
            "easiest_if": _needs(shared.easiest_needs) if shared.easiest_nearest else [],
            "of_some": [_of_some(its) for its in shared.feed_of_some],
            "main": list(shared.main_supply),
            "quiet": list(shared.supply_quiet),
            "quiet_if_closed": {fuse: list(contacts) for fuse, contacts in shared.supply_open.items()},
        },
        "networks": [_network(network) for network in shared.networks],
        "wake_lines": [_network(line) for line in shared.wake_lines],
        "grounds": [_shared(entry) for entry in shared.grounds],
        "shared": [{**_shared(entry), **_partly(entry), **_cavities(entry)} for entry in shared.shared],
        "fed_by": {fuse: list(above) for fuse, above in shared.above.items()},
        "fed_by_if": {
            fuse: [{"fuse": its.fuse, "batteries": list(its.batteries), "if": _needs(its.demands)} for its in perhaps]
            for fuse, perhaps in shared.above_if.items()
        },
        "joins": {
            fuse: [{"battery": its.battery, "others": list(its.others), "if": _needs(its.demands)} for its in joins]
            for fuse, joins in shared.joins.items()
        },
        "second_feeds": [
            {
                "batteries": list(its.batteries),
                "contacts": list(its.contacts),
                "fuses": list(its.fuses),
                "if": _needs(its.demands),
            }
            for its in shared.second
        ],
        "worked_by": worked_json(platform, shared.worked),
        "incomplete": [unknown_json(entry) for entry in shared.incomplete],
        "cut_off": shared.cut_off,
    }


def _shared(entry: Shared) -> dict[str, Any]:
    return {
        "kind": entry.kind,
        "name": entry.name,
        "fuses": list(entry.fuses),
        "missing": list(entry.missing),
        "quiet": list(entry.quiet),
        "how": {fuse: list(ways) for fuse, ways in entry.how.items()},
    }


def _partly(entry: Shared) -> dict[str, Any]:
    its = entry.partly
    return {"partly": {"on": its.on, "of": its.of, "if": _needs(its.demands)} if its else None}


def _cavities(entry: Shared) -> dict[str, Any]:
    return {
        "cavities": {fuse: list(its) for fuse, its in entry.cavities.items()},
        "apart": {fuse: list(positions) for fuse, positions in entry.apart.items()},
    }


def _of_some(its: FeedOfSome) -> dict[str, Any]:
    nearest = its.supply.nearest
    return {"fuses": list(its.fuses), "nearest": nearest.name if nearest else None}


def _needs(demands: Demands) -> list[dict[str, Any]]:
    return [{"kind": subject.kind, "name": subject.name, "in": sorted(states)} for subject, states in demands.items()]


def _network(network: SharedNetwork) -> dict[str, Any]:
    return {
        "name": network.name,
        "kind": network.kind,
        "fuses": list(network.fuses),
        "direct": list(network.direct),
        "missing": list(network.missing),
        "quiet": list(network.quiet),
        "members": [
            {
                "part": member.part,
                "network": member.network,
                "fuses": list(member.fuses),
                "quiet": list(member.quiet),
                "all_fuses": list(member.all_fuses),
            }
            for member in network.members
        ],
        "unlisted": list(network.unlisted),
        "through": [
            {"network": woken.network, "gateway": woken.gateway, "by": woken.by, "sure": woken.sure}
            for woken in network.through
        ],
        "others": list(network.others),
    }

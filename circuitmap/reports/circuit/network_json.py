"""`trace` of a network as JSON."""

from collections.abc import Mapping
from typing import Any

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.network_trace import NetworkTrace
from circuitmap.circuit.waking import Woken
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.network_text import named_on
from circuitmap.reports.circuit.worked_text import worked_json
from circuitmap.reports.words.feed_words import feed_json
from circuitmap.reports.words.hands_off_words import untouchable_among, untouchable_json
from circuitmap.reports.words.unknown_words import unknown_json
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform


def network_json(
    platform: Platform, trace: NetworkTrace, fed: Mapping[Terminal, Feed], hands_off: HandsOffMap | None = None
) -> dict[str, Any]:
    network = trace.network
    return {
        "network": {
            "name": network.name,
            "kind": network.kind,
            "description": network.description,
            "hands_off": untouchable_json(untouchable_among(hands_off, named_on(trace))),
            "members": [
                {
                    "part": member.part,
                    "pins": list(member.pins),
                    "fuses": list(dict.fromkeys(fuse for _, fuses in member.feeds for fuse in fuses)),
                    "fed": feed_json([fed[terminal] for terminal, _ in member.feeds if terminal in fed]),
                    "gateway_to": list(member.joins),
                    "waking": member.waking,
                }
                for member in trace.members
            ],
            "wakes": [_woken(its) for its in trace.wakes],
            "woken_from": [_woken(its) for its in trace.woken_from],
            "wakers": [{"part": its["part"], "pins": its["pins"]} for its in worked_json(platform, trace.wakers)],
            "stars": [
                {"name": star.name, "place": star.place, "legs": [list(leg) for leg in star.legs]}
                for star in trace.stars
            ],
            "lines": [
                {
                    "pins": [str(pin) for pin in line.pins],
                    "splices": list(line.splices),
                    "resistors": list(line.resistors),
                    "cavities": list(line.cavities),
                    "sheets": list(line.sheets),
                }
                for line in trace.lines
            ],
            "sheets": list(network.sheets),
            "incomplete": [unknown_json(entry) for entry in trace.unknown],
        }
    }


def _woken(its: Woken) -> dict[str, Any]:
    return {"network": its.network, "gateway": its.gateway, "sure": its.sure}

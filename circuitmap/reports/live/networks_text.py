"""What keeps the networks awake, and which of them are parted, as text and as JSON."""

from typing import Any

from circuitmap.power.evaluate import Powered
from circuitmap.power.networks_apart import NetworkApart, networks_apart
from circuitmap.power.why_awake import Waking, kept_awake_by
from circuitmap.reports.words.paragraphs import joined, listed
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.platform import Platform

_MOST_OTHERS = 20


def network_lines(powered: Powered, width: int) -> list[list[str]]:
    """Who keeps each network awake; then those that what is unplugged has parted."""
    platform = powered.circuit.platform
    apart = [(named_network(platform, its.network), _apart_words(its)) for its in networks_apart(powered)]
    return [_awake(powered, width), listed(f"NETWORKS PARTED  {len(apart)}", apart, width)]


def _apart_words(its: NetworkApart) -> str:
    apart = " apart from ".join(joined(piece) for piece in its.pieces)
    return f"{apart}; one wire of the pair still leads across: it may or may not wake them" if its.one_wire else apart


def networks_apart_json(powered: Powered) -> list[dict[str, Any]]:
    return [
        {"network": its.network, "pieces": [list(piece) for piece in its.pieces], "one_wire": its.one_wire}
        for its in networks_apart(powered)
    ]


def _awake(powered: Powered, width: int) -> list[str]:
    rows = []
    for name, answer in powered.networks.items():
        if answer == Answer.NO:
            continue
        # What only may keep awake what something surely does is no news.
        keeping = kept_awake_by(powered, name)
        as_surely = [waking for waking in keeping if waking.answer == answer]
        by = list(dict.fromkeys(_waking_words(waking) for waking in as_surely or keeping))
        if len(by) > _MOST_OTHERS + 1:
            by = [*by[:_MOST_OTHERS], f"{len(by) - _MOST_OTHERS} more"]
        may = "may be: " if answer == Answer.MAY_BE else ""
        rows.append((named_network(powered.circuit.platform, name), f"{may}{'; '.join(by)}" or "-"))
    return listed(f"NETWORKS AWAKE  {len(rows)}", rows, width)


def named_network(platform: Platform, name: str) -> str:
    network = platform.networks.get(name)
    return f"{name}, {network.description}" if network is not None and network.description else name


def _waking_words(waking: Waking) -> str:
    return {
        "said": f"{waking.name} as you said",
        "wake pin": f"wake pin {waking.name} {_AT_A_WAKE_PIN[waking.by or 'plus']}",
        "output": f"{'while ' if waking.answer == Answer.MAY_BE else ''}{waking.name} is on",
        "network": f"woken from {waking.name}",
        "wake line": f"wake line {waking.name}",
        "runs on": f"{waking.name} runs on",
    }[waking.kind]


_AT_A_WAKE_PIN = {"plus": "live", "ground": "grounded", "opening": "without its ground"}

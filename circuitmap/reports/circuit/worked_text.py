"""What works the relays and outputs on the ways of a trace, as text and in short as JSON: each pin has a trace of its
own."""

from collections.abc import Mapping, Sequence
from typing import Any

from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.circuit.worked_by import Worked, WorkingPin
from circuitmap.power.feeds import Feed
from circuitmap.reports.words.feed_words import demand_words, feed_words
from circuitmap.reports.words.paragraphs import joined, shortened, table
from circuitmap.reports.words.part_words import signal_words, terminal_words
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform

_MOST_WAYS = 3


def worked_lines(platform: Platform, worked: Sequence[Worked], fed: Mapping[Terminal, Feed], width: int) -> list[str]:
    """A row for each pin; pins of one part of which the same is said share one."""
    rows = []
    for its in worked:
        alike: dict[tuple[str, str], list[str]] = {}
        for pin in its.pins:
            alike.setdefault((pin.role, _pin_words(pin, fed)), []).append(terminal_words(platform, pin.terminal))
        told = [f"{_what(role)} {joined(pins)}{words}" for (role, words), pins in alike.items()]
        told += [f"on the network {joined(its.networks)}"] if its.networks else []
        rows += [(its.part if number == 0 else "", words) for number, words in enumerate(told)]
    return ["WORKED BY", *table(rows, width)] if rows else []


def _what(role: str) -> str:
    return {"coil": "coil", "supply": "supply"}.get(role) or signal_words(role)


def _pin_words(pin: WorkingPin, fed: Mapping[Terminal, Feed]) -> str:
    """`, through FA6 and FB10: live in run; grounded when A1.9 is on`, to stand behind `coil K2.86`."""
    ways = [joined(fuses) if fuses else "no fuse" for fuses in pin.fuses]
    more = [f"{len(ways) - _MOST_WAYS} more ways"] if len(ways) > _MOST_WAYS else []
    through = f", through {', or '.join([*ways[:_MOST_WAYS], *more])}" if ways else ""
    when = f": {feed_words(fed[pin.terminal])}" if pin.supply and pin.terminal in fed else _by_way_of(pin, fed)
    return f"{through}{when}{_ground_words(pin.ground, bool(pin.supply))}"


def _by_way_of(pin: WorkingPin, fed: Mapping[Terminal, Feed]) -> str:
    """What its one way passes behind the last fuse, where nothing is said of when it is live."""
    if fed or len(pin.supply) != 1:
        return ""
    way = pin.supply[0]
    last = max((number for number, step in enumerate(way.steps, 1) if step.link.kind in PROTECTIVE), default=0)
    ends = (step.link.contact or (str(step.end) if step.link.kind == "cavity" else step.end.part) for step in way.steps)
    told = [name for name in dict.fromkeys(list(ends)[last:]) if name and name.partition(".")[0] != pin.terminal.part]
    parts = [name for name in told if not any(other.startswith(f"{name}.") for other in told)]
    return f", by way of {shortened(parts)}" if parts else ""


def _ground_words(ways: Sequence[Path], fed: bool) -> str:
    """What must hold for its ground; nothing where it is always grounded."""
    needs = [demand_words(path.demands) for path in ways]
    if not needs or (fed and not all(needs)):
        return ""
    told = list(dict.fromkeys(words for words in needs if words))
    when = f" when {', or '.join(told[:_MOST_WAYS])}" if told else ""
    return f"; grounded{when}" if fed else f": grounded{when}"


def worked_json(platform: Platform, worked: Sequence[Worked]) -> list[dict[str, Any]]:
    return [
        {
            "part": its.part,
            "networks": list(its.networks),
            "pins": [
                {
                    "pin": terminal_words(platform, pin.terminal),
                    "role": pin.role,
                    "supply": [_way(path) for path in pin.supply],
                    "ground": [{"contacts": [link.contact for link in path.contacts]} for path in pin.ground],
                }
                for pin in its.pins
            ],
        }
        for its in worked
    ]


def _way(path: Path) -> dict[str, Any]:
    return {"fuses": list(path.fuses), "contacts": [link.contact for link in path.contacts]}

"""What works the relays and outputs on the ways of a trace, as text and in short as JSON: each pin has a trace of its
own."""

from collections.abc import Mapping, Sequence
from typing import Any

from circuitmap.circuit.link import Link
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.circuit.worked_by import Worked, WorkingPin
from circuitmap.power.feeds import Feed
from circuitmap.reports.words.demand_words import demand_words
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.paragraphs import joined, shortened, table
from circuitmap.reports.words.part_words import most_words, signal_words, terminal_words, time_words
from circuitmap.wiring.parts import Load, Switch, Terminal
from circuitmap.wiring.platform import Output, Platform

_MOST_WAYS = 3


def worked_lines(
    platform: Platform, worked: Sequence[Worked], fed: Mapping[Terminal, Feed], width: int, whole: bool = False
) -> list[str]:
    """A row for each pin; pins of one part of which the same is said share one."""
    rows = []
    for its in worked:
        alike: dict[tuple[str, str], list[str]] = {}
        for pin in its.pins:
            words = f"{_pin_words(platform, pin, fed, whole)}{wakes_for(platform, pin)}"
            alike.setdefault((pin.role, words), []).append(terminal_words(platform, pin.terminal))
        rests = "at rest; pulls in by " if its.at_rest else ""
        told = [f"{rests}{_what(role)} {joined(pins)}{words}" for (role, words), pins in alike.items()]
        told += [f"output {output.contact}: {_output_words(output)}" for output in its.outputs]
        part = platform.parts.get(its.part)
        told += [f"runs on for {time_words(part.run_on)}"] if isinstance(part, Load) and part.run_on else []
        told += [f"on the network {joined(its.networks)}"] if its.networks else []
        rows += [(its.part if number == 0 else "", words) for number, words in enumerate(told)]
    return ["WORKED BY", *table(rows, width)] if rows else []


def _output_words(output: Output) -> str:
    """What the sheet says of it, and how long it is on."""
    lasts = most_words(output.lasts) if output.lasts is not None else ""
    return ", ".join(words for words in (output.description, lasts) if words)


def wakes_for(platform: Platform, pin: WorkingPin) -> str:
    """`, at most 10 min`: how long a wake pin keeps its module awake, where the sheet says it."""
    part = platform.parts.get(pin.terminal.part)
    lasts = part.lasts.get(pin.terminal.pin) if isinstance(part, Load) else None
    return f", {most_words(lasts)}" if lasts is not None else ""


def _what(role: str) -> str:
    return {"coil": "coil", "supply": "supply"}.get(role) or signal_words(role)


def _pin_words(platform: Platform, pin: WorkingPin, fed: Mapping[Terminal, Feed], whole: bool) -> str:
    """`, through FA6 and FB10: live in run; grounded when A1.9 is on`, to stand behind `coil K2.86`."""
    ways = [joined(fuses) if fuses else "no fuse" for fuses in pin.fuses]
    most = len(ways) if whole else _MOST_WAYS
    more = [f"{len(ways) - most} more ways"] if len(ways) > most else []
    through = f", through {', or '.join([*ways[:most], *more])}" if ways else ""
    when = f": {feed_words(fed[pin.terminal], whole)}" if pin.supply and pin.terminal in fed else _by_way_of(pin, fed)
    if _wakes_by_opening(platform, pin):
        return f"{through}{when}: {_opening_words(platform, pin)}"
    return f"{through}{when}{_ground_words(pin.ground, bool(pin.supply))}"


def _wakes_by_opening(platform: Platform, pin: WorkingPin) -> bool:
    """Whether a wake pin wakes when its ground goes: the sheet says so, or it is grounded in the parked vehicle. As
    `power/wake_pins.py` has it."""
    part = platform.parts.get(pin.terminal.part)
    if pin.role != "wake" or not isinstance(part, Load) or not pin.ground:
        return False
    said = part.wakes_by.get(pin.terminal.pin)
    if said or pin.supply:
        return said == "opening"
    return any(all(_holds_at_rest(platform, link) for link in path.contacts) for path in pin.ground)


def _holds_at_rest(platform: Platform, link: Link) -> bool:
    part = platform.parts.get(link.part)
    if isinstance(part, Switch):
        return bool(part.positions) and part.positions[0] in link.closed_in
    return link.energised is False


def _opening_words(platform: Platform, pin: WorkingPin) -> str:
    """`wakes when its ground opens, with S12 open`. Of several ways to ground all must open."""
    ways = [_opened_by(platform, pin.terminal.part, path) for path in pin.ground]
    told = [words for words in dict.fromkeys(ways) if words]
    when = f", with {' and '.join(told[:_MOST_WAYS])}" if len(told) == len(set(ways)) <= _MOST_WAYS else ""
    return f"wakes when its ground opens{when}"


def _opened_by(platform: Platform, module: str, path: Path) -> str:
    """The positions of the switches on a way to ground that open it."""
    found = []
    for link in path.contacts:
        part = platform.parts.get(link.part)
        if isinstance(part, Switch):
            others = [position for position in part.positions if position not in link.closed_in]
            found += [f"{part.name} {joined(others, 'or')}"] if others else []
        elif link.part != module:
            found.append(f"{link.contact} open")
    return joined(found, "or")


def waking_words(platform: Platform, pin: WorkingPin, fed: Mapping[Terminal, Feed], whole: bool) -> str:
    """`live in run`, `grounded when S13 is open`: when a wake pin gets what its wire brings. What the output of another
    module brings is told by that output, not by all that wakes that module in turn."""
    if _wakes_by_opening(platform, pin):
        return _opening_words(platform, pin)
    by_outputs = [any(link.output is not None for link in path.contacts) for path in pin.supply]
    if pin.supply and not all(by_outputs):
        return feed_words(fed[pin.terminal], whole) if pin.terminal in fed else "gets plus"
    demands = (path.demands.items() for path in pin.supply or pin.ground)
    of_car = ({subject: states for subject, states in its if subject.kind != "option"} for its in demands)
    needs = dict.fromkeys(demand_words(its, platform) for its in of_car)
    told = [words for words in needs if words]
    got = "live" if pin.supply else "grounded"
    if not told or len(told) < len(needs):
        return f"always {got}"
    return f"{got} when {', or '.join(told if whole else told[:_MOST_WAYS])}"


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
            "at_rest": its.at_rest,
            "networks": list(its.networks),
            "outputs": [{"output": output.contact, "description": output.description} for output in its.outputs],
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

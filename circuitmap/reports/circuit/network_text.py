"""`trace` of a network as text: who is on it, how each is fed, what it wakes and what wakes it, its stars."""

from collections.abc import Iterable, Iterator, Mapping

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.network_trace import NetworkMember, NetworkTrace, NetworkWire
from circuitmap.circuit.waking import Woken
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.worked_text import wakes_for, waking_words
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.hands_off_words import in_one_line, untouchable_among
from circuitmap.reports.words.paragraphs import (
    WIDTH,
    as_text,
    counted,
    cut_short,
    joined,
    listed,
    section,
    shortened,
    table,
    wrapped,
)
from circuitmap.reports.words.part_words import named, terminal_words
from circuitmap.reports.words.unknown_words import unknown_sentences
from circuitmap.wiring.parts import Resistor, Terminal
from circuitmap.wiring.platform import Platform

_KINDS = {"can": "CAN", "lin": "LIN", "wake": "wake line", "other": "network"}


def network_text(
    platform: Platform,
    trace: NetworkTrace,
    fed: Mapping[Terminal, Feed],
    width: int = WIDTH,
    whole: bool = False,
    hands_off: HandsOffMap | None = None,
) -> str:
    """`fed` says for each supply pin of a member when it is live. Long lists are cut short unless the `whole` is asked
    for. With `hands_off` it says who of them nobody touches."""
    network = trace.network
    about = f", {network.description}" if network.description else ""
    head = f"{network.name}{about}; {_KINDS[network.kind]}; {counted(len(trace.members), 'member')}."
    lines = wrapped(head, rest=" ", width=width)
    if len(trace.members) > 1:
        lines += wrapped(_who_wakes(trace), " ", "   ", width)
    if network.kind in _AT_REST:
        lines += wrapped(_AT_REST[network.kind], " ", "   ", width)
    if trace.wakes:
        lines += wrapped(f"It keeps awake also {_woken(trace.wakes)}.", " ", "   ", width)
    if trace.woken_from:
        lines += wrapped(f"Kept awake by {_woken(trace.woken_from)}.", " ", "   ", width)
    lines += section("HANDS OFF", in_one_line(untouchable_among(hands_off, named_on(trace))), width)
    blocks = [["MEMBERS", *_members(platform, trace, fed, width)]] if trace.members else []
    blocks.append(listed("WHO CAN KEEP IT AWAKE", _wakers(platform, trace, fed, whole), width))
    for star in trace.stars:
        place = f", {star.place}" if star.place else ""
        sentence = f"STAR {star.name}{place}: one leg opened takes off the network"
        blocks.append([*wrapped(sentence, rest=" ", width=width), *(f" {joined(leg)}" for leg in star.legs)])
    blocks.append(listed(f"LINES  {len(trace.lines)}", [_line_row(platform, its) for its in trace.lines], width))
    blocks += [
        section("SHEETS", [", ".join(network.sheets)] if network.sheets else [], width),
        section("NOT KNOWN", unknown_sentences(platform, trace.unknown), width),
    ]
    return as_text(lines, *(blocks if whole else map(cut_short, blocks)))


def named_on(trace: NetworkTrace) -> Iterator[str]:
    """The network and its members."""
    yield trace.network.name
    yield from (member.part for member in trace.members)


_AT_REST = {
    "can": "At rest each line is near 0 V to ground, awake about 2.5 V.",
    "lin": "At rest its line is near battery volts to ground; talking pulls it down.",
}
"""As `evidence/network_lines.py` judges a reading: sources there. Of other lines volts say nothing."""


def _who_wakes(trace: NetworkTrace) -> str:
    listening = [member.part for member in trace.members if member.waking == "listens"]
    driving = [member.part for member in trace.members if member.waking == "drives"]
    sentence = "Any one of them that is awake keeps all of them awake"
    sentence += f", but {joined(listening)}" if listening else ""
    sentence += f"; nobody wakes {joined(driving, 'or')}" if driving else ""
    return f"{sentence}."


def _wakers(
    platform: Platform, trace: NetworkTrace, fed: Mapping[Terminal, Feed], whole: bool
) -> Iterator[tuple[str, str]]:
    """What wakes each member that can keep it awake, so that somebody at the car knows where to look."""
    for its in trace.wakers:
        for number, pin in enumerate(its.pins):
            words = f"{terminal_words(platform, pin.terminal)} {waking_words(platform, pin, fed, whole)}"
            words += wakes_for(platform, pin)
            yield (its.part if number == 0 else "", words)
    by_themselves = [its.part for its in trace.wakers if not its.pins]
    if by_themselves:
        yield ("others", f"{joined(by_themselves)}: by themselves; no wake pin is wired, as far as was typed in")


def _line_row(platform: Platform, line: NetworkWire) -> tuple[str, str]:
    passed = [f"splice {shortened(line.splices)}"] if line.splices else []
    passed += [f"cavity {shortened(line.cavities)}"] if line.cavities else []
    passed += (
        [f"resistor {shortened([_resistor(platform, name) for name in line.resistors])}"] if line.resistors else []
    )
    passed += [f"sheet {', '.join(line.sheets)}"] if line.sheets else []
    return ", ".join(terminal_words(platform, pin) for pin in line.pins), "; ".join(passed) or "-"


def _resistor(platform: Platform, name: str) -> str:
    part = platform.parts[name]
    return f"{name} ({part.ohms:g} ohm)" if isinstance(part, Resistor) and part.ohms is not None else name


def _woken(woken: Iterable[Woken]) -> str:
    """`DRIVE and INTERIOR through GATE`."""
    by_gateway: dict[str, list[str]] = {}
    for its in woken:
        unsure = "" if its.sure else " (the sheet does not say which way it passes)"
        by_gateway.setdefault(f"{its.gateway}{unsure}", []).append(its.network)
    return shortened([f"{shortened(networks)} through {gateway}" for gateway, networks in by_gateway.items()])


def _members(platform: Platform, trace: NetworkTrace, fed: Mapping[Terminal, Feed], width: int) -> list[str]:
    rows = []
    for member in trace.members:
        about = [named(platform, member.part)]
        if member.pins:
            about.append(f"on {joined(member.pins)}")
        if member.waking:
            about.append(f"{member.waking} only")
        if member.joins:
            about.append(f"gateway to {shortened(member.joins)}")
        fuses = list(dict.fromkeys(fuse for _, its in member.feeds for fuse in its))
        rows.append((", ".join(fuses) or "no fuse typed", "; ".join([*about, *_fed(member, fed)])))
    return table(rows, width)


def _fed(member: NetworkMember, fed: Mapping[Terminal, Feed]) -> list[str]:
    """When it is fed; also by which fuse, where its fuses are not fed alike."""
    by_words: dict[str, dict[str, None]] = {}
    for terminal, fuses in member.feeds:
        words = feed_words(fed[terminal]) if terminal in fed else "not known when it is live"
        by_words.setdefault(words, {}).update(dict.fromkeys(fuses))
    if len(by_words) < 2:
        return list(by_words) or ["no feed typed in"]
    return [f"{joined(list(fuses))} {words}" if fuses else words for words, fuses in by_words.items()]

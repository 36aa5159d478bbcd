"""`trace` as JSON."""

from collections.abc import Mapping
from typing import Any

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.trace import Downstream, PinTrace, Trace
from circuitmap.circuit.worked_through import ByWhat
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.trace_head import named_in
from circuitmap.reports.circuit.worked_text import worked_json
from circuitmap.reports.words.feed_words import feed_json, takers_json
from circuitmap.reports.words.hands_off_words import untouchable_among, untouchable_json
from circuitmap.reports.words.part_words import terminal_words, wire_words
from circuitmap.reports.words.path_words import path_json
from circuitmap.reports.words.unknown_words import unknown_json
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Platform


def trace_json(
    platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], hands_off: HandsOffMap | None = None
) -> dict[str, Any]:
    return {
        "part": trace.part,
        "kind": trace.kind,
        "description": platform.parts[trace.part].description,
        "hands_off": untouchable_json(untouchable_among(hands_off, named_in(trace))),
        "pins": [_pin(platform, pin, fed) for pin in trace.pins],
        "supply": [path_json(platform, path) for path in trace.supply],
        "ground": [path_json(platform, path) for path in trace.ground],
        "downstream": {
            "loads": list(trace.loads),
            "loads_besides": list(trace.loads_besides),
            "loads_apart": [
                {"loads": list(names), "why": apart.why, "by": list(apart.by)}
                for apart, names in trace.loads_apart.items()
            ],
            "takings": [_downstream(platform, there, fed) for there in trace.downstream],
            "stops_with_it": _by_what(trace.through_coils.stops),
            "comes_on_without_it": _by_what(trace.through_coils.other_way),
            "off_without_it": list(trace.through_coils.off),
            "one_way_less": _by_what(trace.through_coils.fewer),
            "signals": [terminal_words(platform, end) for end in trace.signals],
        },
        "backwards": [
            {"part": there.part, "kind": there.taking.kind, "batteries": sorted({p.start.part for p in there.paths})}
            for there in trace.backwards
        ],
        "between_batteries": [
            {"battery": join.battery, "others": list(join.others), "contacts": list(join.contacts)}
            for join in trace.joins
        ],
        "fed": feed_json([fed[pin.terminal] for pin in trace.pins if pin.supply and pin.terminal in fed]),
        "made_by": None
        if trace.made_by is None
        else {"module": trace.made_by.module, "output": trace.made_by.contact, "volts": trace.made_by.volts},
        "grounded_here": [terminal_words(platform, terminal) for terminal, _ in trace.grounded_here],
        "across": [
            terminal_words(platform, terminal) for terminal, _ in trace.grounded_here if terminal in trace.across
        ],
        "on_the_point": [{"at": terminal_words(platform, lug.at), "wire": wire_words(lug.wire)} for lug in trace.lugs],
        "cavities": [
            {
                "cavity": terminal_words(platform, its.cavity),
                "wire": wire_words(its.wire),
                "to": terminal_words(platform, its.end),
            }
            for its in trace.cavities
        ],
        "networks": list(trace.networks),
        "worked_by": worked_json(platform, trace.worked),
        "open_ends": [unknown_json(entry) for entry in trace.open_ends],
        "incomplete": [unknown_json(entry) for entry in trace.unknown],
        "cut_off": trace.cut_off,
        "sheets": list(trace.sheets),
    }


def _by_what(its: ByWhat) -> list[dict[str, Any]]:
    return [{"by": by, "loads": list(names)} for by, names in its.items()]


def _pin(platform: Platform, pin: PinTrace, fed: Mapping[Terminal, Feed]) -> dict[str, Any]:
    return {
        "pin": terminal_words(platform, pin.terminal),
        "role": pin.role,
        "role_assumed": pin.assumed,
        "in_series_with": list(pin.through),
        "fed": feed_json([fed[pin.terminal]] if pin.terminal in fed else []),
        **takers_json(fed.get(pin.terminal)),
    }


def _downstream(platform: Platform, there: Downstream, fed: Mapping[Terminal, Feed]) -> dict[str, Any]:
    terminal = there.taking.terminal
    return {
        "part": there.part,
        "at": terminal_words(platform, terminal),
        "kind": there.taking.kind,
        "fuses_after": list(there.fuses),
        "fed": feed_json([fed[terminal]] if terminal in fed else []),
    }

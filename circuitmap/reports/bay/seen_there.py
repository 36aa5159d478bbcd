"""What can be seen without a fuse: relays, live data, a scan, lines of networks, what eyes, hands and nose find, tests
of one part, a battery. Only names of the platform are offered, none that is hands-off, and each with what to take care
of there."""

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.faults.kind_said import KINDS_SAID
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import SIGNS
from circuitmap.evidence.meters import METERS
from circuitmap.jobs.dead_told import DeadStanding
from circuitmap.power.functions import functions_of
from circuitmap.power.state import keys_of
from circuitmap.reports.suspects.fault_kind_words import kind_words
from circuitmap.reports.words.cautions import StepKind, cautions_at
from circuitmap.wiring.fitting import Answer, Fitting, holds, needs_of
from circuitmap.wiring.parts import Battery, Joint, Load, OpenEnd, Part, Switch
from circuitmap.wiring.platform import Platform

_STEPS: tuple[StepKind, ...] = (
    "read-fuse", "clamp", "series", "relay-volts", "inputs", "network-line", "look", "drop-test", "battery-rest",
    "charging", "night-log", "refit", "switch-on",
)  # fmt: skip
"""The ways of looking and measuring that the page has taps for."""
_AT_BATTERY = ("clamp", "series", "battery-rest", "charging", "night-log")
_LINKS = ("splice", "connector", "terminal", "ground")
"""Where a wire can be chafed, wet or warm, besides at the parts."""


def care_values(platform: Platform) -> dict[str, Any]:
    """What to take care of by the way something is read, and the meters there are for a current."""
    batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
    at: dict[StepKind, list[str]] = {
        step: [told.text for told in cautions_at(platform, step, batteries if step in _AT_BATTERY else ())]
        for step in _STEPS
    }
    meters = [
        {"kind": meter.kind, "words": meter.words, "care": at["series" if meter.kind == "series" else "clamp"]}
        for meter in METERS
        if meter.kind != "millivolts"
    ]
    return {"at": at, "meters": meters}


def seen_values(evidence: Evidence, dead: DeadStanding) -> dict[str, dict[str, str]]:
    """What was last seen at each name, so that the page can say it beside the taps."""
    found: dict[str, list[str]] = {}
    for one in evidence.found:
        found.setdefault(one.place, []).append(one.sign)
    batteries: dict[str, dict[str, str]] = {}
    for its in evidence.batteries:
        batteries.setdefault(its.battery, {})[its.check] = its.written
    return {
        "relays": {one.relay: one.state for one in evidence.relays},
        "inputs": {one.part: "right" if one.right else "wrong" for one in evidence.inputs},
        "modules": {one.module: one.reply for one in evidence.replies},
        "networks": {one.network: one.value for one in evidence.lines},
        "found": {place: ", ".join(dict.fromkeys(signs)) for place, signs in found.items()},
        "batteries": {name: ", ".join(checks.values()) for name, checks in batteries.items()},
        "loads": {
            its.name: f"{'works' if its.works else 'does not work'}{its.words.removeprefix(its.name)}"
            for its in dead.complaint.told
        },
    }


def place_values(circuit: Circuit, hands_off: HandsOffMap, fitting: Fitting) -> dict[str, Any]:
    """The names that the page offers, by what can be seen there."""
    platform = circuit.platform
    there = [part for part in _there(platform, fitting) if hands_off.may_touch(part.name)]
    talking = [part for part in there if part.name in platform.networks_of]
    return {
        "relays": list(_rows(circuit, (p for p in there if p.kind == "relay"), "relay-volts")),
        "inputs": list(_rows(circuit, filter(_is_read, there), "inputs")),
        "modules": list(_rows(circuit, talking, "inputs")),
        "networks": [
            {"name": net.name, "says": net.description, "care": []}
            for net in platform.networks.values()
            if hands_off.may_touch(net.name) and holds(net.condition, fitting) is not Answer.NO
        ],
        "places": list(_rows(circuit, there, "look")),
        "signs": list(SIGNS),
        "tested": list(_rows(circuit, (p for p in there if isinstance(p, Load)), "drop-test")),
        "loads": list(_functions(circuit, [part.name for part in there])),
        "keys": list(dict.fromkeys(position for key in keys_of(platform) for position in key.positions)),
        "batteries": list(_rows(circuit, (p for p in there if isinstance(p, Battery)), "battery-rest")),
        "kinds": [{"kind": kind, "words": kind_words(kind).meaning} for kind in KINDS_SAID],
    }


def _functions(circuit: Circuit, there: Collection[str]) -> Iterator[dict[str, Any]]:
    """Loads, single filaments of lamps, and relays: each may work or not."""
    platform = circuit.platform
    for its in functions_of(circuit):
        part = platform.parts[its.part]
        if its.part in there and (its.kind != "pin" or part.kind == "lamp"):
            yield {**next(_rows(circuit, (part,), "switch-on")), "name": its.name}


def _there(platform: Platform, fitting: Fitting) -> Iterator[Part]:
    """What somebody can stand before on this car, and has a name of its own."""
    for part in platform.parts.values():
        if isinstance(part, OpenEnd) or (isinstance(part, Joint) and part.kind not in _LINKS):
            continue
        if holds(needs_of(platform, part.name), fitting) is not Answer.NO:
            yield part


def _is_read(part: Part) -> bool:
    """Whether live data may show it: a switch, or a module that reads some."""
    if isinstance(part, Switch):
        return not part.is_key
    return isinstance(part, Load) and bool(part.pins_with("sense") or part.pins_with("wake"))


def _rows(circuit: Circuit, parts: Iterable[Part], step: StepKind) -> Iterator[dict[str, Any]]:
    """Each with what is special to take care of there; what holds everywhere is told once."""
    platform = circuit.platform
    everywhere = {told.code for told in cautions_at(platform, step)}
    for part in parts:
        told = cautions_at(platform, step, [part.name], switched=switching_of(circuit).by(part.name))
        own = [one.text for one in told if one.code not in everywhere]
        words = ", ".join(word for word in (part.description, part.place) if word)
        yield {"name": part.name, "says": words, "kind": part.kind, "care": own}

"""`live` as JSON."""

from collections.abc import Mapping, Sequence
from typing import Any

from circuitmap.power.behind_resistors import behind_resistors
from circuitmap.power.classes import LoadClass, PinFeed
from circuitmap.power.dead_modules import dead_modules
from circuitmap.power.evaluate import LoadPower, Powered
from circuitmap.power.expected import Expected
from circuitmap.power.latching import Thrown
from circuitmap.power.short_circuits import touching_shorts
from circuitmap.power.state import VehicleState
from circuitmap.quantities import Band
from circuitmap.reports.live.at_text import at_json
from circuitmap.reports.live.carried_text import carried_json, charging_json
from circuitmap.reports.live.hands_off_text import untouchable_live
from circuitmap.reports.live.how_long_text import asleep_again_json, how_long_json
from circuitmap.reports.live.live_beside import beside_json
from circuitmap.reports.live.networks_text import networks_apart_json
from circuitmap.reports.words.feed_words import changes_json, feed_json
from circuitmap.reports.words.hands_off_words import untouchable_json
from circuitmap.reports.words.part_words import terminal_words
from circuitmap.reports.words.unknown_words import unknown_json
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal


def live_json(
    powered: Powered,
    classes: Mapping[str, LoadClass],
    expected: Expected | None = None,
    thrown: Thrown | None = None,
    at: Sequence[Terminal] = (),
) -> dict[str, Any]:
    held = powered.held
    moved = thrown.moved if thrown is not None else {}
    return {
        "asleep": None if expected is None else _asleep(expected),
        "state": _state(powered.state),
        "at": at_json(powered, at),
        "hands_off": untouchable_json(untouchable_live(powered, at)),
        "loads": [_load(powered, its, classes[name]) for name, its in powered.loads.items()],
        "relays": {name: answer.words for name, answer in powered.energised.items() if answer},
        "contacts": {name: answer.words for name, answer in powered.contacts.items() if answer},
        "networks": {name: answer.words for name, answer in powered.networks.items()},
        "networks_parted": networks_apart_json(powered),
        "buzzing": list(powered.buzzing),
        "racing": list(powered.racing),
        "unsettled": list(powered.unsettled),
        "carried": carried_json(powered, classes),
        "charging": charging_json(powered),
        "how_long": how_long_json(powered),
        "asleep_again": asleep_again_json(powered),
        "touching_shorts": [
            {"points": list(map(str, its.points)), "fuses": list(its.fuses), "unfused": its.unfused}
            for its in touching_shorts(powered)
        ],
        "dead_modules": [{"name": its.name, "lacks": list(map(str, its.lacks))} for its in dead_modules(powered)],
        **beside_json(powered),
        "latching_moves": [{"relay": name, "to": to} for name, to in moved.items()],
        "restless": list(thrown.restless) if thrown is not None else [],
        "held": {
            "relays": list(held.relays),
            "outputs": list(held.outputs),
            "follow": list(held.follow),
            "loads": list(held.loads),
        },
    }


def _asleep(expected: Expected) -> dict[str, Any]:
    return {
        "amps": _amps(expected.total),
        "typed_amps": _amps(expected.transcribed),
        "assumed": list(expected.assumed_parts),
        "perhaps": [its.part for its in expected.perhaps],
        "limit_amps": expected.limit,
        "parts": [
            {"part": its.part, "amps": _amps(its.amps), "assumed": its.assumed, "surely": its.surely}
            for its in expected.draws
        ],
    }


def _amps(band: Band) -> list[float]:
    """Both ends, to a microampere: sums of decimals do not need seventeen digits."""
    return [round(band.low, 6), round(band.high, 6)]


def _state(state: VehicleState) -> dict[str, Any]:
    return {
        "key": state.key,
        "switches": dict(state.switches),
        "awake": sorted(state.awake),
        "stuck": sorted(state.stuck),
        "unplugged": sorted(state.unplugged),
        "pulled": sorted(state.pulled),
        "feeding": sorted(state.feeding),
        "touching": [{"points": [str(a), str(b)]} for a, b in sorted(state.bridged)],
    }


def _load(powered: Powered, its: LoadPower, kind: LoadClass) -> dict[str, Any]:
    live = {pin.terminal: pin.live for pin in its.pins}
    return {
        "name": its.name,
        "kind": powered.circuit.platform.parts[its.name].kind,
        "class": kind.its,
        "draws": its.draws.words,
        "supply": its.supply.words,
        "ground": its.ground.words,
        "ground_assumed": its.ground_assumed,
        "awake": its.awake.words,
        "pins": [_pin(powered, pin, live.get(pin.terminal, Answer.NO)) for pin in kind.pins],
        "behind_resistors": list(behind_resistors(powered, its.name)),
        "turned_off_by": list(kind.turned_off_by),
        "drawn_in": [changes_json(changes) for changes in kind.drawn_in],
        "perhaps_in": [changes_json(changes) for changes in kind.perhaps_in],
        "other_ways": kind.other_ways,
        "cut_off": kind.cut_off,
        "ground_switched": kind.ground_switched,
        "incomplete": [unknown_json(entry) for entry in kind.unknown],
    }


def _pin(powered: Powered, pin: PinFeed, live: Answer) -> dict[str, Any]:
    return {
        "pin": terminal_words(powered.circuit.platform, pin.terminal),
        "live": live.words,
        "fed": feed_json([pin.feed]),
        "through": list(pin.through),
        "turned_off_by": list(pin.turned_off_by),
    }

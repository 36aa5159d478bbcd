"""What each battery, fuse and strap carries, how long a battery lasts, and what is charged, as text and as JSON."""

from collections.abc import Mapping
from typing import Any

from circuitmap.battery.capacity import RATED_HOURS
from circuitmap.power.behind_resistors import behind_resistors
from circuitmap.power.carried import Carried, carried
from circuitmap.power.charging import Charging, charged_batteries
from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import Powered
from circuitmap.quantities import Band
from circuitmap.reports.words.paragraphs import joined, listed, shortened
from circuitmap.reports.words.part_words import amps_band
from circuitmap.wiring.parts import Battery

_MOST = 4
BY_ITSELF = 24.0 * 180
"""Hours in which a battery may lose half of its charge by itself (seen: `battery/parked_time.py`; judgement, as the
figures there differ)."""
HALF = 0.5
"""How much of its capacity a battery is told to lose: a deep look at a parked one (practice: less ages it)."""


def carried_lines(
    powered: Powered, classes: Mapping[str, LoadClass], width: int, whole: bool = False
) -> list[list[str]]:
    """Only where some current is typed in: nobody needs a list of fuses of which nothing can be said. What returns
    through a shunt is told also where it is a share only, and so is what goes on through other loads, or comes
    through resistors: that nothing flows there is not what an empty place would say."""
    found = _carried(powered, classes)
    most = None if whole else _MOST
    passed_on = {*powered.in_series, *(name for name in powered.loads if behind_resistors(powered, name))}
    rows = [
        (joined(its.names), _words(powered, its, most))
        for its in found
        if its.kind != "return" and (its.parts or not passed_on.isdisjoint(its.shared))
    ]
    back = [
        (joined(its.names), _words(powered, its, most))
        for its in found
        if its.kind == "return" and (its.parts or its.shared)
    ]
    charging = [(str(its.pin), _charging_words(its)) for its in charged_batteries(powered)]
    return [
        listed("CURRENT  through each battery and fuse, as far as it is typed in", rows, width),
        listed("RETURNS  through", back, width),
        listed("CHARGING  by what feeds, as far as it charges", charging, width),
    ]


def _carried(powered: Powered, classes: Mapping[str, LoadClass]) -> tuple[Carried, ...]:
    return carried(powered, {name: its.its == "constant" for name, its in classes.items()})


def _words(powered: Powered, its: Carried, most: int | None) -> str:
    def some(names: tuple[str, ...]) -> str:
        return joined(names) if most is None else shortened(names, most)

    whose = f" ({some(its.parts)})" if its.kind != "battery" else ""
    together = " together" if len(its.names) > 1 else ""
    words = [f"{amps_band(its.amps)}{together}{whose}{_lasts(powered, its)}"] if its.parts else []
    words += [f"{'and ' if words else ''}a share of {some(its.shared)}"] if its.shared else []
    words += [f"not typed in: {some(its.untyped)}"] if its.untyped else []
    return "; ".join(words)


def _lasts(powered: Powered, its: Carried) -> str:
    """`, half of its 140 Ah in 66 days`: only where all of it is typed in and nothing charges, so slowly that the
    capacity is that of the label, and not so slowly that the battery loses as much by itself."""
    told = its.kind == "battery" and not (powered.state.feeding or its.untyped or its.shared)
    parts = [powered.circuit.platform.parts[name] for name in its.names] if told else []
    capacities = [part.capacity for part in parts if isinstance(part, Battery) and part.capacity]
    if not capacities or len(capacities) < len(parts) or its.amps.low <= 0:
        return ""
    whole = sum(capacities)
    hours = Band(HALF * whole / its.amps.high, HALF * whole / its.amps.low)
    if hours.low < HALF * RATED_HOURS or hours.high > BY_ITSELF:
        return ""
    return f", half of {'their' if len(parts) > 1 else 'its'} {whole:g} Ah in {_time(hours)}"


def _time(hours: Band) -> str:
    unit, factor = ("hours", 1.0) if hours.high < 48 else ("days", 24.0)
    low, high = (f"{its / factor:.0f}" for its in (hours.low, hours.high))
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def _charging_words(its: Charging) -> str:
    over = f" over {joined(its.passes)}" if its.passes else ""
    back = f"returns through {joined(its.back)}" if its.back else "returns past no shunt or sensor"
    if its.open_at:
        return f"not {its.battery}: its way back is open at {joined(its.open_at)}"
    return f"{its.battery}{over}; {back if its.returns else 'its way back is not typed in'}"


def carried_json(powered: Powered, classes: Mapping[str, LoadClass]) -> list[dict[str, Any]]:
    return [
        {
            "kind": its.kind,
            "names": list(its.names),
            "amps": [round(its.amps.low, 6), round(its.amps.high, 6)],
            "parts": list(its.parts),
            "untyped": list(its.untyped),
            "shared": list(its.shared),
        }
        for its in _carried(powered, classes)
    ]


def charging_json(powered: Powered) -> list[dict[str, Any]]:
    return [
        {
            "at": str(its.pin),
            "battery": its.battery,
            "passes": list(its.passes),
            "returns_through": list(its.back),
            "open_at": list(its.open_at),
        }
        for its in charged_batteries(powered)
    ]

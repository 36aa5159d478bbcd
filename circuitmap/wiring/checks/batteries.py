"""Is there a battery, and is it wired as one?"""

from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.one_sided import is_whole
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.checks.ways import way_by_wires
from circuitmap.wiring.parts import Battery, Ground, Terminal
from circuitmap.wiring.platform import Platform


def no_battery(platform: Platform) -> Iterator[Problem]:
    """Without a battery nothing is ever live."""
    if not platform.wires or "battery" in platform.doubted:
        return
    if not any(isinstance(part, Battery) for part in platform.parts.values()):
        span = platform.declared or platform.wires[0].spans[0]
        yield Problem(
            "no-battery",
            Severity.NOTE,
            "No battery is typed in, so nothing can be live.",
            span,
            advice="battery BAT 72Ah, and a wire from BAT.+ to the first fuse.",
        )


def plus_wired_to_minus(platform: Platform) -> Iterator[Problem]:
    """A plus joined to a minus by wires alone, its own or another battery's: a short circuit."""
    batteries = [part for part in platform.parts.values() if isinstance(part, Battery)]
    reported: set[frozenset[str]] = set()
    for battery in batteries:
        if battery.name in platform.doubted:
            continue
        found = way_by_wires(
            platform,
            Terminal(battery.name, "+"),
            battery.condition,
            lambda terminal: _is_minus(platform, terminal),
        )
        if found is None:
            continue
        end, way = found
        other = platform.parts[end.part]
        pair = frozenset((battery.name, other.name))
        if pair in reported:
            continue
        reported.add(pair)
        into = f"{other.name}.-" if isinstance(other, Battery) else f"ground {other.name}"
        series = isinstance(other, Battery) and other is not battery
        yield Problem(
            "plus-to-minus",
            Severity.ERROR,
            f"{battery.name}.+ is wired to {into} with nothing in between.",
            way[0].spans[0],
            advice="Two batteries in series are one, with a tap: battery BAT 24V series, BAT.mid." if series else "",
            related=(Related(way[-1].spans[0], "the last wire of this way"),) if len(way) > 1 else (),
        )


def _is_minus(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


def batteries_without_minus(platform: Platform) -> Iterator[Problem]:
    """A battery whose plus is wired and whose minus is not, where all that shows it was typed in as a whole."""
    for battery in platform.parts.values():
        if not isinstance(battery, Battery) or battery.name in platform.doubted:
            continue
        wired = wired_pins(platform, battery.name)
        plus = wired.get("+", ())
        if plus and "-" not in wired and is_whole(platform, {sheet for wire in plus for sheet in wire.sheets or ("",)}):
            yield Problem(
                "battery-no-minus",
                Severity.WARNING,
                f"{battery.name} has a wire at + and none at -.",
                min(wire.spans[0] for wire in plus),
                advice=f"{battery.name}.- -> the ground point it is bolted to.",
            )

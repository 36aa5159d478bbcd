"""Is there a battery, and is it wired as one?"""

from collections.abc import Iterable, Iterator, Sequence

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.checks.ways import way_by_wires
from circuitmap.wiring.parts import ANY_PIN, Battery, Ground, Terminal
from circuitmap.wiring.platform import Platform, Wire
from circuitmap.wiring.whole_sheets import is_whole


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


def batteries_with_one_pole(platform: Platform) -> Iterator[Problem]:
    """A battery with a wire at one pole and none at the other: a warning where all that shows it was typed in as a
    whole; else a note, where some other way back, or another battery's plus, is typed in at all."""
    fed = any(end.pin == "+" and _is_battery(platform, end) for wire in platform.wires for end in (wire.a, wire.b))
    for battery in platform.parts.values():
        if not isinstance(battery, Battery) or battery.name in platform.doubted:
            continue
        wired = wired_pins(platform, battery.name)
        for there, absent in (("+", "-"), ("-", "+")):
            wires = [wire for wire in wired.get(there, ()) if not _joins_batteries(platform, wire)]
            sheets = {sheet for wire in wires for sheet in wire.sheets or ("",)}
            if not wires or absent in wired or ANY_PIN in wired or _any_unread(platform, sheets):
                continue
            whole = is_whole(platform, sheets)
            if not whole and not (_has_way_back(platform, wires) if there == "+" else fed):
                continue
            where = f"{battery.name}.- -> the ground point it is bolted to." if there == "+" else ""
            yield Problem(
                "battery-no-minus" if there == "+" else "battery-no-plus",
                Severity.WARNING if whole else Severity.NOTE,
                f"{battery.name} has a wire at {there} and none at {absent}.",
                min(wire.spans[0] for wire in wires),
                advice=where or f"{battery.name}.+ -> the fuse or bar that it feeds.",
            )


def _joins_batteries(platform: Platform, wire: Wire) -> bool:
    """Two in a row, or side by side: what is missing there is told of the pair, or belongs to the other one."""
    return all(_is_battery(platform, end) for end in (wire.a, wire.b))


def _is_battery(platform: Platform, end: Terminal) -> bool:
    return isinstance(platform.parts[end.part], Battery)


def _has_way_back(platform: Platform, of_plus: Sequence[Wire]) -> bool:
    """Whether a minus of another battery is wired, or a ground point drawn on the sheets of this battery's plus."""
    sheets = {sheet for wire in of_plus for sheet in wire.sheets if wire.kind != "chart"}
    return any(
        _is_battery(platform, end)
        if not isinstance(platform.parts[end.part], Ground)
        else not sheets.isdisjoint(wire.sheets)
        for wire in platform.wires
        for end in (wire.a, wire.b)
        if _is_minus(platform, end)
    )


def _any_unread(platform: Platform, sheets: Iterable[str]) -> bool:
    known = (platform.sheets.get(sheet) for sheet in sheets)
    return any(sheet is not None and sheet.unread for sheet in known)

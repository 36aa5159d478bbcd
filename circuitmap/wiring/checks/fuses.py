"""Fuses and the wires behind them."""

from collections import Counter
from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.ampacity import THINNEST, most_amperes
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.checks.ways import are_told, both_hold, way_by_wires
from circuitmap.wiring.parts import FIRST, SECOND, Battery, Fuse, Ground, Terminal
from circuitmap.wiring.platform import Platform, Wire
from circuitmap.wiring.whole_sheets import is_whole


def fuses_without_load(platform: Platform) -> Iterator[Problem]:
    """Fed fuses behind which nothing is typed in, box by box."""
    by_box: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        wires = platform.wires_at.get(fuse.name, ())
        pins = {terminal.pin for wire in wires for terminal in (wire.a, wire.b) if terminal.part == fuse.name}
        if FIRST in pins and SECOND not in pins and not fuse.empty and fuse.name not in platform.doubted:
            by_box.setdefault(fuse.name.rpartition(".")[0], []).append(fuse)
    for fuses in by_box.values():
        spans = sorted(fuse.span for fuse in fuses)
        yield Problem(
            "fuse-no-load",
            Severity.NOTE,
            f"Nothing is typed in behind {listed(fuse.name for fuse in fuses)}.",
            spans[0],
            advice=f"To begin with, {fuses[0].name} feeds and the names of what hangs on it will do.",
        )


def fuses_without_feed(platform: Platform) -> Iterator[Problem]:
    """Fuses of a chart, or wired on whole sheets, that nothing typed in feeds, box by box: it cannot be told when the
    things that hang on them are live."""
    if any(problem.code == "bad-row" for problem in platform.problems):
        return  # a row that was not understood may be the bar that feeds them
    stated = {its.part for its in platform.stated}
    has_battery = any(isinstance(part, Battery) for part in platform.parts.values())
    by_box: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        wires = platform.wires_at.get(fuse.name, ())
        pins = {terminal.pin for wire in wires for terminal in (wire.a, wire.b) if terminal.part == fuse.name}
        in_chart = all(wire.kind == "chart" for wire in wires)
        seen_whole = has_battery and is_whole(platform, {sheet for wire in wires for sheet in wire.sheets})
        if (
            pins == {SECOND}
            and (in_chart or seen_whole)
            and not fuse.empty
            and fuse.name not in platform.doubted | stated
        ):
            by_box.setdefault(fuse.name.rpartition(".")[0], []).append(fuse)
    for box, fuses in by_box.items():
        names = listed(fuse.name for fuse in fuses)
        bar = f"{box}.B1" if box else "B1"
        yield Problem(
            "fuse-no-feed",
            Severity.NOTE,
            f"Nothing is typed in that feeds {names}.",
            min(fuse.span for fuse in fuses),
            advice=f"What the sheet says will do: stated {fuses[0].name} always; or bar {bar} feeds {fuses[0].name}.",
        )


def wires_too_thin(platform: Platform) -> Iterator[Problem]:
    """A wire that may carry less than the fuse before it lets through, so that the wire is the fuse. What is joined to
    a battery's post or a ground is not behind the fuse, whichever way round it was written."""
    fuse_of: dict[Terminal, Fuse] = {}
    not_behind = platform.nets.keys_with(lambda end: isinstance(platform.parts[end.part], Battery | Ground))
    for fuse in platform.fuses:
        if fuse.rating is not None and not fuse.empty and fuse.name not in platform.doubted:
            net = platform.nets.key(Terminal(fuse.name, SECOND))
            if net in not_behind:
                continue
            known = fuse_of.get(net)
            if known is None or known.rating is None or fuse.rating < known.rating:
                fuse_of[net] = fuse
    thin: dict[str, list[tuple[float, Wire]]] = {}
    side_by_side = _ends_of_parallel_wires(platform)
    for wire in platform.wires:
        if wire.kind != "wire" or wire.size is None or wire.ends in side_by_side:
            continue
        protecting = fuse_of.get(platform.nets.key(wire.a))
        if protecting is None or protecting.rating is None:
            continue
        carries = most_amperes(wire.size)
        if carries is not None and protecting.rating > carries.stands:
            thin.setdefault(protecting.name, []).append((carries.amperes, wire))
    for name, wires in thin.items():
        behind = platform.parts[name]
        assert isinstance(behind, Fuse) and behind.rating is not None
        amperes, wire = min(wires, key=lambda its: (its[0], its[1].spans[0]))
        more = f" {len(wires)} wires behind it are too thin." if len(wires) > 1 else ""
        yield Problem(
            "wire-too-thin",
            Severity.WARNING,
            f"{wire.size_written} carries at most {amperes:g} A and is behind {name} of {behind.rating:g} A.{more}",
            wire.spans[0],
            related=(Related(behind.span, f"{name} is declared here"),),
        )


def wires_thinner_than_any(platform: Platform) -> Iterator[Problem]:
    """Mostly the point stands one digit too far left. The wires of one line are told once."""
    told: set[tuple[str, int]] = set()
    for wire in sorted(platform.wires, key=lambda its: its.spans[0]):
        line = (wire.spans[0].path, wire.spans[0].line)
        if wire.kind == "wire" and wire.size is not None and wire.size < THINNEST and line not in told:
            told.add(line)
            yield Problem(
                "wire-very-thin",
                Severity.WARNING,
                f"{wire.size_written} is thinner than the wires of vehicles: they begin at {THINNEST:g} mm2.",
                wire.spans[0],
            )


def fuses_joined_behind(platform: Platform) -> Iterator[Problem]:
    """Fuses that are fed from different places and joined behind by wires: either feeds what hangs on the other. Those
    of batteries and what charges them may be."""
    sources = platform.nets.keys_with(lambda end: platform.parts[end.part].kind in ("battery", "alternator", "charger"))
    by_net: dict[Terminal, list[Fuse]] = {}
    not_behind = platform.nets.keys_with(lambda end: isinstance(platform.parts[end.part], Battery | Ground))
    for fuse in platform.fuses:
        ends = [platform.nets.key(Terminal(fuse.name, side)) for side in (FIRST, SECOND)]
        if fuse.empty or fuse.name in platform.doubted or ends[1] in not_behind or ends[0] == ends[1]:
            continue
        by_net.setdefault(ends[1], []).append(fuse)
    for fuses in by_net.values():
        one = fuses[0]
        feed = platform.nets.key(Terminal(one.name, FIRST))
        for other in fuses[1:]:
            start, goal = Terminal(one.name, SECOND), Terminal(other.name, SECOND)
            its_feed = platform.nets.key(Terminal(other.name, FIRST))
            if its_feed == feed or (its_feed in sources and feed in sources):
                continue
            way = way_by_wires(platform, start, one.condition, lambda end, goal=goal: end == goal)  # type: ignore[misc]
            if way is None or not both_hold(one.condition, other.condition) or are_told(platform, way[1]):
                continue
            yield Problem(
                "fuses-joined",
                Severity.NOTE,
                f"{one.name} and {other.name} are joined behind, by wires alone: either feeds what hangs on the other.",
                max(wire.spans[0] for wire in way[1]),
                related=(Related(one.span, f"{one.name} is declared here"), Related(other.span, "and the other here")),
            )
            break


def _ends_of_parallel_wires(platform: Platform) -> set[frozenset[Terminal]]:
    """Ends between which several named wires run side by side and share the current."""
    count = Counter(wire.ends for wire in platform.wires if wire.name)
    return {ends for ends, wires in count.items() if wires > 1}

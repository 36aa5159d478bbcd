"""Loads that take far more than their fuses let through."""

from collections.abc import Iterator, Sequence

from circuitmap.circuit.links import METAL, Circuit
from circuitmap.power.checks.places import listed
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.parts import FIRST, SECOND, Battery, Fuse, Load, Relay, Switch, Terminal

TIMES = 2.0
"""How many times its rating the typed currents behind a fuse must be before it is told: fuses stand short peaks, and
what is typed is often the rated power of lamps (judgement)."""


def fuses_far_too_small(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """The currents that were typed, of loads that can be on together: behind no contact that excludes another. Fuses
    side by side share the current."""
    groups: dict[tuple[str, ...], tuple[list[Fuse], list[Load]]] = {}
    for fuse in circuit.platform.fuses:
        feeding = circuit.number.get(Terminal(fuse.name, SECOND))
        if feeding is None or fuse.empty or fuse.name in circuit.platform.doubted:
            continue
        ends = [circuit.nodes[node] for node in sorted(_behind(circuit, feeding))]
        fuses = _side_by_side(circuit, ends)
        # None: both its ends are one place, so that it bars nothing.
        if fuses and not any(_is_source(circuit, end) for end in ends) and all(its.rating for its in fuses):
            groups[tuple(its.name for its in fuses)] = fuses, _loads_at(circuit, ends)
    told: set[str] = set(circuit.platform.doubted)
    for fuses, loads in sorted(groups.values(), key=lambda its: sum(fuse.rating or 0 for fuse in its[0])):
        loads = [load for load in loads if load.name not in told]
        most = sum(fuse.rating or 0 for fuse in fuses)
        takes = sum(load.running.low for load in loads if load.running)
        if not loads or takes < TIMES * most:
            continue
        told.update(load.name for load in loads)
        it, s = ("them", "") if len(loads) > 1 else ("it", "s")
        yield Problem(
            "fuse-far-too-small",
            Severity.NOTE,
            f"{listed(load.name for load in loads)} take{s} {takes:.0f} A, as typed; "
            f"{listed(fuse.name for fuse in fuses)} before {it} let{'' if len(fuses) > 1 else 's'} through {most:g} A.",
            min(load.span for load in loads),
            related=(Related(fuses[0].span, f"{fuses[0].name} is declared here"),),
        )


def _behind(circuit: Circuit, start: int) -> set[int]:
    """Nodes that a fuse feeds, back through no fuse and over no contact that stands in another's way."""
    seen, stack = {start}, [start]
    while stack:
        here = stack.pop()
        for i in circuit.at[here]:
            link = circuit.links[i]
            a, b = circuit.ends[i]
            there = b if a == here else a
            fused = link.kind in ("fuse", "link", "breaker")
            if there in seen or link.condition or (fused and here == b):
                continue
            if link.kind in METAL or (link.kind == "contact" and _closes_for_itself(circuit, link.part)):
                seen.add(there)
                stack.append(there)
    return seen


def _closes_for_itself(circuit: Circuit, part: str) -> bool:
    its = circuit.platform.parts[part]
    return isinstance(its, Relay | Switch) and len(its.contacts) == 1


def _side_by_side(circuit: Circuit, ends: Sequence[Terminal]) -> list[Fuse]:
    """The fuses by which current comes to these ends, not those behind one another."""
    at = set(ends)
    found = []
    for end in ends:
        part = circuit.platform.parts.get(end.part)
        if isinstance(part, Fuse) and end.pin == SECOND and Terminal(part.name, FIRST) not in at and not part.empty:
            found.append(part)
    return sorted(found, key=lambda its: its.name)


def _is_source(circuit: Circuit, end: Terminal) -> bool:
    """Whether current may come from here as well: then the fuses say nothing of how much."""
    part = circuit.platform.parts.get(end.part)
    if isinstance(part, Battery) or end in circuit.unknown_supplies or end in circuit.returns:
        return True
    return part is not None and part.kind in ("alternator", "charger", "ground")


def _loads_at(circuit: Circuit, ends: Sequence[Terminal]) -> list[Load]:
    """The loads whose supply is here, each once, that need no equipment and whose current was typed."""
    found: dict[str, Load] = {}
    for end in ends:
        part = circuit.platform.parts.get(end.part)
        if not isinstance(part, Load) or part.running is None or part.condition:
            continue
        if part.roles.get(end.pin) == "supply":
            found[part.name] = part
    return list(found.values())

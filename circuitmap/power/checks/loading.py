"""Loads that take far more than their fuses let through."""

from collections.abc import Iterator

from circuitmap.circuit.fuse_islands import FuseIslands
from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.places import listed
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.parts import Fuse, Load

TIMES = 2.0
"""How many times its rating the typed currents behind a fuse must be before it is told: fuses stand short peaks, and
what is typed is often the rated power of lamps (judgement)."""


def fuses_far_too_small(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """The currents that were typed, of loads that can be on together: behind no contact that excludes another. Fuses
    side by side share the current."""
    if not any(isinstance(part, Load) and part.running for part in circuit.platform.parts.values()):
        return
    islands = FuseIslands(circuit)
    groups: dict[tuple[str, ...], tuple[list[Fuse], list[Load]]] = {}
    for fuse in circuit.platform.fuses:
        if fuse.empty or fuse.name in circuit.platform.doubted:
            continue
        behind = islands.behind(fuse)
        fuses = islands.side_by_side(behind)
        # None: both its ends are one place, so that it bars nothing.
        if fuses and not behind & islands.with_source and all(its.rating for its in fuses):
            key = tuple(its.name for its in fuses)
            if key not in groups:
                groups[key] = fuses, islands.loads_at(behind)
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

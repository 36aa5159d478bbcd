"""Complaints, asked as at the command line but without its words."""

from functools import cache
from pathlib import Path

from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.flows.dead import dead
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of

ROOT = Path(__file__).parent.parent.parent
VAN_LACKS = ("TOW", "AUXHEAT", "COLDBOX")


@cache
def bench(folder: str, absent: tuple[str, ...] = ()) -> Bench:
    return open_bench(ROOT / folder, (), absent)


def asked(its: Bench, dead_: str, works: str = "", key: str = "", switches: str = "", saw: str = "") -> DeadLoads:
    """Names with blanks between."""
    state = state_of(its, key=key, switches=switches.split())
    return dead(its, state, dead_.split(), works.split(), saw.split())


def first_row(its: DeadLoads) -> set[str]:
    """Names of what leads; of a wire both its ends."""
    return {one.name for one in its.weighed.groups[0].breaks}

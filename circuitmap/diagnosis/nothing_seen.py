"""What was read of the sleeping vehicle where nobody read how much it gives in all, and nothing draws at any place.

Fuses carry all that flows but what hangs on a battery's post without one. So once each that is live is read, or the one
that feeds it, nothing draws but what hides in their readings, or has no fuse.
"""

from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import MOST_THAT_HIDES, Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.plan import plan_of
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import FIRST, SECOND, Fuse, Terminal
from circuitmap.wiring.usual import limit_of

FEW = 0.1
"""The share of all fuses that may be left out, if they are live by a statement alone (judgement)."""


class NothingSeen(NamedTuple):
    """`places` were read, each in turn; those of them nearest to the battery, `carriers`, show `shows` A together, and
    each may hide as much as its `hides` says. `left` are live fuses that nobody read, nor what feeds them, `said` those
    of them that are live by a statement alone, from nobody knows where; `unfused` are loads that have plus with no fuse
    before them that was read. `by_millivolts`: no other meter was used."""

    places: tuple[str, ...]
    carriers: tuple[str, ...]
    shows: float
    hides: tuple[float, ...]
    left: tuple[str, ...]
    said: frozenset[str]
    unfused: tuple[str, ...]
    by_millivolts: bool

    @property
    def is_whole(self) -> bool:
        """Whether nothing was left out that is drawn with a fuse, and little that is only said to have one."""
        few = len(self.left) <= FEW * len(self.places)
        return bool(self.carriers) and few and self.said.issuperset(self.left)


def nothing_seen(circuit: Circuit, evidence: Evidence) -> NothingSeen | None:
    """None where a battery was read asleep, where nothing was, or where some place shows more than the vehicle may
    draw. The standing and the diagnosis of a job ask the same: the last answer is kept with the circuit."""
    kept = circuit.derived(_Kept)
    asked = (
        evidence.readings, evidence.gone, dict(evidence.options), dict(evidence.positions), frozenset(evidence.absent)
    )  # fmt: skip
    told = kept.last
    if told is None or told[0] != asked:
        told = kept.last = (asked, _seen(circuit, evidence))
    return told[1]


class _Kept:
    """What was asked last of a circuit, and the answer."""

    def __init__(self, _circuit: Circuit) -> None:
        self.last: tuple[tuple[object, ...], NothingSeen | None] | None = None


def _seen(circuit: Circuit, evidence: Evidence) -> NothingSeen | None:
    platform = circuit.platform
    asleep = [r for r in evidence.readings if r.speaks == "parked" and not r.without and r.during != "event"]
    if not asleep or evidence.gone or any(battery_read_at(platform, r.place) or r.log is not None for r in asleep):
        return None
    latest = {reading.place: reading for reading in asleep}
    limit = limit_of(platform)
    if any(_shown(reading) > limit for reading in latest.values()):
        return None
    fuses = frozenset(place for place in latest if isinstance(platform.parts.get(place), Fuse))
    state = VehicleState(
        fitting=evidence.options, switches=evidence.positions, unplugged=frozenset(evidence.absent) | fuses,
        pulled=fuses,
    )  # fmt: skip
    beyond = evaluate(circuit, state, requests=Answer.NO)
    carriers = tuple(place for place in latest if place in fuses and _is_live(beyond, place))
    shows = sum(_shown(latest[place]) for place in carriers)
    if shows > limit:
        return None
    left = [f.name for f in platform.fuses if f.name not in fuses and _is_live(beyond, f.name)]
    stated = {circuit.nodes[node] for node, _ in plan_of(circuit).stated}
    return NothingSeen(
        places=tuple(latest), carriers=carriers, shows=shows,
        hides=tuple(latest[place].hides or MOST_THAT_HIDES for place in carriers),
        left=tuple(name for name in left if circuit.hands_off.may_touch(name)),
        said=frozenset(name for name in left if Terminal(name, FIRST) in stated),
        unfused=tuple(n for n, its in beyond.loads.items() if its.supply == Answer.YES),
        by_millivolts=all(r.meter.kind == "millivolts" for r in evidence.readings),
    )  # fmt: skip


def _shown(reading: Reading) -> float:
    """How much a place surely shows, in A; a drop on a fuse of unknown style is more than the vehicle may draw unless
    it is read otherwise."""
    if not reading.shows_current:
        return 0.0
    return abs(reading.amps) if reading.amps is not None else float("inf")


def _is_live(powered: Powered, fuse: str) -> bool:
    ends = (Terminal(fuse, side) for side in (FIRST, SECOND))
    return any(end in powered.circuit.number and powered.supply[end] == Answer.YES for end in ends)

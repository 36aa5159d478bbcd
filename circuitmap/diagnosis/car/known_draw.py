"""What a sound vehicle takes at a battery as its switches stand, by what was typed in."""

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.added import standing_by, ways_to_added
from circuitmap.diagnosis.car.at_work import AtWork
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Fitting


class KnownDraw(NamedTuple):
    """In A: what each part is known to take, the largest first; all of them together; and the most that may be.
    `switches` let some of it run; `added` are things on no sheet that stand by there, with what they take together
    in `by_added`."""

    parts: tuple[tuple[str, float], ...]
    amps: float
    at_most: float
    switches: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    by_added: float = 0.0


def known_draw(
    circuit: Circuit,
    fitting: Fitting,
    absent: frozenset[str],
    positions: Mapping[str, str],
    own_battery: frozenset[str],
    battery: str,
    running: Sequence[AtWork] = (),
    added: Sequence[tuple[str, str, Band]] = (),
) -> KnownDraw:
    """What flows at a battery of the parked vehicle with its switches so. What is only assumed by kind does not count:
    nobody is to be told that a current is normal because a guess makes it so. `running` is what runs because it was
    switched on; `added` are things on no sheet with what feeds them, and
    what each takes standing by, as somebody said."""
    parked = Parked(circuit, fitting, absent, positions, own_battery)
    ways = ways_to_added(parked, [(name, fed_from) for name, fed_from, _ in added])
    beside = standing_by(ways, {name: asleep for name, _, asleep in added})
    tree = PlaceTree(parked)
    place = tree.joined.get(battery, battery)
    takes: dict[str, float] = {}
    amps = variance = 0.0
    for flow in (*parked.asleep.values(), *beside, *(flow for one in running for flow in one.flows)):
        if not flow.assumed and place in tree.way_places(flow.way.places):
            takes[flow.owner] = takes.get(flow.owner, 0.0) + _usual(flow)
            amps += flow.mean
            variance += flow.variance
    in_all = sum(takes.values())
    on_none = {name: takes.pop(name) for name in ways if name in takes}
    parts = tuple(sorted(takes.items(), key=lambda its: (-its[1], its[0])))
    here = (one.switch for one in running for flow in one.flows if place in tree.way_places(flow.way.places))
    switches = tuple(dict.fromkeys(here))
    return KnownDraw(parts, in_all, amps + sqrt(variance), switches, tuple(sorted(on_none)), sum(on_none.values()))


def _usual(flow: Flow) -> float:
    """What was typed in: the median, which a mean of something so spread lies above."""
    return flow.mean / sqrt(1.0 + flow.variance / flow.mean**2) if flow.mean > 0.0 else 0.0

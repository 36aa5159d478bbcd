"""What would tell the suspects apart: a probe held to a point while the load is on, or another load switched on.

What the probe shows with each thing interrupted is worked out with that thing interrupted and everything that hangs on
it settled: a coil that lost its feed lets its contact go. A point in the loom is none: nothing is pierced.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED, Circuit
from circuitmap.dead.breaks import Break
from circuitmap.dead.without import Interrupted, settled_with
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import functions_of, levels_of_functions
from circuitmap.power.nearest import level_of
from circuitmap.power.nets import MAY_BE, YES
from circuitmap.volts.closed import Closed, closed_in
from circuitmap.volts.net import NoBattery, ResistanceNet, net_of
from circuitmap.volts.nominal import nominal_volts
from circuitmap.volts.operating import Solver, usual_values
from circuitmap.wiring.parts import WORKS_EITHER_WAY, Fuse, Joint, Load, Relay, Terminal, is_unnamed

Shown = Literal["plus", "ground", "between", "works", "dead", "talks", "still", "shorted"]
"""What a step may show: a probe nearly the battery's volts, nearly nothing, something between; a load works, or not; a
network's line talks, is cut off from whoever talks, or is held down."""
_PLUS, GROUND = 0.75, 0.2
"""Shares of the nominal volts (judgement: a load in series with a meter, or a sound drop, stays outside)."""

MOST_POINTS = 80
MOST_LOADS = 12
_HANDS = {"fuse": 1.0, "cavity": 2.0, "pin": 2.0, "relay": 3.0, "ground": 2.0, "stud": 1.0}
_REACH_OF_A_PART, _REACH_OF_A_BOX = 6.0, 2.0
_SWITCH_ON = 1.0
"""Minutes: with the probe at each kind of point, to get there where nobody said it, to switch a load on (judgement)."""


class ProbeStep(NamedTuple):
    """One thing to do: hold the probe to `point`, or switch `load` on. `shown` is what each suspect would give, `volts`
    what the probe would show (None: it floats, or a load is switched on). `network`: the point is on its lines.
    `nominal` are the volts of what feeds the point, the battery's or those that a converter makes."""

    point: Terminal | None
    load: str
    minutes: float
    shown: tuple[Shown, ...]
    volts: tuple[float | None, ...]
    network: str = ""
    nominal: float = 0.0


class VoltsWith(NamedTuple):
    """The volts of every node with something interrupted, None where it floats."""

    volts: Sequence[float | None]


def volts_with(found: Interrupted, on: Sequence[str], breaks: Iterable[Break]) -> Mapping[Break, VoltsWith]:
    """For each of these things, the volts everywhere with it interrupted, while the loads `on` are switched on."""
    sound = found.sound
    closed = closed_in(sound, on)
    drew = frozenset(
        name for n, name in enumerate(sound.plan.loads) if sound.draws[n] == YES
    )  # fmt: skip
    net_sound = net_of(sound, on, {}, drew, closed)
    whole = net_sound if isinstance(net_sound, ResistanceNet) else None
    told = {}
    for its in breaks:
        powered = found.without[its].powered
        opened = found.without[its].off.union(its.links)
        if opened:
            powered = _with_own(found, powered, opened)
        net = net_of(powered, on, {}, drew, still_closed(powered, closed), whole)
        nowhere: Sequence[float | None] = (None,) * len(sound.circuit.nodes)
        told[its] = VoltsWith(
            nowhere if isinstance(net, NoBattery) else Solver(net).solve(usual_values(net), roughly=True).volts
        )  # fmt: skip
    return told


def _with_own(found: Interrupted, settled: Powered, opened: frozenset[int]) -> Powered:
    """The state with just this thing interrupted: one of its row was settled for all of the row, and what hangs on them
    is the same, but not where the way ends."""
    if opened <= settled.nets.opened:
        return settled
    return settled_with(found.sound, settled.state, opened)


def still_closed(powered: Powered, closed: Closed) -> Closed:
    """What still conducts of what conducted in the sound state."""
    links = powered.circuit.links
    conducts = frozenset(
        i
        for i, link in enumerate(links)
        if link.kind not in NEVER_CROSSED
        and not (link.kind == "resistor" and link.part in powered.circuit.loads)
        and ((level := level_of(powered, i)) == YES or (level >= MAY_BE and i in closed.links))
    )
    return closed._replace(links=conducts)


def steps_for(
    found: Interrupted, suspects: Sequence[Break], at: Mapping[Break, VoltsWith], watched: Iterable[int]
) -> tuple[ProbeStep, ...]:
    """All steps that tell some of the suspects apart, none at what is hands-off."""
    circuit = found.sound.circuit
    hands_off = circuit.hands_off
    nominal = nominal_volts(circuit)
    steps = []
    points = (its for its in points_at(circuit, suspects) if hands_off.may_probe(str(its)))
    for point in list(points)[:MOST_POINTS]:
        node = circuit.number[point]
        volts = tuple(at[its].volts[node] for its in suspects)
        shown = tuple(shown_at(its, nominal[node]) for its in volts)
        if len(set(shown)) > 1:
            steps.append(ProbeStep(point, "", minutes_at(found.sound, point), shown, volts, "", nominal[node]))
    steps += _other_loads(found, suspects, frozenset(watched))
    return tuple(steps)


def shown_at(volts: float | None, nominal: float) -> Shown:
    """What a reading is: a point that floats shows nothing that lasts."""
    share = 0.0 if volts is None else abs(volts) / nominal
    return "plus" if share >= _PLUS else "ground" if share <= GROUND else "between"


def points_at(circuit: Circuit, suspects: Sequence[Break]) -> Iterable[Terminal]:
    """Where a probe can be held: pins, cavities from behind, studs, ground points; not splices and bars."""
    parts = circuit.platform.parts
    ends = dict.fromkeys(
        end for its in suspects for i in its.links for end in (circuit.links[i].a, circuit.links[i].b)
    )  # fmt: skip
    for end in ends:
        part = parts.get(end.part)
        if part is None or part.kind in ("splice", "bar", "battery") or is_unnamed(end.pin) or end.part == "case":
            continue
        if part.kind == "undeclared" or end.part.startswith("?"):
            continue
        yield end


def minutes_at(powered: Powered, point: Terminal) -> float:
    platform = powered.circuit.platform
    part = platform.parts[point.part]
    box = platform.box_of(point.part)
    if isinstance(part, Fuse):
        hands = _HANDS["fuse"]
    elif isinstance(part, Relay):
        hands = _HANDS["relay"]
    elif isinstance(part, Joint):
        hands = _HANDS["cavity" if part.kind == "connector" else "stud"]
    else:
        hands = _HANDS["ground" if part.kind == "ground" else "pin"]
    reach = part.reach or (box.reach if box is not None else None)
    usual = _REACH_OF_A_BOX if box is not None else _REACH_OF_A_PART
    return hands + (reach.middle if reach is not None else usual)


def _other_loads(found: Interrupted, suspects: Sequence[Break], watched: frozenset[int]) -> list[ProbeStep]:
    """Loads that anybody sees or hears working, not said to be dead or to work yet."""
    sound = found.sound
    parts = sound.circuit.platform.parts
    hands_off = sound.circuit.hands_off
    steps = []
    kills = [found.without[its] for its in suspects]
    functions = functions_of(sound.circuit)
    asked = {functions[n].part for n in watched if n < len(functions) and functions[n].kind == "load"}
    levels = sound.derived(levels_of_functions)
    unsure = frozenset[int]().union(*(one.weakens for one in kills), *(w.loads for one in kills for w in one.perhaps))
    for n, its in enumerate(functions):
        part = parts[its.part]
        if (
            n in watched
            or its.part in asked
            or levels[n] != YES  # what may be off while all is well proves nothing
            or not isinstance(part, Load)
            or part.kind not in WORKS_EITHER_WAY
        ):
            continue
        if not hands_off.may_touch(its.part) or n in unsure:
            continue
        if its.kind == "load" and len(its.supplies) > 1:  # its single pins are asked, as far as somebody named them
            continue
        shown: tuple[Shown, ...] = tuple("dead" if n in one.kills else "works" for one in kills)
        if len(set(shown)) > 1:
            steps.append(ProbeStep(None, its.name, _SWITCH_ON, shown, (None,) * len(suspects)))
    return steps[:MOST_LOADS]

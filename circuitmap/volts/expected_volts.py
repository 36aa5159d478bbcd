"""What a voltmeter should show at a point and along its way, what bad places would show, and what readings point to."""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.power.evaluate import Powered
from circuitmap.power.functions import function_named
from circuitmap.power.why import why
from circuitmap.quantities import Band
from circuitmap.volts.bad_places import SHOWN_OHMS, with_more
from circuitmap.volts.foreground import Foreground, Solved, ValueSetting, foreground_of, usual_setting
from circuitmap.volts.net import NoBattery, ResistanceNet, net_of
from circuitmap.volts.operating import Operating, Solver, usual_values
from circuitmap.volts.pointing import Pointing, SeenVolts, pointing
from circuitmap.volts.tolerance import VoltBounds, bounds_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal

MOST_POINTS = 60
"""Points of one way that are worked out (judgement)."""


class AskedVolts(NamedTuple):
    """What was asked: a point; what runs; volts and amperes read at points; places with so many ohms more (infinite:
    interrupted)."""

    point: Terminal
    running: tuple[str, ...]
    posts: Mapping[str, float]
    volts: Mapping[Terminal, float]
    amps: Mapping[Terminal, float]
    bad: Mapping[Terminal, float]


class AtPoint(NamedTuple):
    """One point of the way: what is to be expected there, what was read, and the current on its way to it."""

    terminal: Terminal
    bounds: VoltBounds
    read: float | None
    amps: float


class WhatIf(NamedTuple):
    """What the point would show with a link bad: with `SHOWN_OHMS` more, and interrupted (None: it floats)."""

    link: int
    volts: float
    open: float | None


class Lost(NamedTuple):
    """Between two points that were read, one after the other on the way: volts lost, the currents taken for it, from
    the smallest to the largest on the way (`measured`: it was), and the volts that are lost there when it is sound."""

    above: Terminal
    below: Terminal
    volts: float
    amps: Band
    measured: bool
    sound: Band
    links: tuple[int, ...]

    @property
    def ohms(self) -> float | None:
        """What that is in ohms; None without current, and where the current is not the same all along."""
        same = self.amps.high <= 1.05 * self.amps.low
        return self.volts / self.amps.high if same and self.amps.high > 1e-3 else None


class Supposed(NamedTuple):
    """Volts with the places bad that were asked about: at the point, and along the way; None where it floats."""

    at: tuple[tuple[Terminal, float | None], ...]
    unknown: tuple[Terminal, ...]


@dataclass(frozen=True)
class ExpectedVolts:
    """The whole answer. `flows`: what runs sends current past the point; else volts prove nothing there. `way` leads
    from the battery to what runs, and from it to ground; `point_at` is the place of the asked point in it, -1: not on
    it. `still` are the volts of the point as it is, in all cases. `off`: said to run, and no current flows in it."""

    powered: Powered
    net: ResistanceNet
    asked: AskedVolts
    flows: bool
    still: float | None
    way: tuple[AtPoint, ...]
    point_at: int
    what_if: tuple[WhatIf, ...]
    lost: tuple[Lost, ...]
    pointing: Pointing | None
    foreground: Foreground | None
    supposed: Supposed | None
    about: bool
    cut_off: bool
    off: tuple[str, ...]


def expected_volts(powered: Powered, asked: AskedVolts) -> ExpectedVolts | NoBattery:
    """The answer for one point in one state."""
    net = net_of(powered, asked.running, asked.posts)
    if isinstance(net, NoBattery):
        return net
    circuit = powered.circuit
    number = circuit.number
    foreground = foreground_of(net, asked.running)
    usual = foreground.usual if foreground is not None else Solver(net).solve(usual_values(net))
    still = usual.volts[number[asked.point]] if asked.point in number else None
    amps_of = _amps_of(net, usual)
    off = tuple(name for name in asked.running if amps_of.get(name, 0.0) < 1e-6)
    way = way_past(powered, asked.point, asked.running) if foreground is not None else ()
    way = tuple(its for its in way if foreground is not None and _known(foreground, number.get(its, -1)))[:MOST_POINTS]
    flows = asked.point in way
    if foreground is None or not way:
        return ExpectedVolts(
            powered, net, asked, False, still, (), -1, (), (), None, foreground, None, False, False, off
        )  # fmt: skip
    read = {its: volts for its, volts in asked.volts.items() if its in number}
    on_way = [its for its in read if _known(foreground, number[its])]
    bounded = bounds_of(foreground, [number[its] for its in (*way, *on_way)])
    usual_here = usual_setting(foreground)
    solved = Solved(foreground, usual_here)
    through = {its: _through(foreground, solved, number[its]) for its in way}
    points = tuple(AtPoint(its, bounded.bounds[number[its]], read.get(its), through[its]) for its in way)
    found = None
    if on_way:
        seen = [SeenVolts(number[its], read[its]) for its in on_way]
        found = pointing(foreground, seen, weights_of(foreground))
    return ExpectedVolts(
        powered, net, asked, flows, still, points, way.index(asked.point) if flows else -1,
        tuple(_what_if(foreground, number[asked.point], usual_here)) if flows else (),
        tuple(_lost(powered, foreground, points, asked, found)), found, foreground,
        _supposed(net, circuit, asked, points) if asked.bad else None,
        bounded.about, bounded.cut_off, off,
    )  # fmt: skip


def _known(foreground: Foreground, node: int) -> bool:
    return node in foreground.row or node == foreground.net.reference


def _amps_of(net: ResistanceNet, usual: Operating) -> dict[str, float]:
    found: dict[str, float] = {}
    for taker, amps in zip(net.takers, usual.taken, strict=True):
        for name in (taker.part, f"{taker.part}.{taker.pin}"):
            found[name] = found.get(name, 0.0) + abs(amps)
    return found


def way_past(powered: Powered, point: Terminal, running: Sequence[str]) -> tuple[Terminal, ...]:
    """The terminals from a battery's plus to what runs and from it to a minus: of that which has the point on it, else
    of the first."""
    ways = [way for name in running for way in _ways_of(powered, name)]
    at = [way for way in ways if point in way]
    same_part = [way for way in ways if any(its.part == point.part for its in way)]
    return next(iter((*at, *same_part, *ways)), ())


def _ways_of(powered: Powered, name: str) -> list[tuple[Terminal, ...]]:
    pins = function_named(powered.circuit, name)
    if pins is None:
        return []
    backs = [_side(powered, pin, "ground") for pin in pins.grounds]
    back = next((its for its in backs if its), ())
    supplies = (*pins.supplies, *(powered.circuit.loads[name].perhaps if pins.kind == "load" else ()))
    return [(*its, *reversed(back)) for pin in supplies if (its := _side(powered, pin, "supply"))]


def _side(powered: Powered, pin: Terminal, side: "str") -> tuple[Terminal, ...]:
    reason = why(powered, pin, "supply" if side == "supply" else "ground")
    if reason.answer == Answer.NO or reason.source is None:
        return ()
    return (reason.source, *(step.end for step in reason.steps))


def _through(foreground: Foreground, solved: Solved, node: int) -> float:
    """The most that flows through a node: half of what flows in and out."""
    flowing: float = sum(
        abs(solved.amps(n)) for n, its in enumerate(foreground.resistances) if node in (its.a, its.b)
    )  # fmt: skip
    taken: float = sum(
        abs(solved.at(its.a) - solved.at(its.b)) * conductance
        for its, conductance in zip(foreground.takers, solved.conductances, strict=False)
        if node in (its.a, its.b)
    )
    given: float = sum(abs(solved.given(n)) for n, its in enumerate(foreground.cells) if node in (its.plus, its.minus))
    return (flowing + taken + given) / 2


def _what_if(foreground: Foreground, node: int, usual: ValueSetting) -> list[WhatIf]:
    """Each link of the foreground bad by itself; those that show at the point, the most of them first."""
    sound = Solved(foreground, usual).at(node)
    found = []
    for n in range(len(foreground.numbers)):
        worse = Solved(foreground, with_more(usual, n, SHOWN_OHMS)).at(node)
        if abs(worse - sound) < _SHOWS and not foreground.converts:
            continue
        open_ = foreground.opened(n).volts[node]
        if abs(worse - sound) < _SHOWS_WELL and open_ is not None and abs(open_ - sound) < _SHOWS_OPEN:
            continue
        found.append(WhatIf(foreground.resistances[n].link, worse, open_))
    return sorted(found, key=lambda its: -abs(its.volts - sound))


_SHOWS, _SHOWS_WELL, _SHOWS_OPEN = 0.02, 0.1, 0.5
"""Volts by which a bad place must move the point to be worked out, and by which, bad or open, to be told (judgement: a
sound one varies by as much)."""


def weights_of(foreground: Foreground) -> dict[int, float]:
    """How often each kind of link gets a bad contact (judgement: rings and plugs before crimps, crimps before
    fuses)."""
    weight = {"cavity": 3.0, "body": 4.0, "contact": 3.0, "wire": 2.0, "chart": 4.0, "fuse": 1.5, "breaker": 1.5}
    links = foreground.net.circuit.links
    return {
        n: weight.get(links[its.link].kind, 0.5) if its.link >= 0 else 1.0
        for n, its in enumerate(foreground.resistances)
    }  # fmt: skip


def _lost(
    powered: Powered, foreground: Foreground, points: Sequence[AtPoint], asked: AskedVolts, found: Pointing | None
) -> list[Lost]:
    """Between points that were read. Without a measured current, that of the load at the volts that were read."""
    read = [its for its in points if its.read is not None]
    measured = max(asked.amps.values(), default=0.0)
    flows = Solved(foreground, usual_setting(foreground))
    if found is not None and found.places and found.places[0].chance > found.sound:
        first = found.places[0]  # what flows with the likeliest place as bad as it seems
        flows = Solved(foreground, with_more(flows.setting, first.numbers[0], min(first.ohms, _AS_GOOD_AS_OPEN)))
    lost = []
    order = [its.terminal for its in points]
    number = powered.circuit.number
    for above, below in itertools.pairwise(read):
        if above.read is None or below.read is None:
            continue
        between = order[order.index(above.terminal) : order.index(below.terminal) + 1]
        nodes = {number[its] for its in between}
        inside = [n for n, r in enumerate(foreground.resistances) if r.a in nodes and r.b in nodes]
        through_load = any({t.a, t.b} <= nodes for t in foreground.takers)
        if through_load or not inside:
            continue
        flowing = [abs(flows.amps(n)) for n in inside]
        if measured:  # where it splits up, in the same proportions
            flowing = [its * measured / max(*flowing, 1e-9) for its in flowing]
        bands = [foreground.resistances[n].ohms for n in inside]
        sound = Band(
            sum(its.low * amps for its, amps in zip(bands, flowing, strict=True)),
            sum(its.high * amps for its, amps in zip(bands, flowing, strict=True)),
        )
        amps = Band(min(flowing), max(flowing))
        links = tuple(foreground.resistances[n].link for n in inside)
        lost.append(
            Lost(above.terminal, below.terminal, above.read - below.read, amps, bool(measured), sound, links)
        )  # fmt: skip
    return lost


_AS_GOOD_AS_OPEN = 1e6


def link_at(circuit: Circuit, way: Sequence[Terminal], place: Terminal) -> int:
    """The link that stands for a bad place: that inside the part if it has one on the way (a fuse, a cavity, a
    contact), else the one by which the way comes to it; of a ground point the one by which the way leaves it, because
    all that sits on it goes through its ring."""
    part = circuit.platform.parts.get(place.part)
    is_ground = part is not None and part.kind == "ground"
    pairs = list(itertools.pairwise(way))
    for only_pin in (True, False):
        inside = [
            (a, b) for a, b in pairs
            if a.part == b.part == place.part and (not only_pin or not place.pin or place.pin in (a.pin, b.pin))
        ]  # fmt: skip
        coming = [(a, b) for a, b in pairs if b.part == place.part and (not only_pin or b.pin == place.pin)]
        leaving = [(a, b) for a, b in pairs if a.part == place.part and (not only_pin or a.pin == place.pin)]
        for a, b in (*inside, *leaving, *coming) if is_ground else (*inside, *coming, *leaving):
            for i in circuit.at[circuit.number[a]]:
                link = circuit.links[i]
                if {link.a, link.b} == {a, b} and link.kind != "load":
                    return i
    return -1


def _supposed(net: ResistanceNet, circuit: Circuit, asked: AskedVolts, points: Sequence[AtPoint]) -> Supposed:
    """The volts with the places bad that were asked about."""
    way = [its.terminal for its in points]
    values = usual_values(net)
    opened: set[int] = set()
    ohms = list(values.ohms)
    unknown = []
    for place, more in asked.bad.items():
        link = link_at(circuit, way, place)
        number = net.at_link(link) if link >= 0 else -1
        if number < 0:
            unknown.append(place)
        elif more == float("inf"):
            opened.add(number)
        else:
            ohms[number] += more
    solved = Solver(net, frozenset(opened)).solve(values._replace(ohms=tuple(ohms)))
    shown = dict.fromkeys((*way, asked.point, *asked.volts))
    at = tuple((its, solved.volts[circuit.number[its]]) for its in shown if its in circuit.number)
    return Supposed(at, tuple(unknown))

"""How much flows through loads and coils that carry current through one another, where all of their currents are typed
in: Kirchhoff's laws on each such piece of wiring.

Each is taken for a resistor that takes its typed current at the nominal voltage, but a filament that gets less is
cooler and takes more than that (`filament.py`, the same law as for volts); of motors and modules that tells nothing.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.filament import conductance_share
from circuitmap.power.nets import YES
from circuitmap.power.series_ways import GROUND, PLUS, places
from circuitmap.power.why import why
from circuitmap.wiring.parts import Load, Relay, Resistor, Terminal

MOST_PLACES = 40
"""How many places between loads are worked out in one piece of wiring (judgement: a cab without its ground strap has
ten)."""
_MOST_LOOKS, _CLOSE = 60, 1e-6
"""Looks at the filaments again, each at the volts last found, and the share of the nominal volts that ends it."""
_ALIKE = 0.02
"""Typed currents that differ by no more than this say the same (judgement: watts and amperes are rounded)."""
_SMALL_BESIDE = 0.1
"""What takes no more than this part of what lies side by side with it hardly changes the volts there (judgement): a
module asleep beside a heater."""
_LIKE_RESISTORS = ("lamp", "heater", "solenoid")


class InSeries(NamedTuple):
    """A load, or a relay's coil, by its name, from the terminal `a` to `b`. What flows through it and what lies across
    it, without signs; None where it cannot be worked out, of which `untyped` are the reason; of a module beside what
    takes far more, only the volts are known. `most`: what all of the piece passes at the most, where what lies at its
    live or its grounded end is known. `at_plus`, `at_ground`:
    that end is live, or grounded, so that what flows there comes from a battery, or returns to it."""

    name: str
    a: Terminal
    b: Terminal
    amps: float | None
    volts: float | None
    at_plus: Terminal | None
    at_ground: Terminal | None
    untyped: tuple[str, ...]
    most: float | None = None


class _Between(NamedTuple):
    """`ohms` at the `nominal` volts; of a `filament` fewer below them."""

    taker: int
    a: int
    b: int
    ohms: float | None
    nominal: float
    filament: bool

    def at(self, volts: Mapping[int, float]) -> float:
        """Its ohms at these volts of the places."""
        ohms = self.ohms or 0.0
        share = abs(volts[self.a] - volts[self.b]) / self.nominal
        return ohms / conductance_share(share) if self.filament else ohms


def currents_in_series(powered: Powered) -> tuple[InSeries, ...]:
    """All of them, in the order of the circuit."""
    return powered.derived(_Found).all


class _Found:
    def __init__(self, powered: Powered) -> None:
        self._powered = powered
        self._places = places(powered)
        takers = powered.run.takers
        between = []
        for taker in sorted(powered.settled.reach.in_series):
            its = takers.all[taker]
            if its is not None and self._places[its.a] != self._places[its.b]:
                nominal = powered.circuit.platform.supply_volts
                ends = self._places[its.a], self._places[its.b]
                between.append(_Between(taker, *ends, _ohms(powered, taker), nominal, _has_filament(powered, taker)))
        told = (its for piece in _pieces(between) for its in self._told(piece))
        self.all = tuple(its for _, its in sorted(told, key=lambda pair: pair[0]))

    def _told(self, piece: Sequence[_Between]) -> Iterator[tuple[int, InSeries]]:
        powered = self._powered
        alike = _made_for_their_share(powered, piece)
        if alike:
            piece = [its._replace(ohms=alike, nominal=its.nominal / len(piece)) for its in piece]
        volts, untyped = self._volts(piece)
        most = _most(piece, powered.circuit.platform.supply_volts)
        for its in piece:
            a, b = _terminals(powered, its.taker)
            ends = ((a, its.a), (b, its.b))
            plus = next((end for end, place in ends if place == PLUS), None)
            ground = next((end for end, place in ends if place == GROUND), None)
            across = abs(volts[its.a] - volts[its.b]) if volts else None
            amps = across / its.at(volts) if across is not None and its.ohms else None
            name = powered.name_of_taker(its.taker)
            yield its.taker, InSeries(name, a, b, amps, across, plus, ground, untyped, most)

    def _volts(self, piece: Sequence[_Between]) -> tuple[Mapping[int, float], tuple[str, ...]]:
        """The volts of each place; none where they cannot be worked out, with what is not typed in."""
        powered = self._powered
        small = _small_beside(powered, piece)
        piece = [its for its in piece if its.taker not in small]
        untyped = tuple(dict.fromkeys(powered.name_of_taker(its.taker) for its in piece if its.ohms is None))
        free = sorted({place for its in piece for place in (its.a, its.b) if place >= 0})
        if untyped or len(free) > MOST_PLACES or self._one_way(set(free)) or self._made_elsewhere(piece):
            return {}, untyped
        nominal = powered.circuit.platform.supply_volts
        ends = {PLUS: nominal, GROUND: 0.0}
        volts = ends | dict.fromkeys(free, 0.0)
        ohms = [its.ohms or 0.0 for its in piece]
        for _ in range(_MOST_LOOKS):
            before, volts = volts, ends | dict(zip(free, _solved(piece, ohms, free, nominal), strict=True))
            if max((abs(volts[place] - before[place]) for place in free), default=0.0) < _CLOSE * nominal:
                break
            ohms = [its.at(volts) for its in piece]
        return volts, ()

    def _one_way(self, free: set[int]) -> bool:
        """Whether a diode lies between these places: which way the current then takes is not looked for."""
        nets, levels = self._powered.nets, self._powered.settled.levels
        its = [net for net, place in enumerate(self._places) if place in free]
        return any(
            levels[gate] == YES and (net, gate) not in nets.towards_load[other]
            for net in its
            for other, gate in (*nets.towards_load[net],)
        )

    def _made_elsewhere(self, piece: Sequence[_Between]) -> bool:
        """Whether one of them has another voltage than the nominal one: a converter makes it, or it is taken between
        two batteries in a row."""
        powered = self._powered
        for its in piece:
            for end, place in zip(_terminals(powered, its.taker), (its.a, its.b), strict=True):
                if place < 0:
                    reason = why(powered, end, "supply" if place == PLUS else "ground")
                    links = (step.link for step in reason.steps if step.link is not None)
                    made = any(link.output is not None and link.output.volts for link in links)
                    if made or (reason.source is not None and reason.source.pin == "mid"):
                        return True
        return False


def _pieces(between: Sequence[_Between]) -> Iterator[list[_Between]]:
    """Those that share a place other than plus and ground, together."""
    at: dict[int, list[_Between]] = {}
    for its in between:
        for place in (its.a, its.b):
            if place >= 0:
                at.setdefault(place, []).append(its)
    seen: set[int] = set()
    for first in between:
        if first.taker in seen:
            continue
        seen.add(first.taker)
        piece, todo = [], [first]
        while todo:
            its = todo.pop()
            piece.append(its)
            for place in (its.a, its.b):
                for other in at.get(place, ()) if place >= 0 else ():
                    if other.taker not in seen:
                        seen.add(other.taker)
                        todo.append(other)
        yield piece


def _most(piece: Sequence[_Between], nominal: float) -> float | None:
    """Ohm's law for what lies at the live end, or at the grounded one, as if all else were copper."""
    ends = [[its.ohms for its in piece if side in (its.a, its.b)] for side in (PLUS, GROUND)]
    known = [sum(nominal / ohms for ohms in end if ohms) for end in ends if end and all(end)]
    return min(known, default=None)


def _made_for_their_share(powered: Powered, piece: Sequence[_Between]) -> float | None:
    """The ohms of each of a row of lamps between which nothing else is joined and that are typed with the same current:
    two 12 V lamps one behind the other on 24 V. They are made for their share of the voltage, and what is typed is what
    flows (practice)."""
    free = [place for its in piece for place in (its.a, its.b) if place >= 0]
    amps = [powered.circuit.platform.supply_volts / its.ohms for its in piece if its.ohms]
    if len(amps) < len(piece):
        return None
    in_a_row = all(free.count(place) == 2 for place in free) and len(free) == 2 * (len(piece) - 1)
    alike = max(amps) - min(amps) <= _ALIKE * max(amps)
    lamps = all(_kind(powered, its.taker) == "lamp" for its in piece)
    if not (in_a_row and alike and lamps) or any(_can_be_reached(powered, place) for place in free):
        return None
    return powered.circuit.platform.supply_volts / (sum(amps) / len(amps)) / len(piece)


def _small_beside(powered: Powered, piece: Sequence[_Between]) -> frozenset[int]:
    """The takers that are no resistors and take next to nothing of what others take between the same two places."""
    nominal = powered.circuit.platform.supply_volts
    beside: dict[frozenset[int], float] = {}
    for its in piece:
        if its.ohms:
            ends = frozenset((its.a, its.b))
            beside[ends] = beside.get(ends, 0.0) + nominal / its.ohms
    found = set()
    for its in piece:
        part = powered.circuit.platform.parts[powered.name_of_taker(its.taker)]
        if its.ohms is None and isinstance(part, Load):
            bands = (part.asleep, part.awake, part.running)
            most = max((band.high for band in bands if band is not None), default=None)
            if most is not None and most <= _SMALL_BESIDE * beside.get(frozenset((its.a, its.b)), 0.0):
                found.add(its.taker)
    return frozenset(found)


def _can_be_reached(powered: Powered, net: int) -> bool:
    """Whether any contact, output or diode is at a net: then its loads are not always in a row."""
    return bool(powered.nets.towards_load[net] or powered.nets.towards_supply[net])


def _solved(piece: Sequence[_Between], ohms: Sequence[float], free: Sequence[int], nominal: float) -> list[float]:
    """The volts of the free places, by elimination: as much flows to each as from it."""
    number = {place: n for n, place in enumerate(free)}
    size = len(free)
    rows = [[0.0] * (size + 1) for _ in free]
    for its, resists in zip(piece, ohms, strict=True):
        siemens = 1 / resists if resists else 0.0
        for here, there in ((its.a, its.b), (its.b, its.a)):
            if here in number:
                row = rows[number[here]]
                row[number[here]] += siemens
                if there in number:
                    row[number[there]] -= siemens
                elif there == PLUS:
                    row[size] += nominal * siemens
    for n in range(size):
        best = max(range(n, size), key=lambda at: abs(rows[at][n]))
        rows[n], rows[best] = rows[best], rows[n]
        for other in range(size):
            if other != n and rows[other][n]:
                factor = rows[other][n] / rows[n][n]
                rows[other] = [x - factor * y for x, y in zip(rows[other], rows[n], strict=True)]
    return [row[size] / row[n] for n, row in enumerate(rows)]


def _ohms(powered: Powered, taker: int) -> float | None:
    part = powered.circuit.platform.parts[powered.name_of_taker(taker)]
    nominal = powered.circuit.platform.supply_volts
    if isinstance(part, Resistor):
        return part.ohms or None
    if isinstance(part, Relay):
        if part.takes is None or part.across == "diode" or (part.across == "resistor" and not part.ohms):
            return None
        amps = (part.takes.low + part.takes.high) / 2
        return nominal / (amps + (nominal / part.ohms if part.ohms else 0)) if amps > 0 else None
    if not isinstance(part, Load) or part.kind not in _LIKE_RESISTORS:
        return None
    supply = _terminals(powered, taker)[0].pin
    band = part.running_at.get(supply) or (None if part.running_at else part.running)
    amps = (band.low + band.high) / 2 if band is not None else 0
    several = len(powered.circuit.loads[part.name].supplies) > 1 and not part.running_at
    return nominal / amps if amps > 0 and not several else None


def _has_filament(powered: Powered, taker: int) -> bool:
    part = powered.circuit.platform.parts[powered.name_of_taker(taker)]
    return isinstance(part, Load) and part.kind == "lamp" and not part.law


def _kind(powered: Powered, taker: int) -> str:
    return powered.circuit.platform.parts[powered.name_of_taker(taker)].kind


def _terminals(powered: Powered, taker: int) -> tuple[Terminal, Terminal]:
    nodes, coil = powered.circuit.nodes, taker - powered.run.takers.first_coil
    if coil >= 0:
        return nodes[powered.plan.coils[coil].plus], nodes[powered.plan.coils[coil].minus]
    path = powered.plan.paths[taker]
    return nodes[path.supply], nodes[path.ground]

"""A reading that equals what was typed in of one thing behind that fuse: a coil, a module awake, a load that runs.

Odds hardly see such a match, because what a fault takes is known to a factor only; somebody at the car sees it at once.
"""

from collections import deque
from collections.abc import Collection, Container, Iterator, Sequence
from itertools import combinations
from typing import Literal, NamedTuple

from circuitmap.circuit.links import METAL, NEVER_CROSSED, Circuit, Link
from circuitmap.diagnosis.seen.netting import Netted, Segment
from circuitmap.evidence.readings import Reading
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer, Fitting, holds
from circuitmap.wiring.parts import SECOND, Fuse, Load, Part, Relay, Terminal

Taken = Literal["running", "awake", "coil"]

CLOSE = 0.06
"""A figure fits if it is met to this share, besides the display (judgement: what a clamp is off, and what lamps take
beside their watts)."""
KNOWN_TO = 1.5
"""A range whose high end is more than this many times its low end is no figure (judgement)."""
MOST_PLACES, MOST_TAKERS, MOST_TOGETHER, MOST_WAYS = 3, 12, 3, 2
"""Of so many places, the largest currents first; among so many takers, together so many; told if it fits in no more
than so many ways."""
LEAST = 0.03
"""In A: below this anything fits something (judgement)."""


class FigureTaken(NamedTuple):
    """What one thing takes, by what was typed in; `behind` are the contacts between it and the fuse."""

    part: str
    taken: Taken
    amps: Band
    behind: frozenset[str]


class FigureFits(NamedTuple):
    """`amps` were read at `place`, and that is what `takers` take together; `not_with` is what hangs on the same
    contacts, or on those of the relay whose coil takes it, and would make it more. Where nothing takes just that:
    `sockets` that hang there, and take whatever is plugged in."""

    place: str
    amps: float
    takers: tuple[FigureTaken, ...]
    not_with: tuple[FigureTaken, ...] = ()
    sockets: tuple[str, ...] = ()


def figures_that_fit(
    circuit: Circuit,
    fitting: Fitting,
    nets: Netted,
    unplugged: Container[str] = (),
    for_nothing: Sequence[Collection[str]] = (),
) -> tuple[FigureFits, ...]:
    """Of the fuses that draw most: what behind each takes just that. At those in `unplugged` what was plugged in was
    out already, so no socket is told; nor is one that was out, or cut off by a plug that was, in a try `for_nothing`:
    whatever was plugged in there was out with it, and the draw went on."""
    parts = circuit.platform.parts
    drawing = [
        segment for segment in nets.segments
        if segment.amps is not None and segment.amps >= LEAST and segment.readings[0].shows_current
        and isinstance(parts.get(segment.place), Fuse)
    ]  # fmt: skip
    drawing.sort(key=lambda segment: (-(segment.amps or 0.0), segment.place))
    found = (its for segment in drawing[:MOST_PLACES] for its in _fits(segment, circuit, fitting, for_nothing))
    return tuple(its for its in found if not (its.sockets and its.place in unplugged))


def most_taken_at(circuit: Circuit, fuse: str, fitting: Fitting) -> float:
    """The most in A that what is typed in of the loads and coils of a fuse comes to, all of them on."""
    parts = circuit.platform.parts
    most: dict[str, float] = {}
    for link, pin, _ in _reached(circuit, fuse, fitting):
        figures = [band.high for _, band in _bands(parts[link.part], pin, link) if band is not None]
        most[f"{link.part}.{pin}"] = max(figures, default=0.0)
    return sum(most.values())


def figures_at(circuit: Circuit, fuse: str, fitting: Fitting) -> tuple[FigureTaken, ...]:
    """All figures that were typed in of what hangs on a fuse."""
    parts = circuit.platform.parts
    reached = _reached(circuit, fuse, fitting)
    return tuple(its for link, pin, behind in reached for its in _typed(parts[link.part], pin, link, behind))


def _fits(
    segment: Segment, circuit: Circuit, fitting: Fitting, for_nothing: Sequence[Collection[str]]
) -> list[FigureFits]:
    amps = segment.amps or 0.0
    reached = list(_reached(circuit, segment.place, fitting))
    parts = circuit.platform.parts
    sockets = tuple(dict.fromkeys(link.part for link, _, _ in reached if parts[link.part].kind == "socket"))
    takers = [taker for link, pin, behind in reached for taker in _typed(parts[link.part], pin, link, behind)]
    if sockets:
        still_fed = [{link.part for link, _, _ in _reached(circuit, segment.place, fitting, o)} for o in for_nothing]
        sockets = tuple(name for name in sockets if all(name in fed for fed in still_fed))
    off = CLOSE * amps + segment.readings[0].half_step
    found = _together(circuit, segment.place, amps, off, takers)
    return found or ([FigureFits(segment.place, amps, (), (), sockets)] if sockets else [])


def taken_in_use(circuit: Circuit, reading: Reading, fitting: Fitting, absent: Container[str]) -> list[FigureFits]:
    """What behind a fuse takes just what was read there while the vehicle was used; nothing where nobody knows how
    much that was."""
    if reading.amps is None or not reading.shows_current:
        return []
    takers = [its for its in figures_at(circuit, reading.place, fitting) if its.part not in absent]
    return _together(circuit, reading.place, reading.amps, CLOSE * reading.amps + reading.half_step, takers)


def _together(
    circuit: Circuit, place: str, amps: float, off: float, takers: Sequence[FigureTaken]
) -> list[FigureFits]:  # fmt: skip
    if not 0 < len(takers) <= MOST_TAKERS:
        return []
    for together in range(1, MOST_TOGETHER + 1):
        found = []
        for some in combinations(takers, together):
            same = together == 1 or (some[0].behind and all(its.behind == some[0].behind for its in some))
            low, high = sum(its.amps.low for its in some), sum(its.amps.high for its in some)
            if same and low - off <= amps <= high + off and len({its.part for its in some}) == together:
                with_them = some[0].behind or _closed_by(circuit, some)
                others = tuple(its for its in takers if its.behind == with_them and its not in some)
                found.append(FigureFits(place, amps, some, others if with_them else ()))
        if found:
            return found if len(found) <= MOST_WAYS else []
    return []


def _closed_by(circuit: Circuit, some: tuple[FigureTaken, ...]) -> frozenset[str]:
    """The contacts that a relay closes whose coil alone takes a current: what is behind them runs with it."""
    coil = some[0]
    if len(some) > 1 or coil.taken != "coil":
        return frozenset()
    links = (circuit.links[its] for its in circuit.inside.get(coil.part, ()))
    return frozenset(link.contact for link in links if link.kind == "contact" and link.energised)


def _reached(
    circuit: Circuit, fuse: str, fitting: Fitting, out: Collection[str] = ()
) -> Iterator[tuple[Link, str, frozenset[str]]]:
    """The loads and coils that are reached from a fuse's outgoing side, through contacts however they stand, as far as
    the next fuse, or ground: each with its pin and the contacts before it. What is `out` is none of them, and nothing
    is reached through a plug that is."""
    start, grounds = circuit.number.get(Terminal(fuse, SECOND)), circuit.derived(_Grounds).nodes
    if start is None:
        return
    behind: dict[int, frozenset[str]] = {start: frozenset()}
    waiting = deque([start])
    told: set[tuple[str, str]] = set()
    while waiting:
        here = waiting.popleft()
        for number in circuit.at[here]:
            link = circuit.links[number]
            if holds(link.condition, fitting) == Answer.NO:
                continue
            terminal = circuit.nodes[here]
            takes = link.kind == "coil" or (link.kind == "load" and terminal == link.a)
            if takes and link.part not in out and (link.part, terminal.pin) not in told:
                told.add((link.part, terminal.pin))
                yield link, terminal.pin, behind[here]
            other = circuit.number[link.other(terminal)]
            if other in behind or other in grounds or _is_parted(circuit, circuit.nodes[other], out):
                continue
            if _goes_on(link, terminal):
                behind[other] = behind[here] | ({link.contact} if link.contact else frozenset())
                waiting.append(other)


def _is_parted(circuit: Circuit, terminal: Terminal, out: Collection[str]) -> bool:
    """Whether a terminal is a plug's, or one of its cavities, that is out: only there do wires end with it."""
    part = circuit.platform.parts.get(terminal.part)
    return part is not None and part.kind == "connector" and (part.name in out or str(terminal) in out)


class _Grounds:
    """What is on ground at all times, by metal: what hangs there, too, takes its current from elsewhere."""

    def __init__(self, circuit: Circuit) -> None:
        self.nodes = {circuit.number[end] for end in circuit.on_ground if end in circuit.number}
        waiting = deque(self.nodes)
        while waiting:
            here = waiting.popleft()
            for number in circuit.at[here]:
                a, b = circuit.ends[number]
                other = b if a == here else a
                if other not in self.nodes and circuit.links[number].kind in (*METAL, "body"):
                    self.nodes.add(other)
                    waiting.append(other)


def _goes_on(link: Link, here: Terminal) -> bool:
    if link.kind in NEVER_CROSSED or link.kind in ("fuse", "link", "breaker", "body", "resistor"):
        return False
    return here == link.a or not (link.one_way or link.kind in ("diode", "output"))


def _typed(part: Part, pin: str, link: Link, behind: frozenset[str]) -> Iterator[FigureTaken]:
    for taken, band in _bands(part, pin, link):
        if band is not None:
            yield from _figure(part.name, taken, band, behind)


def _bands(part: Part, pin: str, link: Link) -> tuple[tuple[Taken, Band | None], ...]:
    if link.kind == "coil":
        return (("coil", part.takes),) if isinstance(part, Relay) else ()
    if not isinstance(part, Load):
        return ()
    return (
        ("running", part.running_at.get(pin) if part.running_at else part.running),
        ("awake", part.awake_at.get(pin) if part.awake_at else part.awake),
    )


def _figure(name: str, taken: Taken, band: Band, behind: frozenset[str]) -> Iterator[FigureTaken]:
    if band.high > 0.0 and band.high <= KNOWN_TO * max(band.low, 1e-9):
        yield FigureTaken(name, taken, band, behind)

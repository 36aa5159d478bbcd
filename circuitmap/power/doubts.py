"""Why a load only possibly draws: a module's output decides, current comes through another load, or it is not known."""

from typing import Literal, NamedTuple

from circuitmap.power.evaluate import Powered
from circuitmap.power.nearest import Side
from circuitmap.power.why import Reason, why
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Relay, Terminal


class Doubt(NamedTuple):
    """`on request`: it draws when a module turns an output on, directly or by way of a relay. `in series`: it carries
    current together with the other loads and coils in `together`. `not known`: something on its ways was not typed
    in."""

    kind: Literal["on request", "in series", "not known"]
    together: tuple[str, ...] = ()


def doubt_of(powered: Powered, load: str) -> Doubt:
    """What decides whether a load that may draw does draw."""
    together = in_series_with(powered, load)
    if len(together) > 1:
        return Doubt("in series", together)
    pins = powered.circuit.loads[load]
    sides: tuple[tuple[tuple[Terminal, ...], Side], ...] = ((pins.supplies, "supply"), (pins.grounds, "ground"))
    for ends, side in sides:
        for end in ends:
            if _waits_for_output(powered, why(powered, end, side), set()):
                return Doubt("on request")
    return Doubt("not known")


def in_series_with(powered: Powered, load: str) -> tuple[str, ...]:
    """The loads and relays, itself included, that carry current together with a load that would carry none alone; empty
    for a load of another sort."""
    return powered.derived(_Pieces).with_load(load)


class _Pieces:
    """The pieces of wiring, neither live nor grounded, in which loads carry current through one another."""

    def __init__(self, powered: Powered) -> None:
        self._powered = powered
        takers, reach = powered.run.takers, powered.settled.reach
        self._names: list[set[str]] = []
        self._of: dict[str, set[int]] = {}
        piece_at: dict[int, int] = {}
        for taker in sorted(reach.in_series):
            name = powered.name_of_taker(taker)
            for net in _loose_ends(powered, taker):
                if net not in piece_at:
                    its = takers.floating((net,), powered.settled.levels, reach.supply, reach.ground)
                    piece_at.update(dict.fromkeys(its, len(self._names)))
                    self._names.append(set())
                self._names[piece_at[net]].add(name)
                self._of.setdefault(name, set()).add(piece_at[net])
        self._told: dict[frozenset[int], tuple[str, ...]] = {}

    def with_load(self, load: str) -> tuple[str, ...]:
        pieces = frozenset(self._of.get(load, ()))
        if not pieces:
            return ()
        if pieces not in self._told:
            names = set().union(*(self._names[piece] for piece in pieces))
            in_order = dict.fromkeys(
                self._powered.name_of_taker(n) for n in sorted(self._powered.settled.reach.in_series)
            )
            self._told[pieces] = tuple(name for name in in_order if name in names)
        return self._told[pieces]


def _loose_ends(powered: Powered, taker: int) -> list[int]:
    """The nets at a load or coil that are neither live nor grounded."""
    its, reach = powered.run.takers.all[taker], powered.settled.reach
    return [net for net in its or () if not reach.supply[net] and not reach.ground[net]]


def _waits_for_output(powered: Powered, reason: Reason, asked: set[str]) -> bool:
    """Whether an output that may be on, or a relay that waits for one, is on this way."""
    for step in reason.steps:
        if step.link is None or step.answer != Answer.MAY_BE:
            continue
        if step.link.output is not None:
            return True
        relay = powered.circuit.platform.parts.get(step.link.part)
        if isinstance(relay, Relay) and relay.name not in asked:
            asked.add(relay.name)
            sides: tuple[Side, ...] = ("supply", "ground")
            for pin in relay.coil:
                if any(
                    _waits_for_output(powered, why(powered, Terminal(relay.name, pin), side), asked) for side in sides
                ):
                    return True
    return False

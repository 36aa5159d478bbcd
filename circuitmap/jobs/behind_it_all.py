"""What nearly everything hangs on: a battery's main switch, a main fuse, the battery's lead. Without it the draw goes
wherever it is taken, so that proves nothing. And what takes nothing as the vehicle stands."""

from collections.abc import Collection
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.next_test.handling import Handling
from circuitmap.diagnosis.next_test.waking import keeps_nobody_awake, starts_at_once
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.nets import NO
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import SECOND, Load, Terminal

NEARLY_ALL = 0.8
"""The share of a battery's live fuses that go dead with what nearly everything hangs on (judgement)."""
FEWEST = 4
"""Of fewer fuses the one that feeds the others tells as much as any (judgement)."""


class BehindItAll:
    """The vehicle as the card says it stands, parked."""

    def __init__(self, circuit: Circuit, evidence: Evidence) -> None:
        absent = frozenset(evidence.absent)
        self._circuit, self._evidence = circuit, evidence
        self._state = VehicleState(fitting=evidence.options, switches=evidence.positions, unplugged=absent)
        self._powered: Powered | None = None
        self._known: dict[tuple[str, frozenset[str]], bool] = {}

    def goes_with(self, out: Collection[str], place: str) -> bool:
        """Whether nearly all that hangs on the battery that was read at a place hangs on these parts."""
        key = place, frozenset(out)
        if key not in self._known:
            self._known[key] = self._goes_with(frozenset(out), battery_read_at(self._circuit.platform, place))
        return self._known[key]

    def stops_at_once(self, out: Collection[str]) -> bool:
        """Whether all that goes with these parts stops in that moment, with nothing that has to fall asleep first."""
        return self._handling.stops_at_once(out)

    def keeps_nobody_awake(self, out: Collection[str]) -> bool:
        """Whether nobody falls asleep later for these parts being out."""
        return keeps_nobody_awake(self._handling, out)

    def starts_at_once(self, out: Collection[str], place: str) -> bool:
        """Whether what the battery that is read at a place gives with these in again is the draw at once, with nothing
        that may wake."""
        return starts_at_once(self._handling, out, battery_read_at(self._circuit.platform, place))

    @property
    def _handling(self) -> Handling:
        return prepared_for(self._circuit, {}, self._evidence).handling

    def is_off_at_rest(self, name: str) -> bool:
        """Whether a load that is no module surely takes nothing with the vehicle parked and all at rest: what it takes
        then something else lets it take."""
        part = self._circuit.platform.parts.get(name)
        if not isinstance(part, Load) or part.kind == "module":
            return False
        its = self._as_it_stands().loads.get(name)
        return its is not None and its.draws == Answer.NO

    def fed_from(self, place: str) -> tuple[str, ...]:
        """The battery that feeds a fuse; where the sheets leave that open, all that the vehicle surely has."""
        end = Terminal(place, SECOND)
        powered = self._as_it_stands()
        fed = powered.batteries(end) if end in self._circuit.number else ()
        platform = self._circuit.platform
        if len(fed) == 1:
            return tuple(fed)
        state = self._state
        there = tuple(name for name in batteries_of(platform) if name not in state.unplugged)
        return tuple(n for n in there if holds(platform.parts[n].condition, state.fitting) == Answer.YES) or there

    def _as_it_stands(self) -> Powered:
        if self._powered is None:
            self._powered = evaluate(self._circuit, self._state, requests=Answer.NO)
        return self._powered

    def _goes_with(self, out: frozenset[str], battery: str) -> bool:
        parts = self._circuit.platform.parts
        if not battery or battery not in parts or not out <= parts.keys():
            return False
        live = self._live(self._as_it_stands(), battery) - out
        if len(live) < FEWEST:
            return False
        state = replace(self._state, unplugged=self._state.unplugged | out, pulled=out)
        left = self._live(evaluate(self._circuit, state, requests=Answer.NO), battery)
        return len(live - left) >= NEARLY_ALL * len(live)

    def _live(self, powered: Powered, battery: str) -> set[str]:
        """The fuses that have plus from this battery on their outgoing side."""
        found = set()
        for fuse in self._circuit.platform.fuses:
            end = Terminal(fuse.name, SECOND)
            if end in self._circuit.number and powered.supply[end] != NO and battery in powered.batteries(end):
                found.add(fuse.name)
        return found

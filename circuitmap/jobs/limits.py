"""What the draw at each battery is held to: the platform's limit, or what the vehicle is known to take as its switches
stand, where that is more.

A limit is that of the vehicle as it is parked. With a main switch left on it takes what the sheets say of all that is
fed then, and that is no fault.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import held_amps, tolerance
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of

if TYPE_CHECKING:
    from circuitmap.diagnosis.car.at_work import AtWork
    from circuitmap.diagnosis.car.known_draw import KnownDraw


@dataclass(frozen=True, slots=True)
class Limits:
    """`own` in A is the platform's limit, or a usual one; `known` is, by battery, what the vehicle takes by itself
    where that is more; `stands` are the switches that stand otherwise than parked, each with its position; `running` is
    what counts there because it was switched on."""

    platform: Platform
    own: float
    known: Mapping[str, "KnownDraw"]
    stands: tuple[tuple[str, str], ...] = ()
    running: tuple["AtWork", ...] = ()

    @property
    def batteries(self) -> tuple[str, ...]:
        """The batteries of the platform."""
        return batteries_of(self.platform)

    def at(self, place: str) -> float:
        """The current in A that a reading at this place is held to."""
        known = self.known_at(place)
        return self.own if known is None else max(self.own, known.at_most)

    def beyond_known(self, reading: Reading) -> float:
        """How much more a reading shows than is known to flow with what was switched on, in A, where that is more than
        consumers differ by and the meter can be off; else none."""
        from circuitmap.diagnosis.car.at_work import NEAR

        known, amps = self.known_at(reading.place), held_amps(reading)
        if known is None or not known.switches or amps is None:
            return 0.0
        more = amps - known.amps
        return more if more > max(self.own, NEAR * known.amps) + tolerance(reading) else 0.0

    def known_at(self, place: str) -> "KnownDraw | None":
        """What is known to be taken at a battery, where that is more than the limit."""
        return self.known.get(battery_read_at(self.platform, place))


def limits_of(circuit: Circuit, evidence: Evidence) -> Limits:
    """The limits of this vehicle with its switches as the card says."""
    platform = circuit.platform
    own = limit_of(platform)
    stands = tuple(sorted(_otherwise(platform, evidence.positions)))
    known: dict[str, KnownDraw] = {}
    running: tuple[AtWork, ...] = ()
    said = [(its.name, its.fed_from, its.asleep) for its in evidence.added if its.asleep is not None]
    asleep = sum(part.asleep.high for part in platform.loads if part.asleep is not None)
    if stands or asleep + sum(band.high for _, _, band in said) > own:
        from circuitmap.diagnosis.car.known_draw import known_draw
        from circuitmap.diagnosis.seen.switched_on import switched_on

        running = switched_on(circuit, evidence.options, evidence)
        for battery in batteries_of(platform):
            its = known_draw(
                circuit, evidence.options, frozenset(evidence.absent), evidence.positions,
                frozenset(evidence.own_battery), battery, running, said,
            )  # fmt: skip
            if its.at_most > own:
                known[battery] = its
    return Limits(platform, own, known, stands, running)


def _otherwise(platform: Platform, positions: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for name, position in positions.items():
        part = platform.parts.get(name)
        if not isinstance(part, Switch) or position != part.positions[0]:
            yield name, position

"""Contacts that are wrong by being open: taken out, such a switch says to its module what it says when it fails, so a
draw that goes on without it clears nothing."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.inputs import every_input
from circuitmap.evidence.evidence import Evidence
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import Switch


class OpeningContacts:
    """The vehicle as the card says it stands; looked into only where a switch was out for nothing."""

    def __init__(self, circuit: Circuit, evidence: Evidence) -> None:
        self._circuit, self._evidence = circuit, evidence

    def not_cleared(self, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
        """The same verdicts; where such a switch would be cleared, nothing can be told."""
        return tuple(
            replace(one, verdict="cannot-tell", reason="open-anyway") if self._as_wrong_without(one) else one
            for one in tries
        )

    def _as_wrong_without(self, one: TryVerdict) -> bool:
        parts = self._circuit.platform.parts
        unplugged = {name for name in one.out if name not in dict(one.turned)}
        switches = {name for name in unplugged if isinstance(parts.get(name), Switch)}
        return one.verdict == "cleared" and not switches.isdisjoint(self._by_opening if switches else ())

    @cached_property
    def _by_opening(self) -> frozenset[str]:
        its = self._evidence
        parked = Parked(self._circuit, its.options, frozenset(its.absent), its.positions)
        return frozenset(one.switch.name for one in every_input(parked) if one.by_opening)

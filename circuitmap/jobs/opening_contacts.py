"""What a switch is to a module that watches it. Contacts that are wrong by being open: taken out, such a switch says to
its module what it says when it fails, so a draw that goes on without it clears nothing. And a contact that only tells a
module something feeds nothing that could be tested apart."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.inputs import Input, every_input
from circuitmap.evidence.evidence import Evidence
from circuitmap.jobs.passive_plug import cleared_while_up
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import Switch


class OpeningContacts:
    """The vehicle as the card says it stands; looked into only where a switch was out for nothing."""

    def __init__(self, circuit: Circuit, evidence: Evidence) -> None:
        self._circuit, self._evidence = circuit, evidence

    def judged(self, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
        return self.without_outputs(self.not_cleared(cleared_while_up(self._circuit, tries)))

    def not_cleared(self, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
        """The same verdicts; where such a switch would be cleared, nothing can be told."""
        return tuple(
            replace(one, verdict="cannot-tell", reason="open-anyway") if self._as_wrong_without(one) else one
            for one in tries
        )

    def without_outputs(self, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
        """The same verdicts; of a switch that only tells a module something, nothing that it feeds is asked for."""
        return tuple(self._fed_nothing(one) for one in tries)

    def _fed_nothing(self, one: TryVerdict) -> TryVerdict:
        asked = one.verdict == "involved" and "outputs" in one.needs and len(one.out) == 1
        is_switch = isinstance(self._circuit.platform.parts.get(one.out[0]), Switch) if asked else False
        if not is_switch or one.out[0] not in {its.switch.name for its in self._inputs}:
            return one
        needs = tuple(need for need in one.needs if need != "outputs")
        return replace(one, needs=needs, verdict="involved" if needs or one.failed else "proven")

    def _as_wrong_without(self, one: TryVerdict) -> bool:
        parts = self._circuit.platform.parts
        unplugged = {name for name in one.out if name not in dict(one.turned)}
        switches = {name for name in unplugged if isinstance(parts.get(name), Switch)}
        return one.verdict == "cleared" and not switches.isdisjoint(self._by_opening if switches else ())

    @property
    def _by_opening(self) -> frozenset[str]:
        return frozenset(one.switch.name for one in self._inputs if one.by_opening)

    @cached_property
    def _inputs(self) -> tuple[Input, ...]:
        its = self._evidence
        return tuple(every_input(Parked(self._circuit, its.options, frozenset(its.absent), its.positions)))

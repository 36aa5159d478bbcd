"""Tries that came too early, as the card ends: how long is still to wait by the one clock of the whole page, which of
them are over, so that nobody waits for them, and which need not be made again because the place was read since."""

from collections.abc import Iterable
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.read_since import read_since
from circuitmap.evidence.asleep import still_to_wait
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.usual import sleep_of


class OldTries:
    """The card as it ends."""

    def __init__(self, circuit: Circuit, evidence: Evidence) -> None:
        self._circuit, self._evidence = circuit, evidence

    def judged(self, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
        """The same verdicts; of those that came too early, what is to be waited for, or why nothing is."""
        return tuple(self._as_the_card_ends(one) if one.wait is not None else one for one in tries)

    def _as_the_card_ends(self, one: TryVerdict) -> TryVerdict:
        is_over = one.back is not None or one.again is not None or not set(one.out) <= set(self._evidence.out)
        if one.reason != "not-asleep":
            return replace(one, wait=None, over=True) if is_over else one
        if not is_over:
            sleep = sleep_of(self._circuit.platform)
            return replace(one, wait=still_to_wait(one.after, sleep, self._evidence.asleep_from))
        since = self._read_since(one)
        return replace(one, wait=None, over=True, read_since=since, reason="read-since" if since else one.reason)

    def _read_since(self, one: TryVerdict) -> tuple[Reading, ...]:
        ready = prepared_for(self._circuit, {}, self._evidence)
        return read_since(one.out, one.after, self._evidence.readings, ready.parked, ready.tree)

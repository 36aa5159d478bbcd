"""What a log's floor and mean are held against: what the vehicle is known to take as its switches stand, where that is
more than the platform's limit. A floor that is all accounted for is no second thing beside what comes and goes."""

from collections.abc import Callable
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.logs import with_state
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import Try
from circuitmap.jobs.limits import limits_of


def with_known_limits(circuit: Callable[[], Circuit], evidence: Evidence) -> Evidence:
    """The evidence with the logs at each battery held against what is known to flow there; the circuit is asked for
    only where that may change something."""
    if not any(one.log is not None and one.log.mean > (one.log.limit or 0.0) for one in evidence.readings):
        return evidence
    its = circuit()
    limits = limits_of(its, evidence)
    if not limits.known:
        return evidence

    def held(reading: Reading) -> Reading:
        if reading.log is None or limits.at(reading.place) <= (reading.log.limit or 0.0):
            return reading
        log = with_state(its.platform, reading.log._replace(limit=limits.at(reading.place)))
        return replace(reading, log=log, amps=log.drew)

    now = {id(one): held(one) for one in evidence.readings}

    def again(reading: Reading | None) -> Reading | None:
        return now.get(id(reading), reading) if reading is not None else None

    def tried(one: Try) -> Try:
        return replace(one, before=again(one.before), after=again(one.after) or one.after, back=again(one.back))

    return replace(
        evidence, readings=tuple(now[id(one)] for one in evidence.readings),
        tries=tuple(tried(one) for one in evidence.tries),
    )  # fmt: skip

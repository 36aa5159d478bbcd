"""How long a vehicle had stood as it is when it was read."""

from circuitmap.diagnosis.car.stood import as_it_matters, usually_stood
from circuitmap.evidence.evidence import Evidence
from circuitmap.wiring.platform import Platform


def stood_when_read(platform: Platform, evidence: Evidence) -> float:
    """Minutes: the longest wait before a reading of the parked car, because what was read sooner is mostly read again.
    One without a time, or that was watched until it stood still, was made after the usual wait, or later."""
    usual = usually_stood(platform)
    waits = [
        usual if reading.minutes is None else max(usual, reading.minutes) if reading.watched else reading.minutes
        for reading in (*evidence.readings, *(attempt.after for attempt in evidence.tries))
        if reading.speaks == "parked"
    ]
    return as_it_matters(platform, max(waits, default=usual))

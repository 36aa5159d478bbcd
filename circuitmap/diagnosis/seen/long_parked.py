"""How long a vehicle had stood as it is when it was read."""

from circuitmap.diagnosis.car.stood import as_it_matters, usually_stood
from circuitmap.evidence.evidence import Evidence
from circuitmap.quantities import Band
from circuitmap.wiring.platform import Platform


def stood_when_read(platform: Platform, evidence: Evidence) -> Band:
    """Minutes from the shortest to the longest wait before a reading of the parked car. One without a time, or that
    was watched until it stood still, was made when the vehicle should sleep, or later."""
    usual = usually_stood(platform)
    waits = [
        Band(reading.minutes, reading.minutes) if reading.minutes is not None and not reading.watched else usual
        for reading in (*evidence.readings, *(attempt.after for attempt in evidence.tries))
        if reading.speaks == "parked"
    ] or [usual]
    return as_it_matters(platform, Band(min(its.low for its in waits), max(its.high for its in waits)))

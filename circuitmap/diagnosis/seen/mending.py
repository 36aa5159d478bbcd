"""What was mended is explained: it may have been mended badly, but the odds of a part nobody looked at are gone."""

from collections.abc import Sequence

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.observed import WasMended
from circuitmap.diagnosis.seen.settled import ended_with
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.evidence import MendedThing

MENDED_BADLY = 0.1
"""The odds of a fault that was mended, against those it had before anybody looked (judgement)."""


def mended_seen(
    mended: Sequence[MendedThing], faults: Sequence[Fault], parked: Parked
) -> list[StateSighting[WasMended]]:
    """The faults that end with what was mended out: of a fuse with which the draw went all that hangs on it."""
    found = []
    for one in mended:
        ended = ended_with(one.parts, faults, parked.platform, parked.own_battery)
        found.append(StateSighting(WasMended(one), 1.0, (MENDED_BADLY,), dict.fromkeys(sorted(ended), 0)))
    return found

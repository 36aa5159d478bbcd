"""What was mended is explained: it may have been mended badly, but the odds of a part nobody looked at are gone."""

from collections.abc import Sequence

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import TURNED_ON_TOO, Kind
from circuitmap.diagnosis.seen.observed import WasMended
from circuitmap.diagnosis.seen.settled import ended_with
from circuitmap.diagnosis.weighing.sightings import StateSighting
from circuitmap.evidence.evidence import MendedThing

MENDED_BADLY = 0.1
"""The odds of a fault that was mended, against those it had before anybody looked (judgement); the same of a part that
was renewed and did not help: a new one with the same fault is rare."""
_NOT_ITS_OWN: tuple[Kind, ...] = ("added", "chafed", "none-of-these")


def mended_seen(
    mended: Sequence[MendedThing], faults: Sequence[Fault], parked: Parked
) -> list[StateSighting[WasMended]]:
    """The faults that end with what was mended out: of a fuse with which the draw went all that hangs on it."""
    found = []
    for one in mended:
        if one.how == "before":
            found += _renewed_before(one, faults)
            continue
        ended = ended_with(one.parts, faults, parked.platform, parked.own_battery)
        found.append(StateSighting(WasMended(one), 1.0, (MENDED_BADLY,), dict.fromkeys(sorted(ended), 0)))
    return found


def _renewed_before(one: MendedThing, faults: Sequence[Fault]) -> list[StateSighting[WasMended]]:
    """The faults of a part's own: what is wrong at its wires, at its supply or at what wakes it is as likely as it
    was. A switch stands for its wire, too, until somebody looked at it."""
    own = {n: fault for n, fault in enumerate(faults) if fault.part in one.parts and fault.kind not in _NOT_ITS_OWN}
    if not own:
        return []
    of_wires_too = MENDED_BADLY * TURNED_ON_TOO + 1.0 - TURNED_ON_TOO
    ranks = {n: 0 if fault.or_its_wire else 1 for n, fault in own.items()}
    return [StateSighting(WasMended(one), 1.0, (of_wires_too, MENDED_BADLY), ranks)]

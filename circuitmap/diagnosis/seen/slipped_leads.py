"""Fuses of different ratings that all show the same few millivolts, and none that shows less: the zero of the leads.

What flows through a fuse has no reason to show as many millivolts across a 10 A as across a 30 A one; what the leads
and sockets give by themselves, held together, is the same wherever they are put.
"""

from collections.abc import Collection, Mapping
from dataclasses import replace

from circuitmap.evidence.readings import Reading

LEAST_ALIKE = 3
"""So many fuses that show the same are no chance any more (judgement)."""
OF_ALL_READ = 0.5
"""They are at least this share of all fuses read so: of a parked car's fuses most carry nothing (judgement)."""
UNLIKE = 1.5
"""By this ratio the largest and the smallest of their resistances differ: not one current in all (judgement)."""
MOST_OF_LEADS = 0.002
"""Leads, their sockets and a zero that was set with the tips apart give no more than this, in V (judgement)."""


def with_leads_in_doubt(latest: Mapping[str, Reading], read_twice: Collection[str]) -> dict[str, Reading]:
    """The readings by their place; those in millivolts with a zero in doubt, by as much as the same few millivolts that
    several of them show. Not where one of these was read twice."""
    by_meter: dict[str, list[Reading]] = {}
    for reading in latest.values():
        if reading.drop is not None and reading.meter.kind == "millivolts":
            by_meter.setdefault(reading.meter.name, []).append(reading)
    doubted: dict[str, Reading] = {}
    for its in by_meter.values():
        slip = _slip_of(its, read_twice)
        for reading in its if slip else ():
            doubted[reading.place] = replace(reading, meter=replace(reading.meter, zero=slip))
    return {**latest, **doubted}


def _slip_of(readings: Collection[Reading], read_twice: Collection[str]) -> float:
    """By how much, in V, the zero of the leads may be off; 0.0 where nothing points to that."""
    shown = [reading.drop for reading in readings if reading.drop is not None]
    least = min(shown)
    step, counts = (max(getattr(one.meter, name) for one in readings) for name in ("step", "counts"))
    if not counts * step < least <= MOST_OF_LEADS:
        return 0.0
    alike = [one for one in readings if one.drop is not None and one.drop - least <= 1.001 * step]
    ohms = [one.resistance.milliohms for one in alike if one.resistance is not None]
    several = len(alike) >= max(LEAST_ALIKE, OF_ALL_READ * len(shown))
    if not several or not ohms or max(ohms) < UNLIKE * min(ohms) or any(one.place in read_twice for one in alike):
        return 0.0
    return least

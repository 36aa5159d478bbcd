"""What each battery gives as the vehicle stands just now, with something out that nobody has put back: whoever leaves
it so over night wants to know how long that lasts."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import least_seen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.intake import Intake
from circuitmap.jobs.job import Job


def drained_as_it_stands(job: Job) -> Iterator[tuple[str, Intake, Reading]]:
    """The batteries that gave more than they may when they were read last, asleep, with just that out which still is,
    where it is another current than with all in; none once something was mended."""
    standing = job.standing
    out = frozenset(standing.still_out)
    if standing.mended or not out:
        return
    parked = [r for r in job.evidence.readings if r.speaks == "parked" and r.log is None]
    last = {name: r for r in parked if (name := battery_read_at(job.platform, r.place))}
    first = battery_read_at(job.platform, job.drained[1].place) if job.drained[1] is not None else ""
    for name, reading in last.items():
        told = job.drained[1] if name == first else standing.totals.get(name)
        is_other = (
            told is None or told.amps is None or abs((reading.amps or 0.0) - told.amps) > least_seen(told, reading)
        )
        is_above = against_limit(reading, standing.limits.at(reading.place)) == "above"
        if frozenset(reading.without) == out and is_above and is_other:
            its = job.intake if name == first else replace(job.intake, of=first)
            yield name, its.at(name), reading

"""Which battery is to be tested once more because it went flat: a test from before says nothing of it."""

from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.job import Job


def to_test_after_flat(job: Job) -> tuple[str, ...]:
    """The battery that what was mended, or is proven and to be mended, had emptied, by what the driver says, where no
    test of it is on the card; none while something else still draws, or where the battery itself was the job."""
    standing = job.standing
    settled = standing.mended and standing.found is not None and standing.stage in ("mended", "repaired")
    is_found = not standing.mended and standing.is_proven_now
    if (
        not (settled or is_found)
        or job.intake.flat_after is None
        or standing.battery_job is not None
        or standing.renewed
    ):
        return ()
    battery = battery_read_at(job.platform, standing.drew_at)
    tested = {check.battery for check in job.evidence.batteries if check.check == "test"}
    return (battery,) if battery and battery not in tested else ()

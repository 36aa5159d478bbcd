"""What should be read once a switch was turned and is left so: written down before it is read."""

from collections.abc import Iterator

from circuitmap.evidence.tries import LEAST_SHARE
from circuitmap.jobs.job import Job
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.wiring.usual import sleep_of


def expected_sentences(job: Job) -> Iterator[str]:
    """For a switch that the last entry of the card says was turned, while nothing was read since."""
    entry, total = job.card.entries[-1], job.standing.total
    if not entry.turned or entry.read or entry.total is not None or entry.change is not None:
        return
    if total is None or total.amps is None:
        yield "Nothing was read before it was turned: turn it back, lock, let it sleep, and read the total first."
        return
    limit, still = ampere_words(job.standing.limits.at(total.place)), ampere_words(total.amps * (1.0 - LEAST_SHARE))
    for pair in entry.turned:
        name = pair.name.value
        yield (
            f"Lock it, wait {sleep_of(job.platform).low:.0f} min, and read {total.place}: {limit} or less, and it was "
            f"{name}; {still} or more, and it was not, or its contact sticks; in between, it was not {name} alone."
        )

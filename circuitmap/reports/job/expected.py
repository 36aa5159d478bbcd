"""What should be read once a switch was turned and is left so: written down before it is read."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.evidence.tries import LEAST_SHARE
from circuitmap.evidence.written_names import written_position
from circuitmap.failures import WrongUse
from circuitmap.jobs.job import Job
from circuitmap.jobs.limits import limits_of
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
    still = total.amps * (1.0 - LEAST_SHARE)
    for pair in entry.turned:
        name = pair.name.value
        limit = _limit_without(job, total.place, name, pair.value.value)
        below = (
            f"{ampere_words(limit)} or less, and it was {name}; {ampere_words(still)} or more, and it was not, or its "
            f"contact sticks; in between, it was not {name} alone"
            if limit < still
            else f"{ampere_words(still)} or more, and it was not {name}, or its contact sticks; less, and it was "
            f"{name}, or that is a part of it"
        )
        yield f"Lock it, wait {sleep_of(job.platform).low:.0f} min, and read {total.place}: {below}."


def _limit_without(job: Job, place: str, name: str, position: str) -> float:
    """What is known to flow at a battery in A, or the limit, once the switch stands so."""
    try:
        switch, turned = written_position(job.platform, name, position)
    except WrongUse:
        return job.standing.limits.at(place)
    positions = {**job.evidence.positions, switch: turned}
    return limits_of(job.circuit, replace(job.evidence, positions=positions, readings=())).at(place)

"""What was found beside the part that leads, by the tries: of two faults each is told."""

from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict

WENT = ("proven", "involved")
"""Verdicts of tries with which the draw, or a share of it, went."""


def of_the_found(standing: JobStanding) -> tuple[TryVerdict, ...]:
    """Beside what leads, the tries of what else was found and took its share by itself, each told as well."""
    parts = standing.found.parts if standing.found is not None else ()
    return tuple(
        one for one in standing.tries
        if one is not standing.leading and one.took is not None and not one.turned
        and (one.verdict == "proven" or (one.verdict in WENT and set(one.out) <= set(parts)))
    )  # fmt: skip

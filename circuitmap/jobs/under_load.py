"""What is tested under load is not asked of a part that should be off: first what turns it on is tested."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from circuitmap.jobs.still_needed import Need
from circuitmap.jobs.trying import TryVerdict

UNDER_LOAD: tuple[Need, ...] = ("outputs", "feed", "ground")
"""A load feeds nothing; its feed and its ground are measured while it is on."""


def only_what_is_on_under_load(
    tries: Iterable[TryVerdict], is_off_at_rest: Callable[[str], bool]
) -> tuple[TryVerdict, ...]:
    """The verdicts without such tests of loads that are off at rest, as long as nobody tested what turns them on."""
    return tuple(
        replace(one, needs=tuple(need for need in one.needs if need not in UNDER_LOAD))
        if "inputs" in one.needs and len(one.out) == 1 and is_off_at_rest(one.out[0])
        else one
        for one in tries
    )

"""What was out and was found bad itself: nobody looks any further which it is of all that hangs on it."""

from collections.abc import Iterable
from dataclasses import replace

from circuitmap.evidence.found_there import FoundThere, Sign
from circuitmap.jobs.trying import TryVerdict

BAD: tuple[Sign, ...] = ("wet", "chafed")
"""Signs that are the fault, not only where it shows."""


def not_searched(tries: Iterable[TryVerdict], found: Iterable[FoundThere]) -> tuple[TryVerdict, ...]:
    """The same verdicts; of a plug, or anything else, at which water or a chafed place was found, `which-part` is no
    longer asked for."""
    places = {one.place for one in found if one.sign in BAD}
    return tuple(_known(one) if _was_found(one, places) else one for one in tries)


def _was_found(one: TryVerdict, places: Iterable[str]) -> bool:
    if len(one.out) != 1 or "which-part" not in one.needs:
        return False
    return any(place == one.out[0] or place.startswith(f"{one.out[0]}.") for place in places)


def _known(one: TryVerdict) -> TryVerdict:
    needs = tuple(need for need in one.needs if need != "which-part")
    proven = one.verdict == "involved" and not needs and not one.failed
    return replace(one, needs=needs, verdict="proven" if proven else one.verdict)

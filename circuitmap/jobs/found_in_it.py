"""What was out and was found bad itself: nobody looks any further which it is of all that hangs on it."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from circuitmap.evidence.found_there import FoundThere, Sign
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

BAD: tuple[Sign, ...] = ("wet", "chafed")
"""Signs that are the fault, not only where it shows."""


def not_searched(
    platform: Platform, tries: Iterable[TryVerdict], found: Iterable[FoundThere]
) -> tuple[TryVerdict, ...]:
    """The same verdicts; of a plug, or anything else, at which water or a chafed place was found, `which-part` is no
    longer asked for. Told of a fuse, it is that of the wiring behind it."""
    signs = {one.place: one.sign for one in found if one.sign in BAD}
    return tuple(_known(platform, one, sign) if (sign := _found(one, signs)) else one for one in tries)


def _found(one: TryVerdict, signs: Mapping[str, Sign]) -> Sign | None:
    if len(one.out) != 1 or "which-part" not in one.needs:
        return None
    there = (sign for place, sign in signs.items() if place == one.out[0] or place.startswith(f"{one.out[0]}."))
    return next(there, None)


def _known(platform: Platform, one: TryVerdict, sign: Sign) -> TryVerdict:
    needs = tuple(need for need in one.needs if need != "which-part")
    proven = one.verdict == "involved" and not needs and not one.failed
    behind = sign if isinstance(platform.parts.get(one.out[0]), Fuse) else None
    return replace(one, needs=needs, verdict="proven" if proven else one.verdict, found_behind=behind)

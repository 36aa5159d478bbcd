"""What is out at the end of a card, and what is taken to be in again because it was mended."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from circuitmap.evidence.gone_for_good import GoneForGood
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.put_right import put_right
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.wiring.platform import Platform


class StillOut(NamedTuple):
    """Full names. `taken_in` are those of which nobody wrote that they were put back: what was written of them is that
    they were renewed or put right; `back` are the others that were out. `away` is what is on no sheet and was taken
    away for good."""

    out: tuple[str, ...]
    taken_in: tuple[str, ...]
    back: tuple[str, ...]
    away: tuple[str, ...] = ()


def still_out(platform: Platform, live: Iterable[Entry], added: Collection[str]) -> StillOut:
    """What was taken out and not put back, by the card."""
    out: dict[str, None] = {}
    taken_in: dict[str, None] = {}
    was_out: dict[str, None] = {}
    away, cause = GoneForGood(platform), ""
    for entry in live:
        for text in entry.back:
            name = _full_name(platform, text.value, added)
            out.pop(name, None)
            taken_in.pop(name, None)
        cause = entry.cause.value if entry.cause is not None else cause
        if entry.mended is not None:
            for name in put_right(platform, entry.mended.value, out, added, cause):
                out.pop(name)
                taken_in[name] = None
        for text in entry.out:
            name = _full_name(platform, text.value, added)
            out[name] = was_out[name] = None
            taken_in.pop(name, None)
        for name in away.entry(entry, tuple(out), added):
            out.pop(name)
    back = tuple(n for n in was_out if n not in out and n not in taken_in and n not in away.names)
    return StillOut(tuple(out), tuple(taken_in), back, tuple(away.names))


def _full_name(platform: Platform, text: str, added: Collection[str]) -> str:
    try:
        return removable(platform, text, added)
    except WrongUse:
        return text

"""Of several batteries the one at which the draw is looked for: what became of it, said in words, is of that one."""

import re
from collections.abc import Sequence

from circuitmap.evidence.job_card import JobCard
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.platform import Platform


def named_on(platform: Platform, card: JobCard) -> tuple[str, ...]:
    """The batteries that the intake speaks of: the one that was taken in by name, or else those that the complaint
    names, by their names or by what the sheets call them."""
    batteries = batteries_of(platform)
    its = card.intake.get("battery")
    first = re.split(r"[,\s]", its.value.strip(), maxsplit=1)[0] if its is not None else ""
    if first in batteries:
        return (first,)
    told = card.intake.get("complaint")
    words = " ".join(told.value.split()) if told is not None else ""
    return tuple(name for name in batteries if _is_named(platform, name, words))


def _is_named(platform: Platform, name: str, words: str) -> bool:
    called = " ".join(platform.parts[name].description.split())
    whole = re.search(rf"(?<!\w){re.escape(name)}(?!\w)", words)
    return bool(whole) or (" " in called and called.casefold() in words.casefold())


def where_it_draws(platform: Platform, looks: Sequence[Reading], named: Sequence[str]) -> Reading:
    """Of what was read at the batteries with everything in, in its order, the latest look at the one that is spoken of:
    of those that give current the one that was `named`, or else the one that gives most. A battery that takes in is
    being charged, and draws nothing; where each of them does, it is the one that was read last."""
    latest = {reading.place: reading for reading in looks}
    gives = [its for its in latest.values() if its.highest >= 0.0]
    spoken_of = [its for its in gives if battery_read_at(platform, its.place) in named]
    return max(spoken_of or gives or [looks[-1]], key=lambda its: its.amps or 0.0)

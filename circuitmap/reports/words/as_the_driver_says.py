"""When it happens, by the driver, as something to be done: what happens in the wet is wetted, what comes after towing
is coupled."""

from typing import NamedTuple

from circuitmap.evidence.weather_words import WORDS, words_of
from circuitmap.reports.words.cautions import StepKind, Told, cautions_at
from circuitmap.wiring.platform import Platform

TOWING = frozenset(
    ("tow", "tows", "towing", "towed", "trailer", "trailers", "caravan", "coupled", "coupling", "hitched")
)
"""Words for a trailer (our own choice)."""


class AsItHappens(NamedTuple):
    """When it happens, by the driver, what is done so that it is as he says, and what to take care of."""

    when: str
    words: str
    cautions: tuple[Told, ...]


def how_it_happens(platform: Platform, happens_when: str) -> AsItHappens | None:
    """How it is made to be as the driver says; None where he says nothing."""
    if not happens_when:
        return None
    said = words_of(happens_when)
    ways: list[str] = []
    steps: list[StepKind] = []
    if said & WORDS["wet"]:
        ways.append("wet it as rain does, where what leads and its plugs are")
        steps.append("wetting")
    if said & WORDS["cold"]:
        ways.append("let it stand in the cold")
    if said & WORDS["hot"]:
        ways.append("let it get warm in the sun, or after a drive")
    if said & TOWING:
        ways.append("couple a trailer, its lamps on, drive, and uncouple it as he does")
        steps.append("coupling")
    do = " and ".join(ways) or "do just that"
    told = [one for step in steps for one in cautions_at(platform, step)]
    return AsItHappens(happens_when, do, tuple(dict.fromkeys(told)))

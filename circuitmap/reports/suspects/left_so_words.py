"""What is out, or was turned, and left so: the vehicle that the answer is about."""

from collections.abc import Iterator
from typing import Any

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.left_so import LeftSo
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.words.paragraphs import joined, section, shortened
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform

MOST_PLACES = 6
"""Places to be read again that are told by name."""


def left_so_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What stays as it is while the rest is hunted, and what was read before that."""
    left = diagnosis.left_so
    return section("LEFT SO", _sentences(platform, diagnosis, left), width) if left is not None else []


def _sentences(platform: Platform, diagnosis: Diagnosis, left: LeftSo) -> Iterator[str]:
    turned = dict(left.turned)
    its = joined(
        [f"{named(platform, n)} at {turned[n]}" if n in turned else f"{named(platform, n)} out" for n in left.out]
    )
    went, fine = left.went, total_is_fine(diagnosis)
    what = "what goes on with it so"
    if went is not None and went.before is not None and went.before.amps is not None and went.after.amps is not None:
        its += f": {ampere(went.before.amps - went.after.amps, fine)} of {ampere(went.before.amps, fine)} went"
        what = f"the {ampere(went.after.amps, fine)} that go on"
    yield f"{its}. All below is about {what}."
    aside = dict.fromkeys(one.reading.place for one in diagnosis.netted.set_aside if one.why == "as-it-stood")
    if aside:
        was, them = ("was", "it") if len(aside) == 1 else ("were", "them")
        yield f"{shortened(list(aside), MOST_PLACES)} {was} read before that: read {them} again as it stands now."


def from_before_lines(diagnosis: Diagnosis, width: int) -> list[str]:
    """Which readings from before something was mended count on, where that took its share of the draw with it."""
    kept, fine = diagnosis.from_before, total_is_fine(diagnosis)
    drew = [reading for reading in kept if reading.shows_current]
    quiet = [reading.place for reading in kept if not reading.shows_current]
    said = []
    if drew:
        shown = joined([f"{reading.place} {ampere(reading.amps, fine)}" for reading in drew])
        them = "it" if len(drew) == 1 else "them"
        said.append(f"{shown}, read before the mending, which took its own share away: read {them} again first.")
    if quiet:
        said.append(
            f"{shortened(quiet, MOST_PLACES)} showed nothing then, and "
            f"{'counts' if len(quiet) == 1 else 'count'} as quiet still."
        )
    return section("FROM BEFORE", said, width) if said else []


def from_before_json(diagnosis: Diagnosis) -> list[dict[str, Any]]:
    return [{"place": reading.place, "amps": reading.amps} for reading in diagnosis.from_before]


def left_so_json(diagnosis: Diagnosis) -> dict[str, Any] | None:
    left = diagnosis.left_so
    if left is None:
        return None
    went = left.went
    return {
        "out": [name for name in left.out if name not in dict(left.turned)],
        "turned": dict(left.turned),
        "place": went.after.place if went is not None else None,
        "before": went.before.amps if went is not None and went.before is not None else None,
        "after": went.after.amps if went is not None else None,
    }

"""The answer where nobody read how much flows in all, and nothing draws at any fuse: what can hide still, and what is
worth doing at the battery."""

from collections.abc import Sequence

from circuitmap.battery.checked import of_one
from circuitmap.battery.over_night import is_little
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.nothing_seen import NothingSeen
from circuitmap.reports.suspects.no_draw import LIKELY, RESTS_ON
from circuitmap.reports.suspects.no_draw_battery import (
    ASKED,
    NoDrawStep,
    batteries_there,
    charging_steps,
    failed_step,
    is_tested,
    not_charged,
    rested_step,
    step_lines,
)
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.reports.words.limit_words import limit_figure
from circuitmap.reports.words.paragraphs import joined, section, shortened, wrapped
from circuitmap.reports.words.seen_words import hiding_words
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of


def nothing_seen_of(diagnosis: Diagnosis) -> NothingSeen | None:
    """What was read, where that nothing draws there is the answer."""
    seen = diagnosis.nothing_seen
    if diagnosis.account is not None or seen is None or not seen.is_whole or diagnosis.contradictions:
        return None
    return seen if diagnosis.something_wrong < LIKELY and not diagnosis.tests.gone else None


def nothing_seen_sections(
    platform: Platform, diagnosis: Diagnosis, seen: NothingSeen, width: int, left_to_do: Sequence[str] = ()
) -> list[list[str]]:
    """That nothing was seen, what is worth doing, or the steps that a card has left, and what is not known."""
    return [
        _answer(platform, seen, width),
        [*left_to_do] or _next(platform, diagnosis, seen, width),
        section("NOT KNOWN", _not_known(platform, diagnosis), width),
    ]


def _answer(platform: Platform, seen: NothingSeen, width: int) -> list[str]:
    """That nothing was seen, and what can hide."""
    many = f"{len(seen.places)} places" if len(seen.places) > 1 else seen.places[0]
    says = f"NO DRAW SEEN at {many} read asleep; the total was not read. {hiding_words(seen)}"
    return wrapped(f"{says} The limit is {limit_figure(limit_of(platform))}.", width=width)


def _next(platform: Platform, diagnosis: Diagnosis, seen: NothingSeen, width: int) -> list[str]:
    """What is worth doing, the battery first: whatever can hide is little beside it."""
    steps = _steps(platform, diagnosis, seen)
    return ["NEXT (what can be told without the total first)", *step_lines(platform, steps, width)]


def _not_known(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Which of the readings do not count, and that there is no total."""
    gaps = tuple(gap for gap in diagnosis.incomplete if gap.kind in (*RESTS_ON, "no total"))
    return not_known_sentences(platform, diagnosis._replace(incomplete=gaps))


def _steps(platform: Platform, diagnosis: Diagnosis, seen: NothingSeen) -> list[NoDrawStep]:
    steps = []
    if seen.left:
        steps.append(
            NoDrawStep(
                ("read-fuse",),
                f"Read what is left, in millivolts, nothing pulled: {shortened(seen.left)}.  5 min",
                (("nothing", "as all others"), ("a drop", "add it here, and look behind it")),
            )
        )
    steps += not_charged(platform, diagnosis)
    failed = failed_step(diagnosis.batteries)
    steps += (
        [failed] if failed is not None else [] if is_tested(diagnosis.batteries) else [rested_step(platform, False)]
    )
    steps += charging_steps(platform, diagnosis)
    batteries = [part.name for part in batteries_there(platform)]
    limit = limit_figure(limit_of(platform))
    nights = [of_one(c.stood.volts) - of_one(c.volts) for c in diagnosis.batteries if c.stood and c.volts]
    if nights and not is_little(nights[-1]) and not any("battery-rest" in step.kinds for step in steps):
        steps.append(rested_step(platform, False))  # whether it lost its charge by itself
    if seen.by_millivolts and not nights:
        steps.append(
            NoDrawStep(
                ("live-volts",),
                f"No clamp here: read {joined(batteries)} at rest in the evening, and again in the morning, all "
                "connected, locked, nobody near it. Each with its time (--at).  a night",
                (
                    ("at most 0.1 V lost", "no draw that empties it in days"),
                    ("more", "it loses its charge: by a draw, or by itself"),
                ),
                "Of a battery charged some hours before (common practice, no source).",
            )
        )
    borrow = "If a clamp can be had, or borrowed: c" if seen.by_millivolts else "C"
    steps.append(
        NoDrawStep(
            ("clamp",),
            f"{borrow}lamp the cable of {joined(batteries)} once, asleep.  5 min",
            ((f"{limit} or less", "no draw"), ("more", "it draws where nothing was read: add that total here")),
        )
    )
    return [*steps, ASKED]

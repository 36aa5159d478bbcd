"""Readings that were taken before the vehicle was asleep: what they are, and when to read again."""

from collections.abc import Iterable, Iterator

from circuitmap.evidence.readings import Reading
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of


def early_words(early: Iterable[Reading]) -> Iterator[str]:
    """Readings that say nothing of the parked car."""
    for reading in early:
        if reading.in_use:
            amps = ampere_words(reading.amps, is_fine(reading))
            yield f"{reading.place} {amps} with the key on: in use, not parked. It is no draw."
            continue
        why = "woken just before" if reading.speaks == "woken" else "not yet asleep"
        if reading.speaks == "woken" and reading.minutes is None:
            why = "it stood open"
        after = f" after {reading.minutes:.0f} min" if reading.minutes is not None else ""
        amps = ampere_words(reading.amps, is_fine(reading))
        yield f"{reading.place} {amps}{after}: {why}, so it says nothing of the parked car."


def early_sentences(
    platform: Platform, early: tuple[Reading, ...], clock: Clock, door_open: bool = False
) -> Iterator[str]:
    """The same, and when to read again. `door_open`: nobody wrote that the door is shut; no time is named before."""
    sleep = sleep_of(platform)
    for reading, words in zip(early, early_words(early), strict=True):
        if reading.in_use:
            yield words
            continue
        then = "Lock it, let it sleep, then"
        if door_open:
            then = "Once the door is shut, let it sleep, then"
        elif clock.sleeps_after(reading) or (reading.minutes is not None and not clock.is_open(reading)):
            wait = clock.still_to_wait(reading, sleep)
            passed = clock.has_passed(reading, wait)
            then = "Once it sleeps," if passed else f"Wait {clock.until(reading, wait)}, then"
        yield f"{words} {then} enter {reading.place} again."

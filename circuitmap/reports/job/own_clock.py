"""What comes and goes in a log as a part wakes by its own clock, in words."""

from collections.abc import Iterator

from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.words.lasting_words import time_words
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform


def own_clock_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """`0.12 A at times at BAT, every 2 h: as often and as much as TOWMOD, towing control wakes by its own clock ...`"""
    for one in standing.own_clock:
        its = joined([named(platform, name) if name in platform.parts else name for name in one.parts], "or")
        often = f"{ampere_words(one.peak)} at times at {one.place}, every {time_words(60 * one.period)}"
        sound = "If it is that, it is no fault and is not looked for."
        if one.shown_by:
            long = time_words(60 * one.without)
            sound = (
                f"Shown: with {joined(one.shown_by)} out it did not come in a log of {long}, and it came again with it "
                "in. It is no fault and is not looked for."
            )
        yield f"{often}: as often and as much as {its} wakes by its own clock, as typed in. {sound}"
    clock = standing.after.by_its_clock
    if clock is not None:
        its = named(platform, clock.name) if clock.name in platform.parts else clock.name
        woken = f" and all on {joined(list(clock.networks))}" if clock.networks else ""
        yield (
            f"The peak of {ampere_words(clock.peak)} came every {time_words(60 * clock.period)}: as often as {its} "
            f"wakes by its own clock, and no more than it{woken} take awake ({ampere_words(clock.most)} at the most), "
            "as typed in. That is no draw."
        )

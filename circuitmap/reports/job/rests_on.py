"""What a verdict rests on that nobody saw, and how to see it, in words."""

from collections.abc import Iterator

from circuitmap.jobs.standing import JobStanding
from circuitmap.reports.words.cautions import caution_sentences, cautions_at
from circuitmap.reports.words.limit_words import ampere_words
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def rests_on_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """That it runs, what would hide behind it, and the two ways to see that it does."""
    for one in standing.rests_on:
        takes = ampere_words(one.amps)
        part = platform.parts.get(one.switch)
        off = part.positions[0] if isinstance(part, Switch) else "off"
        yield (
            f"{named(platform, one.load)} is taken to run, {takes} of what {one.battery} gives, because {one.switch} "
            f"stands at {one.position}. Nobody wrote that it was seen to run: a draw as large would hide behind it."
        )
        yield (
            f"Look or listen whether it runs, without touching it (found {one.load} warm). Or turn {one.switch} to "
            f"{off} and read {one.battery}: it "
            f"must fall by about {takes} (turned {one.switch} {off})."
        )
        yield from caution_sentences(cautions_at(platform, "look", (one.load,)))

"""How somebody is sent to a battery's post, and what he writes down of what he finds there."""

from collections.abc import Iterator, Sequence

from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import in_full
from circuitmap.wiring.platform import Platform


def post_words(platform: Platform, parts: Sequence[str]) -> str:
    """`parts` are the battery, and the cables that begin there with no fuse and were not read."""
    battery, *cables = parts
    named = f", {'those' if len(cables) > 1 else 'that'} of {joined(cables)} among them" if cables else ""
    return (
        f"At the posts of {in_full(platform, battery)}: what hangs under each bolt, and on the studs it goes on to? "
        f"Clamp each cable by itself{named}."
    )


def written_at_the_post(parts: Sequence[str]) -> Iterator[str]:
    battery, *cables = parts
    if cables:
        carried = " ".join(f"{name}=..A" for name in cables)
        yield f"What {'each of those' if len(cables) > 1 else 'that one'} carries: {carried}."
    yield f"What is found: fitted NAME from {battery}, and what it carries: NAME=..A. Nothing: found {battery} sound."

"""What goes on by a battery of its own although it, or its fuse, was taken out."""

from collections.abc import Iterator

from circuitmap.circuit.feeding import feeding_of, hanging_on
from circuitmap.evidence.written_names import removable
from circuitmap.jobs.job import Job
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.care import care_of
from circuitmap.wiring.parts import Fuse


def own_battery_sentences(job: Job) -> Iterator[str]:
    """For what the last entry of the card took out: what goes on all the same, and what that means for the try."""
    platform = job.platform
    own = {part.name for part in platform.loads if "own-battery" in care_of(part)} | set(job.evidence.own_battery)
    texts = job.card.entries[-1].out
    if not own or not texts:
        return
    names = [removable(platform, text.value, [part.name for part in job.evidence.added]) for text in texts]
    fed_by = {part.name: part.fed_from for part in job.evidence.added}
    for name in names:
        its_part = name if name in own else name.rpartition(".")[0]
        if its_part in own and its_part not in fed_by.values():
            yield f"{its_part} has a battery of its own: unplugged it may go on, sound, and stay live."
            continue
        if not isinstance(platform.parts.get(name), Fuse):
            continue
        behind = [load for load in hanging_on(feeding_of(job.circuit, job.evidence.options), name) if load in own]
        behind += [added for added, fed_from in fed_by.items() if fed_from == name and added in own]
        for load in behind:
            networks = platform.networks_of.get(load, ())
            awake = f", and may keep {joined(networks)} awake" if networks else ""
            yield (
                f"{load} has a battery of its own: with {name} out it goes on{awake}. That clears what {name} feeds, "
                f"not {load}: unplug {load} itself."
            )

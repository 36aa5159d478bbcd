"""Whose an event of a log may be, in words: what is sure is told as sure, height alone as weak."""

from collections.abc import Iterator, Sequence
from typing import Any

from circuitmap.diagnosis.seen.whose import HeightFit, Whose
from circuitmap.reports.suspects.fault_words import network_words
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform


def whose_sentences(platform: Platform, found: Sequence[Whose]) -> Iterator[str]:
    """One sentence for each event, in the order of their numbers."""
    for one in found:
        yield f"{f'{one.number}. ' if one.number else ''}{_amps(one.amps)}: {_of(platform, one)}"


def _of(platform: Platform, one: Whose) -> str:
    said: list[str] = []
    names = (*one.by_clock, *one.by_step)
    if one.by_clock:
        its = joined([called(platform, name) for name in one.by_clock], "or")
        said.append(f"as often and as long as {its} wakes by its own clock: sound, if it is that and should be.")
    if one.step is not None:
        when = f"as much as fell away {_minutes(one.step.minutes)} after it was locked"
        if one.by_step:
            its = joined([called(platform, name) for name in one.by_step], "or")
            said.append(f"{when}, when {its} should fall asleep.")
        else:
            said.append(f"{when}: what fell asleep then has woken. Whose that is the sheets do not say (run-on).")
    own = {*names, *(network for name in names for network in platform.networks_of.get(name, ()))}
    rivals = [fit for fit in one.by_height if fit.about not in own]
    if names and rivals:
        said.append(f"A rival, by height alone: {_fit(platform, rivals[0])}.")
    elif not names:
        said.append(_by_height(platform, one))
    return " ".join(word[0].upper() + word[1:] if number else word for number, word in enumerate(said))


def _by_height(platform: Platform, one: Whose) -> str:
    if not one.by_height:
        return "nothing that is typed in is known to take as much; what is on no sheet may."
    its = joined([_fit(platform, fit) for fit in one.by_height], "or")
    more = f", or {one.more} more" if one.more else ""
    return f"by height alone, which is weak: {its}{more}."


def _fit(platform: Platform, fit: HeightFit) -> str:
    assumed = ", assumed" if fit.assumed else ""
    low, high = max(0.0, fit.amps - fit.error), fit.amps + fit.error
    return f"{called(platform, fit.about)} ({low:.2f} to {high:.2f} A{assumed})"


def called(platform: Platform, name: str) -> str:
    """A network, a part, or a contact or output by its own name."""
    if name in platform.networks:
        return network_words(platform, name)
    return named(platform, name) if name in platform.parts else name


def _amps(amps: float) -> str:
    return f"{amps:.2f} A" if amps >= 0.1 else f"{amps:.3f} A"


def _minutes(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes >= 1.5 else f"{minutes * 60:.0f} s"


def whose_json(found: Sequence[Whose]) -> list[dict[str, Any]]:
    """The same for programs."""
    return [
        {
            "number": one.number or None,
            "amps": round(one.amps, 6),
            "step_minutes": None if one.step is None else round(one.step.minutes, 3),
            "named": [
                *({"name": name, "by": "clock"} for name in one.by_clock),
                *({"name": name, "by": "step"} for name in one.by_step),
            ],
            "by_height": [
                {
                    "about": fit.about,
                    "amps": round(fit.amps, 6),
                    "error": round(fit.error, 6),
                    "assumed": fit.assumed,
                }
                for fit in one.by_height
            ],
            "more": one.more,
        }
        for one in found
    ]

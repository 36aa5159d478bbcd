"""What to do with the battery once no draw is shown: what was found right is not done again, a failure is an answer."""

from collections.abc import Iterator

from circuitmap.jobs.battery_fine import BatterySoFar
from circuitmap.reports.words.cautions import StepKind, caution_sentences, cautions_at
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

_LEADS_OFF = (
    "take both leads off, wait 24 hours: under 12.5 V, or more than 0.1 V lost, is self-discharge; near 10.5 V a "
    "shorted cell (common practice, no source)."
)
_HOW_USED = "ask how the car is used: short trips never fill it"
_ASK_HOW_USED = f"A{_HOW_USED[1:]}, and what is left on while it stands empties it."
_STOOD = "Let it stand 4 hours or more, read its volts at rest, then test it under load (common practice, no source)."
AFTER_FLAT = (
    "{battery} went flat: charge it full, let it rest 4 hours or more, and test it (battery rest .. test ..): one that "
    "stood flat may have lost capacity, and a test from before says nothing of that (common practice, no source)."
)


def battery_head(its: BatterySoFar, when: bool) -> str:
    """What follows once no draw is shown; `when`: what the driver says of when it happens is told there."""
    if its.worn:
        test = "their tests" if len(its.worn) > 1 else "its test"
        return f" It is the battery: {joined(its.worn)} failed {test} after charging."
    if when:
        return ""
    if {"rest", "test"} <= its.fine:
        return " Next: how is the car used?"
    leaks = f" {joined(its.leaks)} did not hold its charge." if its.leaks else ""
    return f" Next: is it the battery?{leaks}"


def battery_steps(its: BatterySoFar, used: bool = False) -> Iterator[tuple[StepKind | None, str]]:
    """Each step, with what kind of work it is where something is to be taken care of. `used`: what it takes in use was
    read, and how it is used is asked with that."""
    if its.worn:
        yield (
            "battery-rest",
            f"Renew {joined(its.worn)} (cause .. kind battery, mended new battery ..); the old one is recycled. Then "
            "read the total and the volts while charging again.",
        )
    elif its.charger == "on":
        yield "charge-battery", f"It is on the charger: let it fill (charger off when it comes off). {_STOOD}"
    elif its.failed:
        yield "charge-battery", f"Charge {joined(its.failed)} full, then its test again: a flat one fails, too."
    elif its.leaks:
        yield None, f"Test {joined(its.leaks)} under load: low at rest by itself may be the charger's or the meter's."
    elif its.charger == "came-off":
        yield "battery-rest", f"It was charged. {_STOOD}"
    elif "rest" not in its.fine:
        yield "battery-rest", f"Charge it, {_LEADS_OFF}"
    is_tested = "test" in its.fine or its.worn or its.failed or its.leaks or its.charger
    if used:
        yield from () if is_tested else ((None, "Test it under load."),)
        return
    yield None, _ASK_HOW_USED if is_tested else f"Test it under load, and {_HOW_USED}."


def battery_sentences_next(platform: Platform, its: BatterySoFar, used: bool = False) -> Iterator[str]:
    """The steps, with what to take care of."""
    batteries = [part.name for part in platform.parts.values() if part.kind == "battery"]
    for step, text in battery_steps(its, used):
        yield text
        if step is not None:
            yield from caution_sentences(cautions_at(platform, step, batteries))

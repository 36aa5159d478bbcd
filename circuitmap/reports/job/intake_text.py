"""What to ask when a vehicle comes in, and how to prepare it before anything is measured."""

from collections.abc import Mapping

from circuitmap.reports.words.cautions import StepKind, caution_sentences, cautions_at
from circuitmap.reports.words.cautions_of_the_job import FOR_THE_JOB
from circuitmap.reports.words.paragraphs import WIDTH, section
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform

QUESTIONS = (
    ("complaint", "What does the owner say?"),
    ("since", "Since when?"),
    ("flat-after", "How long does it take to go flat? (flat-after: 2 days)"),
    ("done-before", "What was done to the vehicle just before it began? What was fitted?"),
    ("happens-when", "When does it happen: cold, wet, hot, after towing, after a long drive?"),
    ("battery", "Which battery: Ah, or reserve minutes? (battery: 72Ah)"),
    ("battery-age", "How old is it, and how often was it flat? (battery-age: 6 years)"),
    ("battery-volts", "Volts at rest, each battery. (battery-volts: 12.45V)"),
)

PREPARATION: tuple[tuple[StepKind | None, str], ...] = (
    (
        "charge-battery",
        "Charge and test the battery first; let the surface charge go. A worn battery or one that is never filled "
        "needs no draw: about three vehicles in ten have none (common practice, no source).",
    ),
    (
        "look",
        "Look round the vehicle for what was added: sockets, trackers, chargers, towing wiring. Note it (remark, or "
        "added: on the card).",
    ),
    (None, "Drive it, or switch everything on once and off again."),
    (None, "Close the latches by hand so that doors and hood can stay open; the key far away; the charger off."),
    (
        "clamp",
        "Clamp on the battery's cable, zeroed just before, BEFORE it is locked: card add CARD zeroed, then locked.",
    ),
    (None, "Wait for sleep: {sleep}. A reading before that says nothing of the parked car."),
)
"""What to do before anything is measured; each with its kind of step, where it needs care."""


def still_to_ask(said: Mapping[str, str]) -> list[str]:
    """The questions of the intake that nobody answered yet."""
    return section("ASK", [question for key, question in QUESTIONS if not said.get(key)])


def preparation_text(platform: Platform, width: int = WIDTH) -> list[str]:
    """The steps up to the first reading, with the cautions that belong there."""
    batteries = [part.name for part in platform.parts.values() if isinstance(part, Battery)]
    lines: list[str] = []
    for number, (step, text) in enumerate(PREPARATION, 1):
        lines.append(f"{number}  {text.format(sleep=_sleep_words(platform))}")
        lines += caution_sentences(cautions_at(platform, step, batteries) if step else ())
    return [*section("PREPARE", lines, width), *section("CARE", FOR_THE_JOB, width)]


def _sleep_words(platform: Platform) -> str:
    sleep = platform.sleep
    if sleep is None:
        return "an hour, as this platform's own time is not typed in (general advice)"
    return f"{sleep.low:g} to {sleep.high:g} min on this platform"

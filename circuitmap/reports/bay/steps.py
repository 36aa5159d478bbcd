"""The next tests as taps: each step with its cautions, and for each outcome the line that a tap adds to the card."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.diagnosis.next_test.whole_box import NONE_DRAWS
from circuitmap.reports.suspects.care_at_step import care_at_step
from circuitmap.reports.suspects.count import is_read_again_first
from circuitmap.reports.suspects.next_test import step_words, time_words
from circuitmap.reports.suspects.no_draw import no_draw_of
from circuitmap.reports.suspects.nothing_seen import nothing_seen_of
from circuitmap.reports.suspects.outcomes import LEAST_FOUND, seen_words, told_branches
from circuitmap.reports.suspects.proving import back_in
from circuitmap.reports.words.chance_words import chances
from circuitmap.wiring.platform import Platform

CHANGE_WORDS = {"normal": "gone", "down": "less", "stays": "no change"}
"""What became of the draw, as the card says it, by the outcome of taking something out."""

AT_A_PIN = ("what an input hears", "what a load gets", "what asks there")
"""What is told by volts at a pin."""

ZERO_WHEN = {"ground": "in use", "between": "at rest"}
"""Which outcome of volts at a module's pin is near 0 V, by what the pin shows with its switch in use; with plus there
no volts may be anything."""

Reads = Callable[[str], bool]
"""Whether a short line can be read against this card as it stands."""


class OutcomeTap(NamedTuple):
    """One outcome of a step. `lines` are what is written for it, in order: most have one; none where it must be typed.
    `place` is where a number belongs that has to be typed."""

    lines: tuple[str, ...]
    place: str = ""


def step_values(platform: Platform, diagnosis: Diagnosis, reads: Reads, first: int = 1) -> list[dict[str, Any]]:
    """The steps on offer, counted from `first`, the one that tells most first; none where the answer itself says to
    read again first."""
    tests = enumerate(offered(platform, diagnosis), first)
    return [_step(platform, diagnosis, number, test, reads) for number, test in tests]


def offered(platform: Platform, diagnosis: Diagnosis) -> Sequence[PlannedTest]:
    """The tests that the text of this answer offers, too."""
    if diagnosis.nothing_fits or is_read_again_first(diagnosis) or no_draw_of(platform, diagnosis) is not None:
        return ()
    if nothing_seen_of(diagnosis) is not None:
        return ()
    return diagnosis.tests.choices


def _step(platform: Platform, diagnosis: Diagnosis, number: int, test: PlannedTest, reads: Reads) -> dict[str, Any]:
    action, branches = test.action, told_branches(test)
    likely = chances([branch.probability for branch in branches])
    outcomes = []
    for branch, how_likely in zip(branches, likely, strict=True):
        tap = tap_of(test, branch.outcome)
        readable = bool(tap.lines) and reads(tap.lines[0])
        outcomes.append(
            {
                "key": f"{number}.{branch.outcome}",
                "words": seen_words(platform, diagnosis, test, branch.outcome),
                "chance": how_likely,
                "lines": list(tap.lines) if readable else [],
                "place": tap.place,
            }
        )
    first = take_out(action)
    return {
        "number": number,
        "words": step_words(platform, diagnosis, action),
        "first": back_in(diagnosis).rstrip(),
        "time": time_words(action),
        "cautions": [t.text for t in care_at_step(platform, diagnosis, action)],
        "out": first if first and reads(first) else "",
        "probe": None,
        "pin": action.parts[0] if action.tells in AT_A_PIN else "",
        "outcomes": outcomes,
    }


def take_out(action: Action) -> str:
    """The line that says that something is out now; empty for a step that takes nothing out."""
    is_out = action.takes_out and action.tells == "what is left"
    return f"out {' '.join(action.parts)}" if is_out and _are_words(action.parts) else ""


def tap_of(test: PlannedTest, outcome: str) -> OutcomeTap:
    """What is written for an outcome."""
    return OutcomeTap(tuple(_lines(test, outcome)), _place(test, outcome))


def _lines(test: PlannedTest, outcome: str) -> Iterator[str]:
    action = test.action
    if not action.parts or not _are_words(action.parts):
        if action.tells == "what a look finds" and outcome == "not found":
            yield "looked"
        return
    first = action.parts[0]
    match action.tells:
        case "what is left" if outcome in CHANGE_WORDS:
            yield take_out(action)
            yield CHANGE_WORDS[outcome]
        case "what flows there" if outcome == "quiet" and not _must_be_typed(test, outcome):
            yield f"{first}=0.0mV" if action.doing == "read-fuse" else f"{first}=quiet"
        case "which of them draws" if outcome == NONE_DRAWS:
            yield " ".join(f"{part}=0.0mV" for part in action.parts)
        case "a line awake" if outcome in ("awake", "asleep"):
            yield f"network {first} {outcome}"
        case "what an input hears" if not _must_be_typed(test, outcome):
            yield f"volts {first} 0.0V"
        case "what a load gets" | "what asks there" if outcome == "none":
            yield f"volts {first} 0.0V"
        case "whether it burns":
            yield f"found {first} {outcome}"
        case "a contact closed":
            yield f"tested {first} {'bad' if outcome == 'goes' else 'fine'}"
        case "how a relay stands" if outcome in ("held", "stuck", "open"):
            yield f"relay {first} {outcome}"
        case "what a look finds" if outcome == "not found":
            yield f"found {first} sound"


def _place(test: PlannedTest, outcome: str) -> str:
    """Where the number belongs that an outcome has."""
    return test.action.parts[0] if test.action.parts and _must_be_typed(test, outcome) else ""


def _must_be_typed(test: PlannedTest, outcome: str) -> bool:
    """Whether an outcome is a number: `quiet` is none, unless something was found behind the place already. Volts at a
    pin are, but near 0 V: between that and battery volts is what water in a plug makes."""
    if test.action.tells == "what flows there":
        return outcome != "quiet" or test.found > LEAST_FOUND
    if test.action.tells == "what an input hears":
        return ZERO_WHEN.get(test.in_use_shows) != outcome
    if test.action.tells in ("what a load gets", "what asks there"):
        return outcome != "none"
    return test.action.tells == "the same again"


def _are_words(parts: Sequence[str]) -> bool:
    """Whether each can stand as one word in a line: what is on no sheet may have blanks in its name."""
    return all(part and not any(character.isspace() or character in ",;=:" for character in part) for part in parts)

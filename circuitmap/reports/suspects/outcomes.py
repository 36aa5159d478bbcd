"""What a test may show, in words, with the figures that decide it written down before it is done."""

from typing import assert_never

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.planned import LEAST_TOLD, OutcomeBranch, PlannedTest
from circuitmap.diagnosis.next_test.whole_box import ANOTHER_DRAWS, NONE_DRAWS, SEVERAL_DRAW
from circuitmap.diagnosis.seen.some_volts import LEAST as SOME_VOLTS
from circuitmap.diagnosis.weighing.outcomes import LEAST_FALL
from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.reports.suspects.amounts import ampere, amperes_between, is_fine, total_is_fine
from circuitmap.reports.suspects.count import several_batteries
from circuitmap.reports.suspects.fault_words import line_words
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

LEAST_FOUND = 0.005
"""In A; anything less is nothing on a clamp."""
LEAST_OFF = 0.01
"""In A: the least by which two readings of a meter that shows no milliamps may differ."""


def told_branches(test: PlannedTest) -> list[OutcomeBranch]:
    """The outcomes that are told: those that are more than a slip."""
    return [branch for branch in test.branches if branch.probability >= LEAST_TOLD]


def seen_words(platform: Platform, diagnosis: Diagnosis, test: PlannedTest, outcome: str) -> str:
    """An outcome of this test on this car."""
    match test.action.tells:
        case "a line awake":
            return line_words(platform, test.action.parts[0], outcome)
        case "the same again":
            return _again(diagnosis, test, outcome)
        case "what flows there" if test.action.doing == "read-fuse":
            return _across_a_fuse(platform, diagnosis, test, outcome)
        case "what an input hears":
            return _IN_USE[test.in_use_shows][outcome != "in use"]
        case "what a load gets":
            return f"{SOME_VOLTS:g} V or more: current comes there" if outcome == "volts" else "0 V: none comes there"
        case "what asks there":
            return "battery volts: it is asked there" if outcome == "plus" else "none: nothing asks there"
        case "whether it burns":
            return "it burns" if outcome == "burning" else "it is dark"
        case "a contact closed":
            return "the draw goes" if outcome == "goes" else "the draw stays"
        case "what is left" | "what flows there" | "a wrong input" | "how a relay stands" | "what a look finds":
            return outcome_words(diagnosis, test, outcome)
        case "which of them draws":
            return _IN_A_BOX.get(outcome, outcome)
        case "nothing":
            return outcome
        case _:
            assert_never(test.action.tells)


_IN_USE = {
    "ground": ("near 0 V: as in use", "not near 0 V: as at rest"),
    "plus": ("battery volts: as in use", "no battery volts: as at rest"),
    "between": ("not near 0 V: as in use", "near 0 V: as at rest"),
}  # fmt: skip
"""What a module's pin shows with the switch that it watches in use, and at rest, by what it shows in use."""
_IN_A_BOX = {
    NONE_DRAWS: "nothing at any of them", ANOTHER_DRAWS: "something at another one", SEVERAL_DRAW: "several draw",
}  # fmt: skip


def _across_a_fuse(platform: Platform, diagnosis: Diagnosis, test: PlannedTest, outcome: str) -> str:
    """The current, and the millivolts that it makes where the fuse's cold resistance is published."""
    fuse = platform.parts[test.action.parts[0]]
    resistance = cold_resistance(fuse.style, fuse.rating) if isinstance(fuse, Fuse) else None
    millivolts = f"{_edge(test, outcome) * resistance.milliohms:.1f} mV" if resistance is not None else ""
    return outcome_words(diagnosis, test, outcome, millivolts)


def _edge(test: PlannedTest, outcome: str) -> float:
    """Where an outcome of a reading begins, or `quiet` ends; in A beyond what was found behind the place."""
    told = {branch.outcome for branch in told_branches(test)}
    return test.ends[1] if outcome == "most" and "some" in told else test.ends[0]


def _again(diagnosis: Diagnosis, test: PlannedTest, outcome: str) -> str:
    """`0.15 A again`, or how far off a reading must be to count as a different one."""
    segment = diagnosis.netted.measured.get(test.action.parts[0])
    own = segment.readings[0] if segment is not None else None
    if own is None or own.amps is None:
        return outcome
    fine = is_fine(own)
    off = max(2.0 * own.relative * abs(own.amps), own.half_step + 2.0 * own.zero, LEAST_OFF if not fine else 0.0)
    shown = own.amps - own.across
    low, high = max(shown - off, 0.0), shown + off
    if outcome == "the same":
        return f"{amperes_between(low, high, fine)} again"
    return f"not within {amperes_between(low, high, fine)}"


def _still(was: float) -> float:
    """In A: a total at or above this did not fall, because it fell by too small a share."""
    return was * (1.0 - LEAST_FALL)


def outcome_words(diagnosis: Diagnosis, test: PlannedTest, outcome: str, millivolts: str = "") -> str:
    """What would be seen. Outcomes of a reading that are told leave no gap between them. `millivolts` across a fuse are
    those from which on the outcome is this one, of nothing to see those below which it is."""
    was = diagnosis.tests.was if diagnosis.account is not None else None
    fine = total_is_fine(diagnosis)
    told = [branch.outcome for branch in told_branches(test)]
    edge = test.found + _edge(test, outcome)
    at = f"{diagnosis.tests.place} " if diagnosis.tests.place and several_batteries(diagnosis) else ""
    match outcome:
        case "normal":
            return f"{at}down to {ampere(diagnosis.tests.normal_up_to, fine)} or less"
        case "down":
            if was is None:
                return f"{at}down, but not to normal"
            return f"{at}{amperes_between(diagnosis.tests.normal_up_to, _still(was), fine)}"
        case "stays":
            return f"{at}still {ampere(_still(was), fine)} or more" if was is not None else f"{at}no change"
        case "quiet":
            if test.found > LEAST_FOUND:
                return f"under {ampere(edge, fine)}: no more than was found behind it"
            return f"nothing (under {f'{millivolts}, ' if millivolts else ''}{ampere(edge, fine)})"
        case "some" if "most" in told:
            across = f" (from {millivolts})" if millivolts else ""
            return f"{amperes_between(edge, test.found + test.ends[1], fine)}{across}"
        case "some" | "most":
            across = f" ({millivolts})" if millivolts else ""
            return f"{ampere(edge, fine)} or more{across}"
        case "found":
            return "something of that"
        case "not found":
            return "nothing to see"
        case "held":
            return "battery volts at the coil: driven"
        case "stuck":
            return "none at the coil, contact closed: stuck"
        case "open":
            return "none at the coil, contact open"
    return outcome

"""`suspects` as text: the answer first, then why, then what to do next, then what is not known."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.next_test.next_tests import NotWorth
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.answer import answer_lines
from circuitmap.reports.suspects.asked import world_words
from circuitmap.reports.suspects.come_back import come_back_lines
from circuitmap.reports.suspects.comes_and_goes import how_long_out, logged_lines
from circuitmap.reports.suspects.count import (
    SURE_OF_A_DRAW,
    contradicted_total_words,
    count_sentences,
    is_read_again_first,
    total_is_contradicted,
)
from circuitmap.reports.suspects.figures_words import figures_sentences, left_sentences
from circuitmap.reports.suspects.head import head_lines, should_flow_lines
from circuitmap.reports.suspects.leading import (
    first_part,
    is_open,
    is_two,
    may_be_tried,
)
from circuitmap.reports.suspects.left_so_words import from_before_lines, left_so_lines
from circuitmap.reports.suspects.next_test import test_lines
from circuitmap.reports.suspects.no_draw import (
    beyond_normal,
    no_draw_lines,
    no_draw_next,
    no_draw_not_known,
    no_draw_of,
)
from circuitmap.reports.suspects.not_known import no_longer_counting, not_known_sentences
from circuitmap.reports.suspects.nothing_seen import nothing_seen_of, nothing_seen_sections
from circuitmap.reports.suspects.odd_readings import (
    dead_lines,
    nothing_fits_lines,
    read_again_lines,
)
from circuitmap.reports.suspects.proving import MOST_PUT_IN, care_at_proof, go_to, left_alone_lines, to_mend
from circuitmap.reports.suspects.ruled_out import row_told, told_against
from circuitmap.reports.suspects.settled_words import settled_fault
from circuitmap.reports.suspects.two_people import disagreement_lines
from circuitmap.reports.suspects.waiting import wait_words
from circuitmap.reports.suspects.why import SpokenReason, drawn_at, reasons_for_the_place, rival_words
from circuitmap.reports.words.cautions import ON_EACH_ANSWER
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import WIDTH, as_text, joined, section, wrapped
from circuitmap.wiring.platform import Platform

WORTH_SAYING = 0.1
"""Probability of a part from which on it is told that no step goes there because it is hands-off (judgement)."""

OTHER_OF_TWO = "FOR THE OTHER OF THE TWO"

_NOT_WORTH: dict[NotWorth, str] = {
    "more-fuses": "more fuses, those left would tell next to nothing",
    "clamp": "another feeder on the clamp",
    "network-line": "network lines, what is left does not differ there",
}


def suspects_text(platform: Platform, diagnosis: Diagnosis, width: int = WIDTH, left_to_do: Sequence[str] = ()) -> str:
    """The whole answer; `left_to_do` are the steps of a card on which something was mended, where nothing draws now:
    nothing else is left then."""
    head = head_lines(platform, diagnosis, width)
    head += [*left_so_lines(platform, diagnosis, width), *from_before_lines(diagnosis, width)]
    head += disagreement_lines(platform, diagnosis, width)
    if not diagnosis.netted.segments and not diagnosis.netted.contradictions:
        head += wrapped("NOTHING READ YET that speaks of the car asleep: read the total first.", width=width)
        return as_text(head, _next(platform, diagnosis, width), _not_known(platform, diagnosis, width))
    if diagnosis.nothing_fits:
        return as_text(
            head, [*nothing_fits_lines(diagnosis, width), *dead_lines(platform, diagnosis, width)],
            _count(diagnosis, width), read_again_lines(platform, diagnosis, width),
            _not_known(platform, diagnosis, width),
        )  # fmt: skip
    if total_is_contradicted(diagnosis):
        answer = wrapped(contradicted_total_words(diagnosis), width=width)
        if not is_read_again_first(diagnosis):
            return as_text([*head, *answer], *_usual(platform, diagnosis, width))
        return as_text(head, answer, _count(diagnosis, width), _not_known(platform, diagnosis, width))
    no_draw = no_draw_of(platform, diagnosis)
    if no_draw is not None:
        return as_text(
            head, [*no_draw_lines(diagnosis, no_draw, width), *should_flow_lines(diagnosis, width)],
            _count(diagnosis, width),
            left_to_do or no_draw_next(platform, diagnosis, no_draw, width),
            section("NOT KNOWN", no_draw_not_known(platform, diagnosis), width),
            section("CARE", ON_EACH_ANSWER, width),
        )  # fmt: skip
    seen = nothing_seen_of(diagnosis)
    if seen is not None:
        sections = nothing_seen_sections(platform, diagnosis, seen, width, left_to_do)
        return as_text(head, *sections, section("CARE", ON_EACH_ANSWER, width))
    return as_text(head, *_usual(platform, diagnosis, width))


def _usual(platform: Platform, diagnosis: Diagnosis, width: int) -> list[list[str]]:
    """What it is, why, what else it may be, what to do next, what is not known."""
    return [
        [
            *answer_lines(platform, diagnosis, width),
            *should_flow_lines(diagnosis, width),
        ],
        _why(platform, diagnosis, width),
        [
            *_unless(diagnosis, width),
            *_count(diagnosis, width),
        ],
        logged_lines(platform, diagnosis, width),
        _next(platform, diagnosis, width),
        [
            *hands_off_lines(platform, diagnosis, width),
            *_not_known(platform, diagnosis, width),
            *_care(diagnosis, width),
        ],
    ]


def _why(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    row = row_told(diagnosis)
    if row is None:
        return []
    lines = place_lines(platform, diagnosis, row, width)
    for against in told_against(platform, diagnosis, row):
        head = "NOT" if against.out_of_it else "RATHER THAN"
        named = joined([rival_words(platform, diagnosis, rival) for rival in against.rivals], "or")
        lines += wrapped(f"{head} {named}, because", width=width) + _signed(against.reasons, width)
    return lines


def place_lines(platform: Platform, diagnosis: Diagnosis, row: Row, width: int) -> list[str]:
    """What speaks for an explanation in general."""
    reasons = reasons_for_the_place(platform, diagnosis, row)
    return [
        "WHY (+ for it, - against it; more signs, more weight)",
        *(_signed(reasons, width) or [" 0    nothing that was read speaks for it more than for others"]),
    ]


def _signed(reasons: Sequence[SpokenReason], width: int) -> list[str]:
    lines = []
    for reason in reasons:
        lines += wrapped(f"{reason.sentence}.", f" {reason.sign.ljust(3)}  ", " " * 6, width)
    return lines


def _unless(diagnosis: Diagnosis, width: int) -> list[str]:
    """All chances are given that something draws too much; whether it does is said apart from them."""
    if diagnosis.something_wrong >= SURE_OF_A_DRAW:
        return []
    account = diagnosis.account
    if account is not None and beyond_normal(diagnosis) > account.error:
        if account.found > account.error:
            return []  # two places show the same current: that is not a slip of the meter
        choices = enumerate(diagnosis.tests.choices, start=1)
        zeroed = next((number for number, test in choices if test.action.doing == "zero-again"), 0)
        says = "the total was misread: zero the clamp and read it once more before NEXT 1."
        says = f"the total was misread: NEXT {zeroed} tells." if zeroed else says
    elif account is None and (large := _more_than_normal(diagnosis)):
        says = f"{large} was misread: what flows there, flows at the battery, too. Read it once more."
    else:
        wrong = chance(1.0 - diagnosis.something_wrong)
        says = f"nothing is wrong with the draw ({wrong}). The chances above are for a car that draws too much."
    return section("UNLESS", [says], width)


def _more_than_normal(diagnosis: Diagnosis) -> str:
    """Without a total: the reading that shows more by itself than all of the car may take."""
    shown = [r for r in diagnosis.netted.readings.values() if r.amps is not None and r.shows_current]
    most = max(shown, key=lambda reading: reading.lowest, default=None)
    return f"{most.place} ({ampere(most.on_meter)})" if most and most.lowest > diagnosis.tests.normal_up_to else ""


def _count(diagnosis: Diagnosis, width: int) -> list[str]:
    return [
        *section("COUNT", count_sentences(diagnosis), width),
        *section("FITS", [*figures_sentences(diagnosis), *left_sentences(diagnosis)], width),
        *section("SET ASIDE", no_longer_counting(diagnosis), width),
    ]


def _next(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    tests = diagnosis.tests
    if tests.waits:
        return ["NEXT", *wrapped(wait_words(tests, how_long_out(diagnosis)), " ", " ", width)]
    if tests.mend and diagnosis.account is not None:
        if not may_be_tried(diagnosis, tests.mend):
            return ["NEXT", *left_alone_lines(platform, diagnosis, tests.mend, width)]
        return [
            "NEXT",
            *wrapped(to_mend(platform, diagnosis, tests.mend), " ", " ", width),
            *care_at_proof(platform, diagnosis, tests.mend, width),
            *_for_the_other(platform, diagnosis, width),
        ]
    if tests.gone and not tests.choices:
        return ["NEXT", *come_back_lines(platform, diagnosis, width)]
    if not tests.choices:
        says = "Nothing that is left to do would tell much. Read the total again, watch it, or wait."
        if diagnosis.subjects and not is_open(diagnosis):
            part = first_part(diagnosis.subjects[0]).part
            if not may_be_tried(diagnosis, part):
                return ["NEXT", *left_alone_lines(platform, diagnosis, part, width)]
            go = go_to(platform, diagnosis, part)
            says = f"No other test would tell more. {go}"
            return ["NEXT", *wrapped(says, " ", " ", width), *care_at_proof(platform, diagnosis, part, width)]
        return ["NEXT", *wrapped(says, " ", " ", width)]
    if tests.gone:
        once_back = _choices(platform, diagnosis, width, "ONCE IT IS BACK")
        return ["NEXT", *come_back_lines(platform, diagnosis, width), *once_back]
    return _choices(platform, diagnosis, width)


def _for_the_other(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Of two things at once one is proven; what is done meanwhile about the other, which is still open."""
    its = [fault for row in diagnosis.rows[:1] for fault in row.faults[0]]
    if not (is_two(diagnosis) and settled_fault(diagnosis, its) is None and diagnosis.tests.choices):
        return []
    return ["", *_choices(platform, diagnosis, width, OTHER_OF_TWO)]


def _choices(platform: Platform, diagnosis: Diagnosis, width: int, label: str = "NEXT") -> list[str]:
    """What to do next, likeliest to tell first."""
    tests = diagnosis.tests
    when = f"; for the likeliest: {world_words(diagnosis.worlds[0])}" if diagnosis.worlds else ""
    few = label != OTHER_OF_TWO and len(tests.put_in) < MOST_PUT_IN  # the other's share may stay out till then
    back = joined(tests.put_in) if few else "all that is out"
    first = f"{back} in again first; " if tests.put_in else ""
    lines = wrapped(f"{label} ({first}keep the total on the clamp{when})", rest=" ", width=width)
    for number, test in enumerate(tests.choices, start=1):
        lines += test_lines(platform, diagnosis, number, test, width)
    if tests.not_worth:
        useless = "; ".join(_NOT_WORTH[what] for what in tests.not_worth)
        lines += wrapped(f"Not worth it: {useless}.", " ", " ", width)
    return lines


def hands_off_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What the answer mentions but no step goes to."""
    if not diagnosis.subjects:
        return []
    names = [part.part for part in diagnosis.parts if part.probability >= WORTH_SAYING]
    names += [
        fault.contact.rpartition(".")[0] for part in diagnosis.parts[:1] for fault in part.faults if fault.contact
    ]
    drawing = [place for place, segment in diagnosis.netted.measured.items() if drawn_at(segment)]
    names += [place for place in drawing if not diagnosis.hands_off.may_clamp(place)]
    known = [name for name in names if name in platform.parts and platform.parts[name].kind != "battery"]
    sentence = hands_off_sentence(diagnosis.hands_off, known)
    return section("HANDS OFF", [sentence], width) if sentence else []


def _not_known(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    return section("NOT KNOWN", not_known_sentences(platform, diagnosis), width)


def _care(diagnosis: Diagnosis, width: int) -> list[str]:
    """What holds for the whole job; what holds for one step stands below that step."""
    return section("CARE", ON_EACH_ANSWER, width) if diagnosis.tests.choices or diagnosis.tests.mend else []

"""`suspects` as text: the answer first, then why, then what to do next, then what is not known."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, Row, Subject
from circuitmap.diagnosis.netting import accounts_of
from circuitmap.diagnosis.next_test import NotWorth
from circuitmap.diagnosis.observing import Seen
from circuitmap.reports.chance_words import chance
from circuitmap.reports.fault_words import (
    fault_words,
    part_words,
    short_part_words,
    subject_words,
    where_to_look,
)
from circuitmap.reports.paragraphs import WIDTH, as_text, joined, section, shortened, wrapped
from circuitmap.reports.suspects_care import care_sentences
from circuitmap.reports.suspects_count import count_sentences, seen_so_far, several_batteries, total_is_contradicted
from circuitmap.reports.suspects_leading import LIKELY, first_part, is_two, row_of, row_of_answer, tied_for_first
from circuitmap.reports.suspects_next import test_lines
from circuitmap.reports.suspects_no_draw import (
    no_draw_care,
    no_draw_lines,
    no_draw_next,
    no_draw_not_known,
    no_draw_of,
)
from circuitmap.reports.suspects_odd import dead_lines, nothing_fits_lines, read_again_lines
from circuitmap.reports.suspects_unknown import not_known_sentences
from circuitmap.reports.suspects_why import (
    Reason,
    ampere,
    faults_of_class,
    reasons_against,
    reasons_for_the_place,
    total_is_fine,
)
from circuitmap.wiring.parts import Relay, Switch
from circuitmap.wiring.platform import Platform

LEVEL = 0.6
"""What has at least this share of the likeliest is level with it."""
BEHIND = 0.3
"""What has at least this share of the likeliest is told behind it."""
TOLD_FROM = 0.02
FAR = 0.1
"""A rival below this share of the answer is told as ruled out."""
MOST_OTHERS = 6

_NOT_WORTH: dict[NotWorth, str] = {
    "more-fuses": "more fuses, those left would tell next to nothing",
    "clamp": "another feeder on the clamp",
    "network-line": "network lines, what is left does not differ there",
}


def suspects_text(platform: Platform, diagnosis: Diagnosis, width: int = WIDTH) -> str:
    """The whole answer."""
    head = wrapped(_head(platform, diagnosis), rest=" ", width=width)
    if not diagnosis.netted.segments and not diagnosis.netted.contradictions:
        head += wrapped("NOTHING READ YET that speaks of the car asleep: read the total first.", width=width)
        return as_text(head, _next(platform, diagnosis, width), _not_known(platform, diagnosis, width))
    if diagnosis.nothing_fits:
        return as_text(
            head, [*nothing_fits_lines(diagnosis, width), *dead_lines(platform, diagnosis, width)],
            _count(diagnosis, width), read_again_lines(diagnosis, width), _not_known(platform, diagnosis, width),
        )  # fmt: skip
    if total_is_contradicted(diagnosis):
        answer = wrapped("READ AGAIN: the total and the readings behind it cannot both be right.", width=width)
        return as_text(head, answer, _count(diagnosis, width), _not_known(platform, diagnosis, width))
    no_draw = no_draw_of(platform, diagnosis)
    if no_draw is not None:
        return as_text(
            head, no_draw_lines(diagnosis, no_draw, width), _count(diagnosis, width),
            no_draw_next(platform, diagnosis, no_draw, width),
            section("NOT KNOWN", no_draw_not_known(platform, diagnosis), width),
            section("CARE", no_draw_care(platform, diagnosis, no_draw), width),
        )  # fmt: skip
    return as_text(
        head,
        _answer(platform, diagnosis, width),
        _why(platform, diagnosis, width),
        [*_others(platform, diagnosis, width), *_unless(diagnosis, width), *_count(diagnosis, width)],
        _next(platform, diagnosis, width),
        [*_not_known(platform, diagnosis, width), *_care(platform, diagnosis, width)],
    )


def _head(platform: Platform, diagnosis: Diagnosis) -> str:
    account = diagnosis.account
    fine = total_is_fine(diagnosis)
    read = f"total {ampere(account.total, fine)}" if account is not None else "total not read"
    if account is not None and several_batteries(diagnosis):
        each = [f"{place} {ampere(one.total, fine)}" for place, one in accounts_of(diagnosis.netted).items()]
        each += [f"{r.place} {ampere(r.amps, fine)}, being charged" for r in diagnosis.netted.charging]
        read += f": {joined(each)}"
    return f"{platform.name or 'This car'}.  {read[0].upper()}{read[1:]} ({platform.supply_volts:g} V)"


def _two(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Two things to mend, the surer one first."""
    chance_of = {part.part: part.probability for part in diagnosis.parts}
    faults = sorted(diagnosis.rows[0].faults[0], key=lambda fault: (-chance_of[fault.part], fault.part))
    lines = section("LOOK AT", [f"two things at once.  ({chance(diagnosis.two_faults)})"], width)
    for label, fault in zip(("FIRST", "THEN"), faults, strict=True):
        lines += section(label, [f"{where_to_look(platform, fault)}.  ({chance(chance_of[fault.part])})"], width)
    return lines + section("THAT IS", [f"{fault_words(platform, fault)}." for fault in faults], width)


def _answer(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    if is_two(diagnosis):
        return _two(platform, diagnosis, width)
    top = diagnosis.subjects[0]
    if top.probability < LIKELY:
        level = [s for s in diagnosis.subjects if s.probability >= LEVEL * top.probability]
        do = "Do NEXT 1." if diagnosis.tests.choices else "Read more: see NOT KNOWN."
        how = f"TOO EARLY: {len(level)} things are level" if len(level) > 1 else "TOO EARLY to be sure"
        lines = wrapped(f"{how}. {do}", width=width)
        shown = [f"{_short(platform, s)} ({chance(s.probability)}{_partly(diagnosis, s)})" for s in level[:MOST_OTHERS]]
        more = [f"{len(level) - MOST_OTHERS} more"] if len(level) > MOST_OTHERS else []
        behind = [s for s in diagnosis.subjects[len(level) : MOST_OTHERS] if s.probability >= BEHIND * top.probability]
        told = [f"{_short(platform, s)} ({chance(s.probability)}{_partly(diagnosis, s)})" for s in behind]
        after = f"; behind {'it' if len(level) == 1 else 'them'} {joined(told)}" if told else ""
        lines += section("AHEAD", [f"{joined([*shown, *more])}{after}."], width)
        return lines + section("SO FAR", [seen_so_far(diagnosis)], width) + dead_lines(platform, diagnosis, width)
    part = first_part(top)
    lines = section("LOOK AT", [f"{subject_words(platform, top)}  ({chance(top.probability)})"], width)
    first = part.faults[0]
    tied = tied_for_first(top)
    if len(tied) > 1:
        names = shortened([short_part_words(platform, p.part) for p in tied])
        lines += section("FIRST", [f"one of these {len(tied)}, can't be told apart yet: {names}."], width)
    else:
        lines += section("FIRST", [f"{where_to_look(platform, first)}.  ({chance(part.probability)})"], width)
    if diagnosis.tests.mend:
        lines += section("STOP", ["looking further: prove this now, then mend it."], width)
    if top.about not in platform.networks:
        lines += section("THAT IS", [f"{fault_words(platform, first)}."], width)
    return lines + _but(diagnosis, width) + dead_lines(platform, diagnosis, width)


def _but(diagnosis: Diagnosis, width: int) -> list[str]:
    """Where the answer explains only part of what was read."""
    row = row_of_answer(diagnosis)
    said = [
        f"that takes {ampere(short.explained)} as typed in, and {ampere(short.amps)} was read at {short.place}: "
        "something else draws there, too, or what is typed in is not this car's."
        for short in (row.partly if row is not None else ())
    ]
    for misfit in diagnosis.misfits:
        if isinstance(misfit.label, Seen) and misfit.label.kind == "reading":
            segment = diagnosis.netted.measured[misfit.label.about]
            said.append(
                f"that leaves {segment.place} ({ampere(segment.readings[0].amps)}) unexplained: misread, or a second "
                "fault. Read it again first."
            )
    return section("BUT", said, width) if said else []


def _partly(diagnosis: Diagnosis, subject: Subject) -> str:
    """`; explains 0.80 A of 1.60 A`, where that is so."""
    row = row_of(diagnosis, subject)
    short = row.partly[0] if row is not None and row.partly else None
    return f"; explains {ampere(short.explained)} of {ampere(short.amps)}" if short is not None else ""


def _short(platform: Platform, subject: Subject) -> str:
    return short_part_words(platform, subject.about)


def _why(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    row = row_of_answer(diagnosis)
    if row is None or diagnosis.subjects[0].probability < LIKELY:
        return []
    lines = place_lines(platform, diagnosis, row, width)
    level = [short_part_words(platform, f.part) for rival in row.level_with for f in faults_of_class(diagnosis, rival)]
    if level:
        names = shortened(list(dict.fromkeys(level)))
        told = f"LEVEL with {names}: nothing that was read tells them apart; the more usual cause stands first."
        lines += wrapped(told, width=width)
    for beaten in row.beaten:
        rival = faults_of_class(diagnosis, beaten.rival)
        reasons = reasons_against(platform, diagnosis, row, beaten)
        if rival and reasons:
            far = beaten.rival.probability < FAR * row.probability
            head = "NOT" if far else "RATHER THAN"
            named = joined([short_part_words(platform, fault.part) for fault in rival])
            relay = len(rival) == 1 and isinstance(platform.parts.get(rival[0].part), Relay)
            stuck = " stuck" if relay and rival[0].kind == "contact" else ""
            lines += wrapped(f"{head} {named}{stuck}, because", width=width) + _signed(reasons, width)
    return lines


def place_lines(platform: Platform, diagnosis: Diagnosis, row: Row, width: int) -> list[str]:
    """What speaks for an explanation at all."""
    reasons = reasons_for_the_place(platform, diagnosis, row)
    return [
        "WHY (+ for it, - against it; more signs, more weight)",
        *(_signed(reasons, width) or [" 0    nothing that was read speaks for it more than for others"]),
    ]


def _signed(reasons: Sequence[Reason], width: int) -> list[str]:
    lines = []
    for reason in reasons:
        lines += wrapped(f"{reason.sentence}.", f" {reason.sign.ljust(3)}  ", " " * 6, width)
    return lines


def _others(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What else it may be, from one in twenty on."""
    if is_two(diagnosis):
        named = {fault.part for fault in diagnosis.rows[0].faults[0]}
        told = [
            f"{part_words(platform, part.part)} {chance(part.probability)}"
            for part in diagnosis.parts[:MOST_OTHERS]
            if part.part not in named and part.probability >= TOLD_FROM
        ]
    elif diagnosis.subjects[0].probability < LIKELY:
        told = []
    else:
        top = diagnosis.subjects[0]
        first = tied_for_first(top)
        told = [
            f"{part_words(platform, part.part)} {chance(part.probability)}"
            for part in top.parts[len(first) : MOST_OTHERS]
            if part.probability >= TOLD_FROM
        ]
        least = first[0].probability
        told += [
            f"{_short(platform, s)} {chance(s.probability)}{_likelier(s, least)}"
            for s in diagnosis.subjects[1:MOST_OTHERS]
            if s.probability >= TOLD_FROM and not _only_repeats(s, top)
        ]
    if diagnosis.two_faults >= TOLD_FROM and not is_two(diagnosis):
        told.append(f"two faults at once {chance(diagnosis.two_faults)}")
    return section("OTHERS", ["; ".join(told) + "."], width) if told else []


def _likelier(subject: Subject, first: float) -> str:
    return (
        ", likelier than any one part named before"
        if chance(subject.probability) != chance(first) and (subject.probability > first)
        else ""
    )


def _only_repeats(subject: Subject, top: Subject) -> bool:
    """Whether all there is to mend at a subject was told with the first one."""
    return {part.part for part in subject.parts} <= {part.part for part in top.parts}


def _unless(diagnosis: Diagnosis, width: int) -> list[str]:
    """All chances are given that something draws too much; whether it does is said apart from them."""
    if diagnosis.something_wrong >= 0.9:
        return []
    account = diagnosis.account
    if account is not None and account.total - account.error > diagnosis.tests.normal_up_to:
        which = "the readings were" if account.found > account.error else "the total was"
        says = f"{which} misread. Read the total again before you go on."
    else:
        wrong = chance(1.0 - diagnosis.something_wrong)
        says = f"nothing is wrong with the draw ({wrong}). The chances above are for a car that draws too much."
    return section("UNLESS", [says], width)


def _count(diagnosis: Diagnosis, width: int) -> list[str]:
    return section("COUNT", count_sentences(diagnosis), width)


def _next(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    tests = diagnosis.tests
    if tests.mend and diagnosis.account is not None:
        part = part_words(platform, tests.mend)
        steps = f"Prove {part}: {_proof(platform, tests.mend)}"
        apart = "" if isinstance(platform.parts.get(tests.mend), Switch) else _TESTED_APART
        apart += "Then mend it, and log a night."
        return ["NEXT", *wrapped(f"{steps} {apart}", " ", " ", width)]
    if not tests.choices:
        says = "Nothing that is left to do would tell much. Read the total again, watch it, or wait."
        if diagnosis.subjects and diagnosis.subjects[0].probability >= LIKELY:
            part = first_part(diagnosis.subjects[0]).part
            says = f"No other test would tell more. Go to {part_words(platform, part)}: {_proof(platform, part)}"
        return ["NEXT", *wrapped(says, " ", " ", width)]
    lines = ["NEXT (keep the total on the clamp)"]
    for number, test in enumerate(tests.choices, start=1):
        lines += test_lines(platform, diagnosis, number, test, width)
    if tests.not_worth:
        useless = "; ".join(_NOT_WORTH[what] for what in tests.not_worth)
        lines += wrapped(f"Not worth it: {useless}.", " ", " ", width)
    return lines


_TESTED_APART = "Its inputs and what it feeds tested apart; feed and ground under load. "


def _proof(platform: Platform, part: str) -> str:
    """Out, in, out, in words that fit a switch, a part, a wire, or what somebody fitted."""
    its = platform.parts.get(part)
    if isinstance(its, Switch) and its.positions:
        off = its.positions[0]
        return (
            f"is it really at {off}? There the draw must go, with it on come back, and go again. If it makes no "
            f"difference, volts behind its contact at {off}: battery volts say that it does not open. "
        )
    if part in platform.parts:
        return "with it out the draw is gone, with it back it comes back, out again it is gone."
    if "wir" in part or part.startswith("line of"):
        return "freed from what it rubs on, the draw is gone; back against it, it comes back; freed again, it is gone."
    return "taken off, the draw is gone; put back, it comes back; off again, it is gone."


def _not_known(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    return section("NOT KNOWN", not_known_sentences(platform, diagnosis), width)


def _care(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    return section("CARE", care_sentences(platform, diagnosis), width)

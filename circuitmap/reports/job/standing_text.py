"""Where a job stands, in the words that people at the car use: proven, involved, cleared, too early."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from circuitmap.circuit.switched import Switching
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.against_limit import against_limit, held_amps, is_too_coarse
from circuitmap.jobs.code_stories import CodeStory
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.still_needed import Need
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.battery_next import battery_head, battery_sentences_next
from circuitmap.reports.job.beyond_words import beyond_words
from circuitmap.reports.job.changed_words import changed_lines
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.early_words import early_sentences
from circuitmap.reports.job.made_to_take import only_takes_sentence
from circuitmap.reports.job.mended_text import (
    because_sentences,
    mended_headline,
    mended_well_sentences,
    taken_in_sentences,
)
from circuitmap.reports.job.next_step import next_label, next_sentences
from circuitmap.reports.job.own_clock import own_clock_sentences
from circuitmap.reports.job.rests_on import rests_on_sentences
from circuitmap.reports.job.tried_text import again_sentence, left_alone, needs_nothing, try_sentence, verdict_words
from circuitmap.reports.job.try_words import figures_words, out_words
from circuitmap.reports.job.when_words import repaired_sentences, steps_when, when_sentence
from circuitmap.reports.words.cautions import StepKind, all_switched, caution_sentences, cautions_at
from circuitmap.reports.words.hands_off_words import HANDED_OVER, why_words
from circuitmap.reports.words.limit_words import (
    FINER_METER,
    ampere_words,
    draws_words,
    hours_words,
    how_long_words,
    is_fine,
    limit_words,
    meter_words,
    off_words,
    shown_words,
)
from circuitmap.reports.words.paragraphs import joined, section, wrapped
from circuitmap.reports.words.part_words import named
from circuitmap.reports.words.plug_words import plug_sentences
from circuitmap.reports.words.seen_words import seen_words
from circuitmap.wiring.parts import Load, Relay, Switch
from circuitmap.wiring.platform import Platform

NEED_WORDS: dict[Need, str] = {
    "hand-over": f"{{it}}: nothing more is done to it here. {HANDED_OVER}",
    "in-again": "Put {it} in again, {use}let the car sleep, and see the draw come back.",
    "out-again": "Take {it} out once more{up}: the draw must go again.",
    "which-part": "Find out which it is of all that hangs on {it}: each part by itself, and the wires.",
    "itself": "Measure it by itself: really at {rest}, does its contact stand as the sheet says? Ohms across it, or "
    "volts at its pin. (tested {it} fine|bad)",
    "inputs": "Test its inputs apart: {inputs} (tested {it} inputs fine|bad)",
    "outputs": "Test what it feeds apart. (tested {it} outputs fine|bad)",
    "left-so": "{it} stays as it was turned: lock it, let it sleep, and see that the draw stays away.",
    "own-plug": "Nothing else is done at {it}: {behind}, which feeds it, is hands-off. Behind it nothing is opened, "
    "probed, measured or moved; its own plug and switch, used by whoever owns it, are all. Write down what that showed "
    "and hand over.",
    "feed": "Measure the volts lost on its feed with the load on: below 0.2 V. (tested {it} feed 0.08V)",
    "ground": "Measure the volts lost on its ground with the load on: below 0.1 V. (tested {it} ground 0.03V)",
}

BY_ITS_PLUG: dict[Need, str] = {
    "in-again": "Have {it} put in again by its own plug or switch, {use}let the car sleep, and see the draw come back.",
    "out-again": "Have {it} out once more by its own plug or switch: the draw must go again.",
}
"""The same of what is fed by something that is hands-off."""

_STAGE_WORDS = {
    "not-read": "NOTHING READ YET of the car parked and asleep.",
    "places-read": "THE TOTAL IS NOT READ YET: {read}.",
    "nothing-seen": "NO DRAW SEEN: {read}; the total was not read. {hiding}",
    "watch": "{within}{unread}. Leave a log running{at} for an hour at least before saying that nothing draws.{off}",
    "how-long": "{within}{unread}. How long did the log at {untold} run? That is not on the card{room}: add it again "
    "with that (for 9h) and with its time. An hour at least before saying that nothing draws.{off}",
    "watched-in-part": "NO DRAW FOUND at {logged}{unread}.{off}",
    "no-draw": "NO DRAW FOUND while we watched ({watched}).{battery}{off}",
    "cannot-tell": "CAN'T TELL WITH THIS METER: it shows {total}; the limit is {limit}, and the meter can be off "
    "{may_be_off}. Zero it and read again, or take a finer one (--meter low-current-clamp, or series).",
    "beyond-known": "CAN'T TELL YET: it draws {total} at {place}, {more} more than is known with what was switched on "
    "({turn}). That may take it, or something draws besides: turn it off, let it settle, and read again "
    "(turned {short}).",
    "charging": "{place} IS BEING CHARGED ({total}): that says nothing of what is drawn.",
    "draws": "IT DRAWS {drawn}; the limit is {limit}.",
}

NOT_LOCKED = "When it was locked is not on the card: whether it was asleep is taken on trust. (card add CARD locked)"


def headline(platform: Platform, standing: JobStanding) -> str:
    """The job in one line."""
    leading, total = standing.leading, standing.total
    if standing.mended:
        return mended_headline(platform, standing)
    if standing.stage in ("proven", "involved") and leading is not None:
        return f"{verdict_words(leading)}: {out_words(platform, leading)}.{_settled_beside(platform, standing)}"
    if standing.stage == "draws" and (rest := _rest_words(platform, standing)):
        return rest
    limit = standing.limits.at(total.place) if total is not None else standing.limit
    if standing.stage == "draws" and standing.gone is not None and total is not None:
        now, was = shown_words(standing.gone, limit), draws_words(total, limit)
        its = limit_words(standing, total.place)
        return f"GONE FOR NOW, NOT REPAIRED: it draws {now}, and drew {was}; the limit is {its}."
    when = when_sentence(standing)
    said = _STAGE_WORDS[_stage_told(standing)].format(
        battery=battery_head(standing.battery, bool(when)),
        watched=hours_words(standing.watched),
        total=shown_words(total, limit) if total is not None else "",
        drawn=_drawn_words(standing, total) if total is not None else "",
        place=total.place if total is not None else "",
        off=meter_words(total, limit) if total is not None else "",
        may_be_off=off_words(total) if total is not None else "",
        unread=f", but {joined(standing.unread)} was not read" if standing.unread else "",
        at=f" at {joined(standing.unlogged)} too," if standing.unlogged else "",
        logged=joined([f"{place} in {hours_words(minutes)} of log" for place, minutes in standing.logged]),
        limit=limit_words(standing, total.place if total is not None else ""),
        within=_within_words(standing),
        **seen_words(standing.seen),
        untold=joined([one.place for one in _of_untold_length(standing)]),
        room=next((how_long_words(one.log) for one in _of_untold_length(standing) if one.log is not None), ""),
        **beyond_words(standing),
    )
    return f"{said}{when}"


def _within_words(standing: JobStanding) -> str:
    """Within the limit, or above it by what is known to flow there: that is told as what it is."""
    above = [one for one in standing.totals.values() if (held_amps(one) or 0.0) > standing.limit]
    if not above:
        return "WITHIN THE LIMIT so far"
    read = joined([f"{one.place} {shown_words(one, standing.limits.at(one.place))}" for one in above])
    return f"NO MORE THAN IS KNOWN so far: {read}; the limit is {limit_words(standing, above[0].place)}"


def _drawn_words(standing: JobStanding, total: Reading) -> str:
    """What is drawn; of several batteries that were read, at which, and what another one gives beyond its limit."""
    limits, several = standing.limits, len(standing.totals) > 1
    others = [one for one in standing.totals.values() if one is not total] if several else []
    others = [one for one in others if against_limit(one, limits.at(one.place)) == "above"]
    its = [total, *others]
    return joined([f"{draws_words(o, limits.at(o.place))}{f' at {o.place}' if several else ''}" for o in its])


def _of_untold_length(standing: JobStanding) -> list[Reading]:
    """The logs of which the card does not say how long they ran."""
    return [one for one in standing.totals.values() if one.log is not None and one.log.duration is None]


def _stage_told(standing: JobStanding) -> str:
    """The stage, or what is told in its place: while a battery is being charged, or where each battery that was read
    was also logged and only another one was not read."""
    total = standing.total
    if standing.stage == "cannot-tell" and total is not None:
        if standing.limits.beyond_known(total):
            return "beyond-known"
        return "charging" if against_limit(total, standing.limits.at(total.place)) == "charging" else standing.stage
    if standing.stage == "not-read" and standing.seen is not None:
        return "places-read"
    if standing.stage == "watch" and _of_untold_length(standing):
        return "how-long"
    in_part = standing.stage == "watch" and standing.logged and not standing.unlogged
    return "watched-in-part" if in_part else standing.stage


def _rest_words(platform: Platform, standing: JobStanding) -> str:
    """What is still drawn where a part of the draw is settled and nothing else is out."""
    last = standing.tries[-1] if standing.tries else None
    if last is None or last.verdict != "part" or against_limit(last.after, standing.limits.at(last.place)) != "above":
        return ""
    fine = is_fine(last.after)
    return (
        f"IT STILL DRAWS {ampere_words(last.left, fine)} without {out_words(platform, last)}, which took "
        f"{ampere_words(last.took, fine)}; the limit is {limit_words(standing, last.place)}."
    )


def _settled_beside(platform: Platform, standing: JobStanding) -> str:
    """What else took a part of the draw, beside what leads."""
    parts = [one for one in standing.tries if one.verdict == "part" and one is not standing.leading]
    took = [
        f"{out_words(platform, one)} took {ampere_words(one.took, is_fine(one.after))}"
        for one in parts
        if one.took is not None
    ]
    return f" Beside it {joined(took)}: settled." if took else ""


def standing_text(platform: Platform, standing: JobStanding, clock: "Clock", maker: str = "") -> list[str]:
    """The verdict so far, each try with its figures, what is left, what proof still lacks; `maker` is what by the
    diagnosis makes the part that was out take its current."""
    leading = standing.leading
    lines = wrapped(headline(platform, standing), rest="  ")
    if standing.stage != "mended":
        lines += section("STILL OUT", still_out_sentences(platform, standing))
    lines += section("TAKEN SO", taken_in_sentences(platform, standing))
    if leading is not None and standing.stage in ("proven", "involved"):
        lines += section("BECAUSE", [f"{figures_words(leading)}."])
    if standing.total is not None and not standing.locked:
        lines += section("BUT", [NOT_LOCKED])
    if standing.mended and standing.stage != "not-repaired":
        lines += section("BECAUSE", because_sentences(platform, standing))
    lines += section("BUT", repaired_sentences(standing))
    lines += section("RESTS ON", rests_on_sentences(platform, standing))
    lines += section("PEAKS", own_clock_sentences(platform, standing))
    others = [one for one in standing.tries if one is not leading or standing.stage not in ("proven", "involved")]
    lines += section("MENDED", mended_well_sentences(platform, standing))
    others = [one for one in others if one not in told_with_the_cause(standing)]
    lines += section("TRIED", [try_sentence(platform, one, clock, needs_nothing(standing, one)) for one in others])
    lines += section("SINCE", since_sentences(platform, standing, clock))
    in_hand = standing.in_hand if standing.mended else leading
    if in_hand is not None:
        lines += section("LEFT", [left_sentence(in_hand, standing)])
        lines += section("FOR PROOF", for_proof(platform, standing, maker, clock))
    no_draw = standing.stage == "no-draw"
    steps = (
        (*steps_when(platform, standing), *battery_sentences_next(platform, standing.battery))
        if no_draw
        else next_sentences(platform, standing)
    )
    lines += section(next_label(standing), steps)
    lines += changed_lines(standing.changed, clock.at)
    lines += section("CODES", code_sentences(standing.codes))
    lines += section("TOO EARLY", early_sentences(platform, standing.read_again, clock, standing.door_open))
    return lines


def told_with_the_cause(standing: JobStanding) -> tuple[TryVerdict, ...]:
    """The tries that are told beside what was found and mended, and need not be told again."""
    found = standing.found
    last = (*found.own, *found.led) if found is not None and standing.stage != "not-repaired" else ()
    return (*last, *(one for mending in standing.mended_well for one in mending.tries))


def still_out_sentences(platform: Platform, standing: JobStanding) -> Iterator[str]:
    """What was not put back, by the card, although the card says that the vehicle was mended."""
    for name in standing.still_out if standing.mended else ():
        yield f"{named(platform, name)}, by the card. Is it in again? (card add CARD back {name})"


def _inputs_words(platform: Platform, name: str) -> str:
    """What the inputs of a part are, in words that fit it."""
    part = platform.parts.get(name)
    if isinstance(part, Relay):
        return f"volts across its coil say whether anything drives it, and should it (relay {name} held|stuck)?"
    if isinstance(part, Switch):
        return "is what it watches really shut or off?"
    if isinstance(part, Load) and part.kind == "module":
        return "does it believe a wrong latch, switch or key?"
    return "the switch, relay or module that turns it on."


def for_proof(
    platform: Platform, standing: JobStanding, maker: str = "", clock: Clock | None = None
) -> tuple[str, ...]:
    """What the leading try still lacks; once the vehicle is mended, that can no longer be supplied. What is in again
    need not be put in: with the `clock` of the card it is told from when on the draw counts as there again."""
    leading = standing.in_hand
    if leading is None:
        return ()
    if maker:
        return (only_takes_sentence(joined(leading.out), maker),)
    early = leading.again is not None and clock is not None and "in-again" in leading.needs
    still = replace(leading, needs=tuple(n for n in leading.needs if n != "in-again")) if early else leading
    needed = need_sentences(platform, still, standing.switching, standing.fed_from)
    if early and leading.again is not None and clock is not None:
        return (*failed_sentences(leading, standing), again_sentence(platform, leading, leading.again, clock), *needed)
    return (*failed_sentences(leading, standing), *needed)


def since_sentences(platform: Platform, standing: JobStanding, clock: "Clock") -> Iterator[str]:
    """The tries made since something was mended; of a switch that was turned, also whether what is left is normal."""
    for one in standing.tries_since:
        yield try_sentence(platform, one, clock)
        if one.needs == ("left-so",) and one is not standing.in_hand:
            says = _LEFT_WORDS[against_limit(one.after, standing.limit)].format(off=off_words(one.after))
            yield f"{ampere_words(one.left, is_fine(one.after))} with it so, {says}."


_LEFT_WORDS = {
    "within": "which is normal",
    "cannot-tell": "which this meter can't tell from normal (it can be off {off})",
    "above": "which is still too much: something else draws too",
    "charging": "so the battery is being charged",
    "no-current": "so nobody knows whether that is normal",
}


def left_sentence(one: TryVerdict, standing: JobStanding) -> str:
    """What is still drawn with the part out, and whether that is normal."""
    if one.after.change:
        left = "gone" if one.after.change == "gone" else "less, but not gone: something else draws too"
        limit = limit_words(standing, one.place)
        return f"With it out the draw is {left}. No figure was written down; the limit is {limit}."
    verdict = _LEFT_WORDS[against_limit(one.after, standing.limits.at(one.place))].format(off=off_words(one.after))
    left = ampere_words(one.left, is_fine(one.after))
    known = standing.limits.known_at(one.place)
    if known is not None and known.by_added and verdict == _LEFT_WORDS["within"]:
        verdict = "which is no more than is known to flow there"
    so = "so" if one.turned else "out"
    if one.left_is_of:
        verdict = f"which is what {joined(one.left_is_of)} {'take' if len(one.left_is_of) > 1 else 'takes'}"
    if one.left_early:
        verdict = "read before all that may fall asleep had: nobody knows yet whether something else draws too"
    finer = f" {FINER_METER}" if is_too_coarse(one.after, standing.limits.at(one.place)) else ""
    more = [its for its in one.elsewhere if against_limit(its, standing.limits.at(its.place)) == "above"]
    beside = joined([f"{ampere_words(its.amps, is_fine(its))} at {its.place}" for its in more])
    also = f" But {beside} with it {so}, which is too much: something else draws there." if more else ""
    return f"{left} with it {so}, {verdict}; the limit is {limit_words(standing, one.place)}.{finer}{also}"


_STEP_OF_NEED: dict[Need, StepKind | None] = {
    "hand-over": None,
    "in-again": "refit",
    "out-again": "prove",
    "which-part": None,
    "own-plug": None,
    "left-so": "night-log",
    "itself": "drop-test",
    "inputs": "inputs",
    "outputs": None,
    "feed": "drop-test",
    "ground": "drop-test",
}
"""The kind of step that each of these is, where it needs care."""


def need_sentences(
    platform: Platform, one: TryVerdict, switching: Switching, fed_from: Mapping[str, str] = MappingProxyType({})
) -> Iterator[str]:
    """What proof still lacks, in the order in which it is done, each with what to take care of that was not said at one
    before it."""
    said: set[str] = set()
    it = joined(one.out)
    behind = joined([why_words(feed, why) for feed, why in one.fed_by_hands_off])
    for need in one.needs:
        whole = left_alone(one) if need == "hand-over" else it
        words = BY_ITS_PLUG.get(need, NEED_WORDS[need]) if behind else NEED_WORDS[need]
        part = platform.parts.get(one.out[0])
        rest = part.positions[0] if isinstance(part, Switch) and part.positions else "rest"
        up = " while it is up, and read at once" if one.ended else ""
        use = "use the car as its owner does, lock it, " if one.over_use else ""
        inputs = _inputs_words(platform, one.out[0])
        yield words.format(it=whole, inputs=inputs, behind=behind, rest=rest, up=up, use=use)
        if need == "which-part" and len(one.out) == 1:
            yield from plug_sentences(platform, one.out[0])
        step: StepKind | None = "own-plug" if behind and need in BY_ITS_PLUG else _STEP_OF_NEED[need]
        if need == "inputs" and isinstance(platform.parts.get(one.out[0]), Relay):
            step = "relay-volts"
        if step is not None:
            switched = all_switched(switching, one.out)
            told = cautions_at(platform, step, one.out, switched=switched, fed_from=fed_from)
            yield from caution_sentences([caution for caution in told if caution.text not in said])
            said.update(caution.text for caution in told)


def failed_sentences(one: TryVerdict, standing: JobStanding) -> Iterator[str]:
    """What was not passed; what nobody typed as a test was told by the volts at a relay's coil."""
    for test in one.failed:
        if test not in standing.tests and test.what == "inputs":
            yield f"By its volts something drives {test.part}: find and mend that first; the part itself is not proven."
            continue
        lost = f": {test.volts:.2f} V lost" if test.volts is not None else ""
        so = (
            "Mend that first" if not one.fed_by_hands_off else "What feeds it is hands-off: write it down and hand over"
        )
        yield f"{test.part} {test.what} bad{lost}. {so}; the part itself is not proven."


def code_sentences(codes: tuple[CodeStory, ...]) -> Iterator[str]:
    words = {
        "stayed": "back after clearing",
        "went": "not back after clearing",
        "came": "came since clearing",
        "once": "stored, not yet cleared and read again",
        "low-voltage": "explained by the flat battery",
    }
    for code in codes:
        module = f" in {code.module}" if code.module else ""
        yield f"{code.code}{module}: {words[code.story]}."

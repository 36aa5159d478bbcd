"""Readings that fit no explanation: what draws but should be dead, and what to do where nothing fits."""

from circuitmap.diagnosis.diagnosis import Diagnosis, Misfit, UnexplainedTry
from circuitmap.diagnosis.seen.dead_places import DeadPlace
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.count import is_a_total, seen_so_far
from circuitmap.reports.suspects.leading import is_open, row_of_answer
from circuitmap.reports.suspects.why import drawn_at
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.demand_words import with_words
from circuitmap.reports.words.hands_off_words import hands_off_sentence
from circuitmap.reports.words.paragraphs import joined, section, shortened, wrapped
from circuitmap.wiring.platform import Platform

MOST_THROUGH = 4
"""How many contacts are told that the current of something comes through."""
MOST_WAYS = 3
"""How many ways that could feed a dead fuse are told."""


def dead_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Fuses that draw but should be dead, where the answer does not explain it."""
    row = row_of_answer(diagnosis)
    faults = row.faults[0] if row is not None else ()
    known = (fault for fault in faults if fault.kind != "none-of-these")
    through = {place for fault in known for flow in fault.brings for place in flow.way.places}
    sure = bool(diagnosis.subjects) and not is_open(diagnosis) and not diagnosis.nothing_fits
    said = []
    alike: dict[tuple[str, ...], list[DeadPlace]] = {}
    for dead in diagnosis.dead:
        if not (sure and dead.place in through and not dead.label):
            alike.setdefault(tuple(fed_by(dead)[:MOST_WAYS]) or (dead.place,), []).append(dead)
    fine = total_is_fine(diagnosis)
    for ways, places in alike.items():
        one = len(places) == 1
        it, draw = ("it is", "draws") if one else ("what they share is", "draw")
        is_fed = f"{it} fed only {joined(ways, 'or')}. Is that so, or does a contact there not open?"
        fed = is_fed if fed_by(places[0]) else ""
        amounts = joined([ampere(dead.amps, fine) for dead in places])
        said.append(
            f"{joined([dead.place for dead in places])} {draw} {amounts}, and nothing should feed "
            f"{'it' if one else 'them'} with the car parked and everything off{': ' if fed else '.'}{fed}"
        )
    return section("DEAD?", said, width) if said else []


def fed_by(dead: DeadPlace) -> list[str]:
    """Each way by which a dead place can be fed, in words."""
    if dead.label:
        return [f"with the key at {joined(dead.label, 'or')}, by its label"]
    return list(dict.fromkeys(with_words(needs) for needs in dead.needs))


def read_again_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What to do when nothing fits: the same readings again, then each of them by itself; nothing at what is
    hands-off."""
    all_worst = [misfit.segment for misfit in diagnosis.misfits[:2]]
    worst = [w for w in all_worst if diagnosis.hands_off.may_touch(w.place)]
    left = hands_off_sentence(diagnosis.hands_off, [w.place for w in all_worst])
    if not worst:
        return section("HANDS OFF", [left], width)
    fine = total_is_fine(diagnosis)
    measured = diagnosis.netted.measured
    lines = [
        "NEXT",
        *wrapped(
            f"Read {joined([w.place for w in worst])} again, leads or clamp zeroed before.", " 1  ", "    ", width
        ),
        *caution_lines(cautions_at(platform, "read-again", [w.place for w in worst]), width),
    ]
    falls = [
        f"{w.place} out, and watch the total fall by {ampere(measured[w.place].readings[0].on_meter, fine)}"
        for w in worst
        if w.place in measured and drawn_at(measured[w.place]) and not is_a_total(diagnosis, w.place)
    ]
    if falls:
        each = f"If they stay so, each may be a thing of its own. Take {'; put it back, then '.join(falls)}."
        lines += wrapped(each, " 2  ", "    ", width)
        lines += caution_lines(cautions_at(platform, "pull-fuses", [w.place for w in worst]), width)
    return lines + (section("HANDS OFF", [left], width) if left else [])


def contradicted_sentence(diagnosis: Diagnosis, misfit: Misfit) -> str:
    """A reading that something taken out spoke against: both cannot be right."""
    assert misfit.against is not None
    place, own = misfit.segment.place, misfit.segment.readings[0]
    tried = misfit.against.attempt
    with_out = "it" if tried.out == (place,) else joined(tried.out)
    total = ampere(tried.after.amps, total_is_fine(diagnosis))
    if misfit.against.outcome == "normal":
        went = f"fell to {total}" if tried.after.amps is not None else "was gone"
        return (
            f"{place} showed nothing, yet with {with_out} out {tried.after.place} {went}: both cannot be right. "
            "The try counts for more, a probe beside the test point is the usual reason. "
            "Read it again, and those beside it"
        )
    return (
        f"{place} showed {ampere(own.on_meter)}, yet with {with_out} out {tried.after.place} stayed at {total}: both "
        "cannot be right. The try counts for more, a slip to the fuse beside is the usual reason. "
        "Read it again, and those beside it"
    )


def unexplained_sentence(one: UnexplainedTry) -> str:
    """A try that nothing explains, and where its current comes through."""
    names = joined(one.tried.attempt.out)
    it = "them" if len(one.tried.attempt.out) > 1 else "it"
    look = "."
    if one.through:
        its = shortened(one.through, MOST_THROUGH)
        look = f". Its current comes through {its}: look there for what does not open, or lets some through."
    none = "nothing that is supposed here would do that. Something else does, or it is wired otherwise than typed in"
    return f"with {names} out the draw went, and with {it} in it came back: {none}{look}"


def contradicted_lines(diagnosis: Diagnosis, width: int) -> list[str]:
    """Readings that tries spoke against, where the answer has no other place for them."""
    said = [f"{contradicted_sentence(diagnosis, m)}." for m in diagnosis.misfits if m.against is not None]
    said += map(unexplained_sentence, diagnosis.unexplained_tries)
    return section("BUT", said, width) if said else []


def nothing_fits_lines(diagnosis: Diagnosis, width: int) -> list[str]:
    worst = [misfit.segment.readings[0].written for misfit in diagnosis.misfits[:2]]
    lines = wrapped(
        f"NOTHING FITS: no one cause, and no two, explain all that was read. What fits worst: {joined(worst)}.",
        width=width,
    )
    return lines + section("SO FAR", [seen_so_far(diagnosis)], width)

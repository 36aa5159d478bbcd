"""One try of a job in words: what it shows, its figures, and what is still to be done about it."""

from collections.abc import Iterator

from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import has_fallen
from circuitmap.jobs.standing import JobStanding
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.try_words import figures_words, out_words
from circuitmap.reports.words.contact_words import contact_words
from circuitmap.reports.words.hands_off_words import why_words
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of

VERDICT_WORDS = {
    "proven": "PROVEN",
    "involved": "INVOLVED, NOT YET GUILTY",
    "part": "PART OF THE DRAW",
    "own-share": "ONLY ITS OWN SHARE",
    "feeds-all": "PROVES NOTHING",
    "cleared": "CLEARED",
    "too-early": "TOO EARLY",
    "woke-it": "WOKE IT, DOESN'T COUNT",
    "gone-by-itself": "GONE BY ITSELF, NOT REPAIRED",
    "cannot-tell": "CAN'T TELL",
    "own-clock": "ITS OWN CLOCK, NO FAULT",
}


def verdict_words(one: TryVerdict) -> str:
    """What a try shows. A switch that was turned, and took the draw with it, and is left so, is what was done about it,
    not what is blamed."""
    return "TURNED, AND LEFT SO" if one.needs == ("left-so",) and not one.failed else VERDICT_WORDS[one.verdict]


def is_closed(standing: JobStanding) -> bool:
    """Whether what was tried before the vehicle was mended needs nothing more: it draws no longer."""
    return bool(standing.mended) and standing.stage != "not-repaired"


def needs_nothing(standing: JobStanding, one: TryVerdict) -> bool:
    """Whether nothing is to be done about a try: its job is closed, or it is over, and the vehicle is left alone until
    it sleeps."""
    return (is_closed(standing) and one in standing.tries) or (one.over and standing.asleep_soon)


def try_sentence(platform: Platform, one: TryVerdict, clock: Clock, closed: bool = False) -> str:
    """One try with its figures, and what to do about it unless the job is `closed`."""
    words = f"{verdict_words(one)}: {out_words(platform, one)}: {figures_words(one)}."
    said = " ".join([words, *_what_it_shows(one), *(() if closed else _what_is_to_do(platform, one, clock))])
    return f"{said} {left_alone(one)} should not have been touched: hands off." if one.hands_off else said


def _what_it_shows(one: TryVerdict) -> Iterator[str]:
    fine = is_fine(one.after)
    if one.wait is not None:
        return
    if one.reason == "read-since":
        shown = joined([f"{its.place} {_shown(its)}" for its in one.read_since])
        yield f"Nothing flows there asleep: {shown} since. It need not be out again."
    elif one.reason == "rose-asleep":
        yield "It rose: some parts draw more when what they talk to is gone. That refutes nothing."
    elif one.reason == "between":
        yield "Read between two events, when nothing draws with it in either: that says nothing."
    elif one.reason == "came":
        yield f"An event came without it{_own_of_it(one, fine)}."
    elif one.reason == "too-coarse":
        yield "The draw is too small for this meter to show that it goes."
    elif one.reason == "against-zero":
        yield f"Yet {joined(one.out)} had been read as showing nothing: one of the two is wrong."
    elif one.reason == "open-anyway":
        yield "That clears nothing: its contact is closed while parked, and out it is open, as it is when it fails."
    elif one.over_use and one.verdict == "involved" and one.back is None:
        yield "It was used with it out, and is quiet: not each use brings the draw."
    elif one.verdict == "part" and one.took is None:
        yield "It took some of it, how much was not written down: that is settled. The rest goes on without it."
    elif one.verdict == "part":
        yield (
            f"It took {ampere_words(one.took, fine)} of {ampere_words(one.before.amps if one.before else None, fine)}: "
            f"that much is settled. The rest, {ampere_words(one.left, fine)}, goes on without it."
        )
    elif one.verdict == "own-share":
        yield "That is no more than it takes itself; the rest goes on without it."
    elif one.verdict == "own-clock":
        yield "What comes and goes in the log came no more without it, and came again with it in: it is its own."
    elif one.verdict == "feeds-all":
        yield "Nearly everything hangs on that: it says only that the draw lies behind it."
    elif one.reason == "no-current":
        yield "One of the two readings gives no current."


def _own_of_it(one: TryVerdict, fine: bool) -> str:
    """What an event was less high without it, which it takes itself."""
    took = one.took or 0.0
    if took <= 2.0 * one.after.half_step:
        return ""
    return f"; {ampere_words(took, fine)} less is no more than it takes itself"


def _what_is_to_do(platform: Platform, one: TryVerdict, clock: Clock) -> Iterator[str]:
    if one.again is not None and one.verdict == "involved":
        yield again_sentence(platform, one, one.again, clock)
    elif one.over and one.reason == "not-asleep":
        yield "Take it out once more, and read when the vehicle has slept with it out."
    elif one.over and one.reason == "period":
        yield "Take it out once more while it is up, and read at once."
    elif one.wait is not None and one.reason == "not-asleep" and clock.is_open(one.after):
        yield "Lock it, let it sleep, and read again."
    elif one.wait is not None and _may_still_keep_awake(one):
        wait = clock.until(one.after, one.wait)
        yield f"None of the draw that would show flows through it; it may keep others awake. Wait {wait}, read again."
    elif one.wait is not None:
        yield f"Wait {clock.until(one.after, one.wait)} and read again."
    elif one.reason == "between":
        yield "With it out read in an event (during: event), or log until three were due."
    elif one.reason == "too-coarse":
        yield "Take a finer one."
    elif one.reason == "against-zero":
        yield "Put it back in first and see whether the draw comes back; if it does, take it out again."
    elif one.reason == "open-anyway" and not one.hands_off:
        switch = next((its for its in one.out if isinstance(platform.parts.get(its), Switch)), one.out[0])
        pins = contact_words(platform, switch) if isinstance(platform.parts.get(switch), Switch) else "its wires"
        yield (
            f"Bridge {pins} in the half of the plug with the wires instead, load off, with a fused jumper only, never "
            f"across a fuse: if the draw goes then, it is this switch or its plug (tested {switch} bad, else fine)."
        )


def _shown(reading: Reading) -> str:
    """`0.0 mV` as it was read."""
    if reading.drop is not None:
        return f"{1000.0 * reading.drop:.1f} mV"
    return ampere_words(reading.amps, is_fine(reading)) if reading.amps is not None else "nothing"


def _may_still_keep_awake(one: TryVerdict) -> bool:
    """Whether the draw of a sleeping vehicle went on at once, and only what falls asleep later is still open."""
    slept = one.before is None or one.before.speaks == "parked"
    early = one.verdict == "too-early" and one.reason == "not-asleep"
    return early and slept and not has_fallen(one.before, one.after)


def again_sentence(platform: Platform, one: TryVerdict, again: Reading, clock: Clock) -> str:
    """Why it does not count yet that the draw was said to be there `again`, and from when on it does."""
    wait = clock.until(again, clock.still_to_wait(again, sleep_of(platform)))
    return (
        f"That it is there again was said too early to count: {joined(one.out)}, in again, may wake something, which "
        f"takes current for a while. Wait {wait}, touch nothing, and read again."
    )


def left_alone(one: TryVerdict) -> str:
    """`CAB.F46 (restraint or pyrotechnic)`: what was out and is hands-off, with the reason."""
    return joined([why_words(name, its) for name, its in zip(one.hands_off, one.why_hands_off, strict=True)])

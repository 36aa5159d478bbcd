"""What was out, and the currents with it in and out, as words."""

from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.limit_words import ampere_words, figure_words, hours_words, is_fine
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.platform import Platform


def figures_words(one: TryVerdict) -> str:
    """`BAT 14.80 A with it, 0.04 A without, 14.80 A with it again, 0.04 A without again`."""
    turns = (
        ("before", "since", "then", "since") if one.turned else ("with it", "without", "with it again", "without again")
    )
    said = [
        f"{figure_words(f, is_fine(one.after))} {turns[min(n, 2 + n % 2)]}"
        for n, f in enumerate(one.figures)
        if n or f is not None
    ]
    beside = f" ({joined(one.beside)} still out)" if one.beside else ""
    used = " (used with it out)" if one.over_use and not one.back else ""
    return f"{one.place} {', '.join(said)}{used}{beside}{_logged(one)}{_by_itself(one)}"


def _by_itself(one: TryVerdict) -> str:
    """How likely what comes and goes had ended without what was out."""
    if one.verdict == "too-early":
        return ""
    if one.missed and one.took is not None and one.took > 0.0:
        return f" (due {'once' if one.missed == 1 else f'{one.missed} times'} by the clock meanwhile, and not come)"
    if one.ended <= 0.0:
        return ""
    times = "each time" if len(one.figures) > 3 else "just then"
    return f" (that it ended by itself {times}: {chance(one.ended)})"


def _logged(one: TryVerdict) -> str:
    """What a log showed that was made while it was out."""
    log = one.logged.log if one.logged is not None else None
    if log is None:
        return ""
    fine = is_fine(one.logged)
    long = f" of {hours_words(log.duration)}" if log.duration else ""
    return (
        f"; a log{long} without it: {ampere_words(log.mean, fine)} on average, {ampere_words(log.peak, fine)} at most"
    )


def out_words(platform: Platform, one: TryVerdict) -> str:
    if one.found_behind is not None:
        return f"the wiring behind {named(platform, one.out[0])}, found {one.found_behind}"
    at = dict(one.turned)
    return joined([f"{named(platform, name)}{f', turned to {at[name]}' if name in at else ''}" for name in one.out])

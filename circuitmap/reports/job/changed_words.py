"""A draw that changed between two steady looks although nothing was written down in between: what to ask."""

from collections.abc import Callable, Iterable, Iterator

from circuitmap.evidence.changed_itself import ChangedItself
from circuitmap.evidence.readings import Reading
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined, section


def changed_lines(changed: Iterable[ChangedItself], at: Callable[[Reading], str]) -> list[str]:
    """What to ask, and what was found that answers it. `at` gives the time of day of a reading, empty where the card
    does not."""
    changed = tuple(changed)
    asked = [one for one in changed if not (one.fell and one.found)]
    found = [one for one in changed if one.fell and one.found]
    return [*section("ASK", _asked(asked, at)), *section("LET GO", map(_let_go, found))]


def _let_go(one: ChangedItself) -> str:
    signs = joined([f"{name} was found {sign}" for name, sign in one.found])
    return (
        f"{_out(one)} {_went(one)} once {signs}: touched, it let go. That is found, not mended: put it right before "
        "its fuse is in again."
    )


def _out(one: ChangedItself) -> str:
    out = one.later.without
    return f"With the same out ({joined(out)})" if out else "With nothing done by the card"


def _went(one: ChangedItself) -> str:
    fine, went = is_fine(one.later), "fell" if one.fell else "rose"
    was, now = ampere_words(one.earlier.amps, fine), ampere_words(one.later.amps, fine)
    return f"{one.later.place} {went} from {was} to {now}"


def _asked(changed: Iterable[ChangedItself], at: Callable[[Reading], str]) -> Iterator[str]:
    for one in changed:
        later = one.later
        since, till = at(one.earlier), at(later)
        when = f" between {since} and {till}" if since and till else " in between"
        yield (
            f"{_out(one)} {_went(one)}, both steady: what else was switched, shut or taken off{when}? Write it "
            "(turned .., out ..)."
        )
        yield from (f'Entry {number} says: "{remark}".' for number, remark in one.remarks)
        if later.without:
            was = ampere_words(one.earlier.amps, is_fine(later))
            yield f"What went then did not go with {joined(later.without)}: that is held to {was}."

"""A draw that changed between two steady looks although nothing was written down in between: what to ask."""

from collections.abc import Callable, Iterable, Iterator

from circuitmap.evidence.changed_itself import ChangedItself
from circuitmap.evidence.readings import Reading
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined


def changed_sentences(changed: Iterable[ChangedItself], at: Callable[[Reading], str]) -> Iterator[str]:
    """`at` gives the time of day of a reading, empty where the card does not."""
    for one in changed:
        earlier, later, fine = one.earlier, one.later, is_fine(one.later)
        out = f"With the same out ({joined(later.without)})" if later.without else "With nothing done by the card"
        went = "fell" if (later.amps or 0.0) < (earlier.amps or 0.0) else "rose"
        since, till = at(earlier), at(later)
        when = f" between {since} and {till}" if since and till else " in between"
        was, now = ampere_words(earlier.amps, fine), ampere_words(later.amps, fine)
        yield (
            f"{out} {later.place} {went} from {was} to {now}, both steady: what else was switched, shut or taken off"
            f"{when}? Write it (turned .., out ..)."
        )
        yield from (f'Entry {number} says: "{remark}".' for number, remark in one.remarks)
        if later.without:
            yield f"What went then did not go with {joined(later.without)}: that is held to {was}."

"""How a load is fed, in a word or a line: constant, switched, put to sleep by a message only, not known."""

from circuitmap.power.classes import LoadClass
from circuitmap.reports.words.feed_words import AND_OTHERWISE, AND_PERHAPS_MORE, NOT_FOUND_OUT, changes_words
from circuitmap.reports.words.paragraphs import shortened


def class_words(its: LoadClass) -> str:
    """In a few words, for a list: `constant`, `constant; sleeps by BODY`, `switched: in run, start`."""
    match its.its:
        case "constant":
            return "constant"
        case "message-only":
            return f"constant; sleeps by {shortened(its.turned_off_by, 3)}"
        case "switched":
            when = changes_words(its.drawn_in or its.perhaps_in)
            if not when:
                return f"switched: {NOT_FOUND_OUT}" if its.cut_off else "switched: not known when"
            more = AND_PERHAPS_MORE if its.cut_off else AND_OTHERWISE if its.other_ways else ""
            return f"switched: {'' if its.drawn_in else 'maybe '}{when}{more}"
        case "not fitted":
            return "not fitted"
    return "not known (cut off)" if its.cut_off else "not known"

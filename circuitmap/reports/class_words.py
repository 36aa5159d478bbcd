"""How a load is fed, in a word or a line: constant, switched, put to sleep by a message only, not known."""

from circuitmap.power.classes import LoadClass
from circuitmap.reports.feed_words import changes_words
from circuitmap.reports.paragraphs import shortened


def class_words(its: LoadClass) -> str:
    """In a few words, for a list: `constant`, `constant; sleeps by BODY`, `switched: in run, start`."""
    match its.its:
        case "constant":
            return "constant"
        case "message-only":
            return f"constant; sleeps by {shortened(its.turned_off_by, 3)}"
        case "switched":
            when = changes_words(its.drawn_in or its.perhaps_in)
            more = ", and perhaps with more" if its.cut_off else ""
            return f"switched: {'' if its.drawn_in else 'maybe '}{when}{more}" if when else "switched: not known when"
        case "not fitted":
            return "not fitted"
    return "not known"

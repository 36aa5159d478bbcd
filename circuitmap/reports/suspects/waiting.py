"""What is left to do while something is out for too short a time to say anything: nothing but to wait."""

from collections.abc import Sequence

from circuitmap.diagnosis.next_test.next_tests import NextTests
from circuitmap.reports.suspects.proving import MOST_PUT_IN
from circuitmap.reports.words.paragraphs import joined


def wait_words(tests: NextTests, long: str) -> str:
    """What is waited for, and what either outcome says; `long` is for how long what comes and goes is waited for."""
    it = _called(tests.waits)
    until = "Until then nothing is opened, unplugged, pulled or put back."
    if tests.sleeps_at is not None:
        return (
            f"Leave {it} out, lock the vehicle and leave it alone, and read {tests.place} again at "
            f"{clock_words(tests.sleeps_at)}: what {it} may have kept awake sleeps by then, not before. As now: it was "
            f"not {it}. Gone, or less: it was, and is proven by putting it back. {until}"
        )
    return (
        f"Leave {it} out and wait: {long}, the total logged or watched. Comes again: not {it}. Stays away: it is, and "
        "is proven by putting it back. Until then nothing else is opened, unplugged or pulled."
    )


def clock_words(minute: float) -> str:
    """`12:08` for a minute of a card's clock."""
    return "{}:{:02d}".format(*divmod(round(minute) % (24 * 60), 60))


def _called(out: Sequence[str]) -> str:
    return joined(list(out)) if len(out) < MOST_PUT_IN else "all that is out"

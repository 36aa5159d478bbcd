"""How much one platform may say, and how much work its slips may make."""

from circuitmap.effort import Effort
from circuitmap.failures import LimitReached

MOST_STATEMENTS = 5_000
"""Statements of one platform (judgement: eight times the largest sample; `tests/limits` holds that with so many every
command keeps what is promised)."""
MOST_WORDS = 150_000
"""Words of all statements of one platform, each name of a row counted."""
MOST_MENDING = 1_000_000
"""Characters that are read while it is found out what slips were meant to say, in all files of one platform (judgement:
some seconds)."""
MOST_MENDING_OF_ONE = 100_000
"""The same for one statement."""


class RoomLeft:
    """What is left for the files of one platform."""

    def __init__(self) -> None:
        self.mending = Effort(MOST_MENDING)
        self._statements = self._words = 0

    def count_statements(self, more: int) -> None:
        self._statements += more
        if self._statements > MOST_STATEMENTS:
            raise LimitReached(
                f"There are more than {MOST_STATEMENTS:,} statements in this folder.",
                "A platform is one vehicle; a folder holds one platform.",
            )

    def count_words(self, more: int) -> None:
        self._words += more
        if self._words > MOST_WORDS:
            raise LimitReached(
                f"The statements in this folder have more than {MOST_WORDS:,} words, the names of rows counted.",
                "A platform is one vehicle; a folder holds one platform.",
            )

    def mending_of_one(self) -> Effort:
        """The work that the next statement may make."""
        return Effort(min(MOST_MENDING_OF_ONE, self.mending.left))

    def mended(self, effort: Effort) -> None:
        """Take off what it did make."""
        self.mending.spend(min(MOST_MENDING_OF_ONE, self.mending.left) - effort.left)

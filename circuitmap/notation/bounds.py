"""How much one platform may say, and how much work its slips may make."""

from circuitmap.effort import Effort
from circuitmap.failures import LimitReached

MOST_STATEMENTS = 5_000
"""How many statements one platform may have (judgement: eight times the largest sample; `tests/limits` checks that with
this many every command still keeps what is promised)."""
MOST_WORDS = 150_000
"""How many words the statements of one platform may have, counting each name of a row."""
MOST_MENDING = 1_000_000
"""How many characters are read to find out what slips were meant to say, in all files of one platform (judgement: some
seconds)."""
MOST_MENDING_OF_ONE = 100_000
"""The same for one statement."""


class RoomLeft:
    """What is still left of these bounds for the files of one platform."""

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
        """Take off the work that it did make."""
        self.mending.spend(min(MOST_MENDING_OF_ONE, self.mending.left) - effort.left)

    def add(self, other: "RoomLeft") -> None:
        """Count what was counted apart, for a file that was read before; raises as counting it here would have."""
        self.count_statements(other._statements)
        self.count_words(other._words)
        self.mending.spend(MOST_MENDING - other.mending.left)

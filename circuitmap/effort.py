"""How much work an answer may cost: counted, not timed, so that it ends at the same place on every machine."""


class Effort:
    """What is left of a bounded amount of work. Whoever does a piece of it spends what it cost, and stops, saying so
    in the answer, once nothing is left."""

    __slots__ = ("left",)

    def __init__(self, most: int) -> None:
        self.left = most

    def spend(self, units: int) -> bool:
        """Take off what a piece of work costs; returns whether there was enough left for it."""
        self.left -= units
        return self.left >= 0

    @property
    def used_up(self) -> bool:
        return self.left < 0

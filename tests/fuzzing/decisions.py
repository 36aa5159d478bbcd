"""Bytes as decisions: each byte decides one thing, so that a small change of the bytes is one of what is made of them."""

from collections.abc import Sequence
from typing import TypeVar

Item = TypeVar("Item")


class Decisions:
    """When the bytes are used up, every decision is the first one."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        self._at = 0

    def number(self, below: int) -> int:
        if self._at >= len(self._data):
            return 0
        self._at += 1
        return self._data[self._at - 1] % below

    def one_of(self, items: Sequence[Item]) -> Item:
        return items[self.number(len(items))]

    def some_of(self, items: Sequence[Item], most: int) -> list[Item]:
        return [self.one_of(items) for _ in range(self.number(most + 1))]

    def text(self, length: int) -> str:
        """The next bytes as they are."""
        taken = self._data[self._at : self._at + length]
        self._at += length
        return taken.decode("utf-8", "replace")

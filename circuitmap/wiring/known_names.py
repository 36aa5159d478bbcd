"""Known names, looked up by any tail of them: made once, and asked for every name on a card."""

from collections.abc import Iterable
from functools import cached_property

from circuitmap.notation.names import DEEPEST_NAME
from circuitmap.wiring.near_names import NearNames


class KnownNames:
    """Names in their order; `having_tail` costs the same however many there are."""

    def __init__(self, names: Iterable[str]) -> None:
        self.names = tuple(names)
        self._whole = frozenset(self.names)

    def __contains__(self, text: str) -> bool:
        return text in self._whole

    def having_tail(self, text: str) -> tuple[str, ...]:
        """The names that are `text` or end in it after a point."""
        return tuple(self._by_tail.get(text, ()))

    def having_tail_in_any_case(self, text: str) -> tuple[str, ...]:
        """The same, in upper or lower case."""
        return tuple(self._by_small_tail.get(text.casefold(), ()))

    @cached_property
    def near(self) -> NearNames:
        """The index of near names; open ends have no name that anybody types."""
        return NearNames(name for name in self.names if not name.startswith("?"))

    @cached_property
    def near_tails(self) -> NearNames:
        """The same for the last level of each name."""
        return NearNames(self.by_last_level)

    @cached_property
    def by_last_level(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for name in self.near.names:
            found.setdefault(name.rpartition(".")[2], []).append(name)
        return found

    @cached_property
    def _by_tail(self) -> dict[str, list[str]]:
        return _by_tails(self.names, self.names)

    @cached_property
    def _by_small_tail(self) -> dict[str, list[str]]:
        return _by_tails(self.names, (name.casefold() for name in self.names))


def _by_tails(names: Iterable[str], written: Iterable[str]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, its in zip(names, written, strict=True):
        found.setdefault(its, []).append(name)
        at = len(its)
        for _ in range(DEEPEST_NAME):  # a name of more levels is an error already; it must not cost more for that
            at = its.rfind(".", 0, at)
            if at < 0:
                break
            found.setdefault(its[at + 1 :], []).append(name)
    return found

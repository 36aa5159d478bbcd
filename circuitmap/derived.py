"""What is worked out from a value that never changes: worked out once, and kept as long as the value."""

from collections.abc import Callable
from functools import cached_property
from typing import Any, Self, TypeVar

T = TypeVar("T")


class Derives:
    """A value from which others derive things that it does not know itself, such as the tables that `power` derives
    from a circuit.

    What is derived is not part of the value: it is not a field, and a changed copy begins without it.
    """

    @cached_property
    def _derived(self) -> dict[Callable[..., Any], Any]:
        return {}

    def derived(self, make: Callable[[Self], T]) -> T:
        """What `make`, a class or a function of a module, makes of this value: made on the first call."""
        kept = self._derived
        if make not in kept:
            kept[make] = make(self)
        found: T = kept[make]
        return found

    def derived_before(self, make: Callable[[Self], T], its: T) -> None:
        """Keep what `make` made of an equal value, so that it need not be made again."""
        self._derived[make] = its

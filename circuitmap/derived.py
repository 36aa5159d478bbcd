"""What is worked out of a value that never changes: once, and kept as long as the value."""

from collections.abc import Callable
from functools import cached_property
from typing import Any, Self, TypeVar

T = TypeVar("T")


class Derives:
    """A value that others derive things from which it does not know itself, such as a circuit its tables of power.

    Nothing that is derived is part of the value: it is no field, and a changed copy begins with none of it.
    """

    @cached_property
    def _derived(self) -> dict[Callable[..., Any], Any]:
        return {}

    def derived(self, make: Callable[[Self], T]) -> T:
        """What `make`, a class or a function of a module, makes of this value: made at the first call."""
        kept = self._derived
        if make not in kept:
            kept[make] = make(self)
        found: T = kept[make]
        return found

"""How much of a long row of random cases every run of the tests takes; the rest is tried on demand."""

from collections.abc import Iterable
from typing import Any

import pytest


def always(first: int, values: Iterable[Any]) -> list[Any]:
    """The first so many values for every run, the others with the mark `on_demand`: for `parametrize`."""
    return [value if n < first else pytest.param(value, marks=pytest.mark.on_demand) for n, value in enumerate(values)]

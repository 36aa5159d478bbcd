"""A minute of plain fuzzing with every run of the tests; `python -m tests.fuzzing` goes on for as long as wanted."""

from random import Random

import pytest

from tests.fuzzing.targets import TARGETS, corpus, mutated

INPUTS = {"notation": 400, "card": 1500, "card-line": 1500, "reading": 6000, "merge": 400, "tidy": 600, "share": 60}
"""Inputs of each, so that each takes less than ten seconds or so."""


@pytest.mark.parametrize("name", TARGETS)
def test_no_input_breaks_a_law(name: str) -> None:
    random, seeds = Random(f"every run: {name}"), corpus()
    for _ in range(INPUTS[name]):
        TARGETS[name](mutated(random, seeds))

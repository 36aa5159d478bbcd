"""A few of the random cards; `python -m tests.diagnosis.random_cards 100000` does a hundred thousand."""

import pytest

from tests.diagnosis.random_cards import one


@pytest.mark.parametrize("block", range(10))
def test_any_card_gets_an_answer_whose_figures_make_sense(block: int) -> None:
    for seed in range(block * 40, block * 40 + 25):
        one(seed)

"""A few hundred lines and customers in the ordinary suite, and that the laws notice what breaks them."""

import random

import pytest

from circuitmap.jobs import customer_found, short_line
from tests.fuzzing.card_lines import fuzz_card_line
from tests.fuzzing.sharing import fuzz_share


def bytes_from(seed: int, most: int) -> bytes:
    chance = random.Random(seed)
    return chance.randbytes(chance.randint(0, most))


@pytest.mark.parametrize("part", range(4))
def test_lines_are_read_or_refused_and_nothing_is_lost(part: int) -> None:
    for seed in range(part * 250, part * 250 + 250):
        fuzz_card_line(bytes_from(seed, 60))


@pytest.mark.parametrize("part", range(4))
def test_nothing_of_the_customer_is_left(part: int) -> None:
    for seed in range(part * 50, part * 50 + 50):
        fuzz_share(bytes_from(seed, 300))


def test_a_reading_that_is_lost_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The later of two readings of one place, kept in silence."""
    monkeypatch.setattr(short_line, "_add", lambda line, place, value, words: line.read.update({place: value}))
    with pytest.raises(AssertionError, match="the amount"):
        for seed in range(1_000):
            fuzz_card_line(bytes_from(seed, 60))


def test_a_name_that_is_left_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(customer_found, "with_short_umlauts", lambda its: customer_found.folded(""))
    with pytest.raises(AssertionError, match="left"):
        for seed in range(300):
            fuzz_share(bytes_from(seed, 300))

"""Which items of two sequences are the same: a longest common subsequence where the input is small, and never a wrong
match."""

from functools import cache
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.changes import alignment as module
from circuitmap.changes.alignment import MOST_ITEMS, alignment

few = st.lists(st.sampled_from("abcd"), max_size=14)
many = st.lists(st.sampled_from("abcdefghij"), max_size=40)


def longest_common(a: list[str], b: list[str]) -> int:
    """Computed by the definition, for comparison."""

    @cache
    def length(i: int, j: int) -> int:
        if i == len(a) or j == len(b):
            return 0
        return 1 + length(i + 1, j + 1) if a[i] == b[j] else max(length(i + 1, j), length(i, j + 1))

    return length(0, 0)


def assert_sound(a: list[str], b: list[str], runs: list[tuple[int, int, int]]) -> None:
    end_a = end_b = 0
    for i, j, length in runs:
        assert length > 0 and i >= end_a and j >= end_b
        assert a[i : i + length] == b[j : j + length]
        end_a, end_b = i + length, j + length
    assert end_a <= len(a) and end_b <= len(b)


@given(few, few)
def test_it_is_as_long_as_can_be(a: list[str], b: list[str]):
    runs = alignment(a, b)
    assert_sound(a, b, runs)
    assert sum(length for _, _, length in runs) == longest_common(a, b)


@given(many, many)
@settings(max_examples=200)
def test_what_is_large_is_parted_by_what_it_holds_once(a: list[str], b: list[str]):
    before = module.MOST_CELLS
    module.MOST_CELLS = 4
    try:
        runs = alignment(a, b)
    finally:
        module.MOST_CELLS = before
    assert_sound(a, b, runs)


def test_no_short_pair_is_too_much_for_it():
    for a, b in product(("", "a", "ab", "ba", "aab"), repeat=2):
        assert_sound(list(a), list(b), alignment(a, b))


def test_of_very_many_items_the_equal_ends_are_matched():
    middle = [str(number) for number in range(MOST_ITEMS)]
    a, b = ["x", *middle, "y", "z"], ["x", *reversed(middle), "z"]
    assert alignment(a, b) == [(0, 0, 1), (MOST_ITEMS + 2, MOST_ITEMS + 1, 1)]

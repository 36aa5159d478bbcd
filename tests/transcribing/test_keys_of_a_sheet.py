"""A sheet of forty wires each way: the same wires come out, and the page of keys is what is counted."""

import pytest

from circuitmap.flows.questions import open_platform
from tests.transcribing.keys_of_a_sheet import PAGE, OneWay, counted, page_of, wires_of
from tests.transcribing.typing_shop import FORTY


@pytest.fixture(scope="module")
def ways() -> list[OneWay]:
    return counted()


def test_each_way_gives_the_same_forty_wires(ways: list[OneWay]) -> None:
    by_hand = wires_of(open_platform(FORTY.parent))
    assert len(by_hand) == 40
    for way in ways:
        assert wires_of(way.platform) == by_hand, way.name


def test_each_way_costs_fewer_keys_than_the_one_before(ways: list[OneWay]) -> None:
    assert [way.keys for way in ways[:2]] == sorted((way.keys for way in ways[:2]), reverse=True)
    assert ways[1].keys <= 17 * 40 and max(way.keys for way in ways[2:]) < ways[1].keys / 5


def test_the_page_is_what_is_counted(ways: list[OneWay]) -> None:
    """After a change: `python -m tests.transcribing.keys_of_a_sheet`, and look at the difference."""
    assert PAGE.read_text("utf-8") == page_of(ways)

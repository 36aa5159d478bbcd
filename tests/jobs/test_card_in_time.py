"""Late entries stand where their time belongs, none is taken twice, and nothing else of the card moves."""

from datetime import datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitmap.evidence.job_card import ReadCard, read_card
from circuitmap.failures import WrongUse
from circuitmap.jobs.card_in_time import Sender, entry_with_id, with_entry_in_time, with_strike_of
from circuitmap.source import SourceFile

DAY = datetime(2026, 2, 3, 10, 0, 0)
BY_HAND = """# the shop's own words
platform: ../van
entries:
  # before lunch
  - at: 2026-02-03 10:00
    state: locked   # by the key
  - {at: "10:52", total: 0.4A}
  # the last one
  - at: 12:10
    remark: rain
"""


def card(text: str) -> ReadCard:
    return read_card(SourceFile("j.yaml", text))


def sent(number: int, at: datetime, by: str = "Ida") -> Sender:
    return Sender(by, f"device{number:08d}", at)


def remark(number: int) -> tuple[tuple[str, str], ...]:
    return (("remark", f"r{number}"),)


@pytest.mark.parametrize(
    ("clock", "place"), [("09:59:59", 0), ("10:00:00", 1), ("10:51:59", 1), ("10:52:30", 2), ("12:10:01", 3)]
)
def test_where_the_time_belongs(clock: str, place: int) -> None:
    at = datetime.fromisoformat(f"2026-02-03 {clock}")
    after, problems = with_entry_in_time(card(BY_HAND), sent(1, at), remark(1))
    assert not problems
    entry = after.entries[place]
    assert entry.remark and entry.remark.value == "r1" and entry.by and entry.by.value == "Ida"
    assert entry.at and entry.at.value == f"2026-02-03 {clock}"
    lines = after.source.text.splitlines()
    assert [line for line in lines if line in BY_HAND.splitlines()] == BY_HAND.splitlines()


def test_a_day_that_no_entry_says_is_that_of_the_last_one() -> None:
    text = 'entries:\n  - {at: "23:50", remark: a}\n  - {at: "00:10", remark: b}\n'
    late, _ = with_entry_in_time(card(text), sent(1, datetime(2026, 2, 4, 0, 5)), remark(1))
    assert [e.remark.value for e in late.entries if e.remark] == ["a", "r1", "b"]
    before, _ = with_entry_in_time(card(text), sent(1, datetime(2026, 2, 4, 0, 20)), remark(1))
    assert [e.remark.value for e in before.entries if e.remark] == ["a", "b", "r1"]


def test_what_comes_twice_is_taken_once_also_when_it_was_struck() -> None:
    once = with_entry_in_time(card("entries:\n"), sent(1, DAY), remark(1))
    assert with_entry_in_time(once, sent(1, DAY), remark(1)) is once
    struck = with_strike_of(once, sent(1, DAY).id, "a slip")
    assert with_entry_in_time(struck, sent(1, DAY), remark(1)) is struck
    assert entry_with_id(struck[0], sent(1, DAY).id) == 1
    with pytest.raises(WrongUse, match="no such entry"):
        with_strike_of(once, sent(2, DAY).id, "a slip")


@pytest.mark.parametrize("its_id", ["", "short", "a" * 41, "Device00000001", "device 0000001", "device0000001\n"])
def test_an_id_has_a_form(its_id: str) -> None:
    with pytest.raises(WrongUse, match="id"):
        with_entry_in_time(card("entries:\n"), Sender("Ida", its_id, DAY), remark(1))


def test_any_order_of_arrival_gives_the_same_card() -> None:
    entries = [(n, DAY + timedelta(seconds=17 * n)) for n in range(5)]
    texts = set()
    for order in permutations(entries):
        read = card("platform: x\nentries:\n")
        for number, at in order:
            read = with_entry_in_time(read, sent(number, at), remark(number))
        texts.add(read[0].source.text)
    assert len(texts) == 1


@given(st.lists(st.tuples(st.integers(0, 4000), st.booleans()), max_size=12))
def test_times_only_run_forwards(arrivals: list[tuple[int, bool]]) -> None:
    read = card(BY_HAND)
    for number, (seconds, twice) in enumerate(arrivals):
        sender = sent(number, DAY + timedelta(seconds=seconds - 600))
        for _ in range(2 if twice else 1):
            read = with_entry_in_time(read, sender, remark(number))
    ids = [entry.id.value for entry in read[0].entries if entry.id]
    assert sorted(ids) == sorted(sent(n, DAY).id for n in range(len(arrivals)))
    again, problems = read_card(read[0].source)
    assert not problems and len(again.entries) == 3 + len(arrivals)
    minutes = [
        entry.at.value[-8:] if len(entry.at.value) > 5 else entry.at.value for entry in again.entries if entry.at
    ]
    clocks = [m if m.count(":") == 2 else f"{m[-5:]}:00" for m in minutes]
    assert clocks == sorted(clocks)

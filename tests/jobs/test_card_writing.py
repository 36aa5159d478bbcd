"""Entries are added and struck in the text; what somebody wrote by hand stays as it is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitmap.evidence.job_card import read_card
from circuitmap.failures import CannotRead, WrongUse
from circuitmap.jobs.card_writing import BrokenCard, bare, new_card
from circuitmap.source import SourceFile
from tests.card_texts import with_entry, with_strike

CARD = """\
job: "0412"          # from the order book
complaint: flat after two days
entries:
  - at: 10:02
    state: locked
  # the clamp was zeroed here
  - {at: 10:50, read: {F22: 0.46A}}
"""


def card(text: str) -> SourceFile:
    return SourceFile("job.yaml", text)


def test_an_entry_is_appended_and_nothing_else_moves() -> None:
    new = with_entry(card(CARD), (("at", "10:55"), ("read", (("F14", "1.0mV"),)), ("total", "0.62A")))
    assert new == CARD + "  - at: 10:55\n    read: {F14: 1.0mV}\n    total: 0.62A\n"


@pytest.mark.parametrize(
    "text",
    ["job: 1\nentries:\n", "job: 1\nentries: []\n", "job: 1\n", "job: 1", "entries: # none yet\njob: 1\n",
     "job: 1\r\nentries:\r\n- at: 10:02\r\n  state: locked\r\n"],
)  # fmt: skip
def test_the_first_entries_of_any_card(text: str) -> None:
    new = text
    for minute in (10, 11):
        new = with_entry(card(new), (("at", f"11:{minute}"), ("remark", "yes")))
    read, problems = read_card(card(new))
    assert not problems
    assert [entry.at.value for entry in read.entries if entry.at][-2:] == ["11:10", "11:11"]
    assert read.intake["job"].value == "1"


def test_a_struck_entry_keeps_what_it_said() -> None:
    for number, said in ((1, "struck: wrong car\n    at: 10:02"), (2, '{struck: "wrong car", at: 10:50')):
        new = with_strike(card(CARD), number, "wrong car")
        assert said in new
        entries = read_card(card(new))[0].entries
        assert [entry.struck is not None for entry in entries] == [number == 1, number == 2]


def test_striking_what_is_not_there_or_is_struck() -> None:
    with pytest.raises(WrongUse, match="no entry 3"):
        with_strike(card(CARD), 3, "x")
    with pytest.raises(WrongUse, match="struck already"):
        with_strike(card(with_strike(card(CARD), 1, "x")), 1, "y")
    with pytest.raises(WrongUse, match="needs a reason"):
        with_strike(card(CARD), 1, "  ")


def test_a_card_broken_by_hand_is_reported_with_its_place_and_left_alone() -> None:
    with pytest.raises(BrokenCard, match=r"job\.yaml:2:1: complain is not a key"):
        with_entry(card("job: 1\ncomplain: x\nentries:\n"), (("remark", "x"),))


def test_a_layout_that_cannot_be_appended_to_is_refused() -> None:
    with pytest.raises(CannotRead, match="by hand"):
        with_entry(card("job: 1\nentries: [{remark: a}, {remark: b}]\n"), (("remark", "x"),))


texts = st.text(max_size=60)


@given(st.lists(st.tuples(st.sampled_from(("remark", "claim", "cause", "photo")), texts), max_size=6), texts)
def test_any_text_comes_back_as_it_was(entries: list[tuple[str, str]], complaint: str) -> None:
    text = new_card((("job", "1"), ("complaint", complaint)))
    kept = []
    for key, value in entries:
        text = with_entry(card(text), (("at", "10:50"), (key, value)))
        kept.append(value)
    read, problems = read_card(card(text))
    assert not problems
    said = [getattr(entry, key) for entry, (key, _) in zip(read.entries, entries, strict=True)]
    shown = [text.value if text is not None else "" for text in said]
    for got, wanted in zip(shown, kept, strict=True):
        assert got == (wanted if wanted.strip() else "")


@given(st.data())
def test_entries_and_strikes_never_change_another_entry(data: st.DataObject) -> None:
    text = CARD
    for _ in range(data.draw(st.integers(1, 5))):
        before = read_card(card(text))[0].entries
        open_numbers = [n for n, entry in enumerate(before, 1) if entry.struck is None]
        if open_numbers and data.draw(st.booleans()):
            number = data.draw(st.sampled_from(open_numbers))
            text = with_strike(card(text), number, data.draw(texts.filter(str.strip)))
            changed = number - 1
        else:
            text = with_entry(card(text), (("remark", data.draw(texts)), ("at", "12:00")))
            changed = len(before)
        after = read_card(card(text))[0].entries
        assert [bare(e) for n, e in enumerate(before) if n != changed] == [
            bare(e) for n, e in enumerate(after) if n != changed
        ]

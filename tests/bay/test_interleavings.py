"""Any interleaving of several phones, any delay, any answer that gets lost, any restart: each entry once, by whoever
typed it, where its time belongs."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.evidence.job_card import read_card
from circuitmap.flows.desk import Desk
from circuitmap.flows.sent import Sent
from circuitmap.jobs.job import card_source
from tests.bay.test_desk import CARD, MS, NOW, PLATFORM

WHO = ("Ida", "Tom", "Kit")


@dataclass
class Phone:
    """What waits on it, each with the second in which it was typed; its clock is wrong by so many milliseconds."""

    who: str
    wrong: int
    waiting: list[tuple[str, int]] = field(default_factory=list)

    def sends(self, second: int) -> list[Sent]:
        return [
            Sent(its_id, f"remark {its_id}", MS + self.wrong + 1000 * typed)
            for its_id, typed in self.waiting[:20]
            if typed <= second
        ]


typed_entries = st.lists(
    st.tuples(st.sampled_from(range(len(WHO))), st.integers(0, 7200)), min_size=1, max_size=12
)  # fmt: skip
deliveries = st.lists(
    st.tuples(st.integers(0, 9000), st.sampled_from(range(len(WHO))), st.booleans(), st.booleans()), max_size=15
)


@settings(max_examples=40, deadline=None)
@given(typed_entries, deliveries, st.lists(st.integers(-(10**8), 10**10), min_size=3, max_size=3))
def test_each_once_and_in_time(
    tmp_path_factory: pytest.TempPathFactory,
    typed: list[tuple[int, int]],
    attempts: list[tuple[int, int, bool, bool]],
    wrong: list[int],
) -> None:
    shop = tmp_path_factory.mktemp("shop")
    (shop / "camper").mkdir()
    (shop / "camper" / "all.circuit").write_text(PLATFORM)
    (shop / "job.yaml").write_text(CARD)
    phones = [Phone(who, off) for who, off in zip(WHO, wrong, strict=True)]
    for number, (who, second) in enumerate(sorted(typed, key=lambda its: its[1])):
        phones[who].waiting.append((f"device{number:08d}", second))
    wanted = {its_id: (phone.who, second) for phone in phones for its_id, second in phone.waiting}
    desk, key = opened(shop)
    end = [(9001, who, False, False) for who in range(len(WHO))]
    for second, who, answer_lost, dies in [*sorted(attempts), *end]:
        phone = phones[who]
        batch = phone.sends(second)
        if batch:
            now = NOW + timedelta(seconds=second)
            done = desk.add(key, phone.who, batch, MS + phone.wrong + 1000 * second, now)
            assert {its.outcome for its in done.taken} <= {"kept", "known"}
            if not answer_lost:
                taken = {its.id for its in done.taken}
                phone.waiting = [one for one in phone.waiting if one[0] not in taken]
        if dies:
            desk, key = opened(shop)
    card, problems = read_card(card_source(shop / "job.yaml"))
    assert not problems
    got = [entry for entry in card.entries if entry.id is not None]
    assert {e.id.value: e.by.value for e in got if e.id and e.by} == {i: who for i, (who, _) in wanted.items()}
    assert len(got) == len(wanted), "none lost, none doubled"
    times = [datetime.fromisoformat(e.at.value) for e in got if e.at]
    assert times == sorted(times)
    for entry, at in zip(got, times, strict=True):
        assert entry.id is not None
        meant = NOW + timedelta(seconds=wanted[entry.id.value][1])
        assert at == meant, "the time at which it was typed, by the clock of the desk"
    for phone in phones:  # what one phone typed in one second stands as it was typed
        mine = [e.id.value for e in got if e.by and e.id and e.by.value == phone.who]
        assert mine == sorted(mine)


def opened(shop: Path) -> tuple[Desk, str]:
    desk = Desk(shop / "job.yaml")
    [key] = desk.cards()
    return desk, key


def test_a_slow_line_does_not_turn_round_what_one_phone_typed(tmp_path: Path) -> None:
    """`out` is two seconds on its way, what came of it a tenth of one: it still stands behind."""
    (tmp_path / "camper").mkdir()
    (tmp_path / "camper" / "all.circuit").write_text(PLATFORM)
    (tmp_path / "job.yaml").write_text(CARD)
    desk, key = opened(tmp_path)

    def add(who: str, number: int, line: str, typed_ms: int, arrives: float) -> None:
        batch = [Sent(f"device{number:08d}", line, MS + typed_ms)]
        done = desk.add(key, who, batch, MS + typed_ms, NOW + timedelta(seconds=arrives))
        assert [its.outcome for its in done.taken] == ["kept"]

    add("Ida", 1, "total 0.6A", 0, 0.1)
    add("Ida", 2, "out F1", 60_000, 62.0)
    add("Ida", 3, "gone", 60_900, 61.0)
    add("Tom", 4, "remark seen by another", 60_950, 61.1)
    entries = read_card(card_source(tmp_path / "job.yaml"))[0].entries
    said = [(e.by.value, e.at.value[-8:]) for e in entries if e.by and e.at]
    assert said == [("Ida", "10:00:00"), ("Tom", "10:01:01"), ("Ida", "10:01:02"), ("Ida", "10:01:02")]
    assert entries[-2].out and entries[-1].change is not None

"""One wrong clock never locks a card: whoever is refused is told because of which entry, and how to go on; and that
works.

| on the card | what is promised |
|---|---|
| an entry of the year 9999 | every later one is refused with its number, and with the command that strikes it |
| that entry struck | the day goes on from the last one that counts |
| a day said by one entry and a time alone by the next | the one that said the day is named |
| a machine whose clock is behind | the same words, and `--at` |
| a time that runs backwards, written by hand | `card show` says which way out there is |
"""

import re
import shlex
from datetime import datetime
from pathlib import Path

import pytest

from circuitmap.flows import job as job_bench
from tests.cli.conftest import Run
from tests.robust.running import clear

INTAKE = "job: '1'\nplatform: van\ncomplaint: flat\nentries:\n"
NOW = datetime(2026, 2, 3, 11, 0)


@pytest.fixture
def shop(van: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    class Clock(datetime):
        @classmethod
        def now(cls, *_: object) -> datetime:  # type: ignore[override]
            return NOW

    monkeypatch.setattr(job_bench, "datetime", Clock)
    monkeypatch.chdir(van.parent)
    return van.parent


def card(shop: Path, *times: str, name: str = "job.yaml") -> str:
    entries = "".join(f"  - at: {time}\n    remark: number {n}\n" for n, time in enumerate(times, 1))
    (shop / name).write_text(INTAKE + entries)
    return name


def way_out(said: str) -> list[str]:
    """The command that a message offers, as a shell would split it."""
    found = re.search(r"circuitmap (card strike .* 'wrong clock')", said)
    assert found, said
    return shlex.split(found[1])


LATER = "9999-12-31 23:59"


@pytest.mark.parametrize(
    "words", [("remark later",), ("F2=0.4A",), ("locked",), ("remark later", "--at", "2026-02-03 12:00")]
)
@pytest.mark.parametrize("name", ["job.yaml", "Mrs Orford's van.yaml", "$(touch x).yaml", "-f.yaml"])
def test_a_card_with_an_entry_of_the_year_9999(name: str, words: tuple[str, ...], shop: Path, circuitmap: Run) -> None:
    name = f"./{name}" if name.startswith("-") else name
    card(shop, "2026-02-03 10:00", LATER, name=name)
    before = (shop / name).read_bytes()
    refused = circuitmap("card", "add", name, *words)
    clear(refused, 2, "Entry 2", LATER, "--at", "2026-02-03 1")
    assert (shop / name).read_bytes() == before
    assert circuitmap(*way_out(refused.err)).code == 0
    clear(circuitmap("card", "add", name, *words), 0)
    assert circuitmap("card", "show", name).code == 0


def test_a_time_alone_after_a_struck_day_is_on_the_day_that_counts(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "2026-02-03 10:00", LATER)
    refused = circuitmap("card", "add", name, "remark later", "--at", "12:00")
    clear(refused, 2, "entry 2", "If it is the next day")
    circuitmap(*way_out(refused.err))
    clear(circuitmap("card", "add", name, "remark later", "--at", "12:00"), 0)
    assert "at: 2026-02-03 12:00" in (shop / name).read_text()


def test_the_entry_that_said_the_day_is_named(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "2026-02-03 10:00", "9999-12-31 10:10", "10:20", "10:30")
    refused = circuitmap("card", "add", name, "remark later")
    clear(refused, 2, "Entry 2")
    assert circuitmap(*way_out(refused.err)).code == 0
    clear(circuitmap("card", "add", name, "remark later"), 0)
    assert circuitmap("card", "show", name).code == 0


def test_a_later_hour_of_the_same_day_is_the_last_entrys(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "2026-02-03 10:00", "22:00")
    refused = circuitmap("card", "add", name, "remark later")
    clear(refused, 2, "Entry 2", "2026-02-03 22:00", "the clock of this machine says 2026-02-03 11:00")
    assert circuitmap(*way_out(refused.err)).code == 0
    clear(circuitmap("card", "add", name, "remark later"), 0)


def test_several_wrong_clocks_are_struck_one_after_the_other(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "2026-02-03 10:00", *(f"{year}-01-01 00:00" for year in (2031, 2500, 9999)))
    for number in (4, 3, 2):
        refused = circuitmap("card", "add", name, "remark later")
        clear(refused, 2, f"Entry {number}")
        circuitmap(*way_out(refused.err))
    clear(circuitmap("card", "add", name, "remark later"), 0)


def test_a_machine_whose_clock_is_behind(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "2026-02-04 10:00")
    clear(circuitmap("card", "add", name, "remark x"), 2, "the clock of this machine says 2026-02-03 11:00", "--at")
    clear(circuitmap("card", "add", name, "remark x", "--at", "2026-02-04 10:30"), 0)


def test_a_card_written_by_hand_says_the_way_out_too(shop: Path, circuitmap: Run) -> None:
    name = card(shop, LATER, "2026-02-03 10:00")
    shown = circuitmap("card", "show", name)
    clear(shown, 1, "This entry is earlier than the one before it.", "circuitmap card strike")
    assert circuitmap("card", "strike", name, "1", "wrong clock").code == 0
    assert circuitmap("card", "show", name).code == 0


def test_a_card_without_days_goes_on_as_before(shop: Path, circuitmap: Run) -> None:
    name = card(shop, "22:00")
    clear(circuitmap("card", "add", name, "remark x", "--at", "22:30"), 0)
    clear(
        circuitmap("card", "add", name, "remark x", "--at", "9:00"),
        2,
        "earlier than the entry before it (22:30)",
        "next day",
    )
    clear(circuitmap("card", "add", name, "remark x", "--at", "2026-02-04 9:00"), 0)

"""A new entry is never earlier than the one before, and never on the next day unless that is said."""

from datetime import datetime

import pytest

from circuitmap.evidence.job_card import JobCard, read_card
from circuitmap.failures import WrongUse
from circuitmap.jobs.entry_time import time_of_entry
from circuitmap.source import SourceFile

NOW = datetime(2026, 2, 3, 9, 5)


def card(*times: str) -> JobCard:
    entries = "".join(f'  - {{at: "{time}", state: locked}}\n' for time in times)
    return read_card(SourceFile("j.yaml", f"entries:\n{entries}"))[0]


@pytest.mark.parametrize(
    ("before", "said", "written"),
    [
        ((), "", "2026-02-03 09:05"),
        ((), "8:50", "2026-02-03 08:50"),
        (("2026-02-01 10:00",), "10:30", "2026-02-01 10:30"),
        (("2026-02-01 10:00", "11:00"), "11:30", "2026-02-01 11:30"),
        (("10:00",), "10:30", "10:30"),
        (("10:00",), "2026-02-04 07:00", "2026-02-04 07:00"),
    ],
)
def test_times(before: tuple[str, ...], said: str, written: str) -> None:
    assert time_of_entry(card(*before), said, NOW) == written


@pytest.mark.parametrize(
    ("before", "said", "message"),
    [
        (("2026-02-01 12:21",), "9:00", "earlier than the entry before it .12:21."),
        (("12:21",), "09:00", "earlier"),
        ((), "25:00", "not a time"),
        ((), "soon", "not a time"),
    ],
)
def test_times_that_make_no_sense(before: tuple[str, ...], said: str, message: str) -> None:
    with pytest.raises(WrongUse, match=message):
        time_of_entry(card(*before), said, NOW)

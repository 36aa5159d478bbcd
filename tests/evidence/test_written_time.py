"""Times as they are written on a card."""

import pytest

from circuitmap.evidence.entry_clock import minute_of
from circuitmap.evidence.written_time import written_time


@pytest.mark.parametrize(
    ("text", "day", "minutes", "clock"),
    [
        ("10:50", "", 650.0, "10:50"),
        ("9:05", "", 545.0, "09:05"),
        ("10:50:30", "", 650.5, "10:50:30"),
        ("2026-11-24 23:59:59", "2026-11-24", 1439 + 59 / 60, "23:59:59"),
        ("2026-11-24T00:00", "2026-11-24", 0.0, "00:00"),
    ],
)
def test_times(text: str, day: str, minutes: float, clock: str) -> None:
    time = written_time(text)
    assert time is not None
    assert (time.day, time.minutes, time.clock) == (day, pytest.approx(minutes), clock)


@pytest.mark.parametrize("text", ["", "10", "24:00", "10:60", "10:50:60", "10:50:1", "26-11-24 10:50", "10:50 Uhr"])
def test_what_is_no_time(text: str) -> None:
    assert written_time(text) is None


def test_every_second_of_a_day_comes_back_as_it_was() -> None:
    for second in range(0, 86_400, 7):
        clock = f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
        time = written_time(clock)
        assert time is not None and time.clock == clock


def test_a_minute_below_its_seconds_is_not_the_day_before() -> None:
    at = minute_of("10:52:07", minute_of("10:50", None))
    assert minute_of("10:52", at) == at
    assert minute_of("10:52:06", at) > at + 1400
    assert minute_of("10:51", at) > at + 1400

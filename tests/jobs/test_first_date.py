"""Entries without a date before the first that has one: they stand on the last days on which all is in its order, not
on a day of long ago. Source: by hand; a card that says 15:20 and then 2026-11-11 07:00 has 15 h 40 min between."""

import pytest

from circuitmap.evidence.entry_clock import first_day, minute_of
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.written_time import A_DAY
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import standing

COOLBOX = """\
platform "Ostrey Plover" sleep 5min..20min limit 40mA
battery BAT 95Ah
fuse F1 15A mini
relay K1 "cooler relay" make
"""
UNDATED = (
    "at: 10:00, state: locked, meter: low-current clamp", "at: 10:30, read: {BAT: 1.4A}", "at: 10:31, out: [K1]",
    "at: 11:00, read: {BAT: 0.02A}", "at: 11:10, back: [K1]", "at: 11:20, mended: new relay", "at: 15:20, state: locked",
)  # fmt: skip


@pytest.fixture(scope="module")
def coolbox() -> Platform:
    return platform_of([read_text(SourceFile("c.circuit", COOLBOX))[0]])


def night(long: str, day: str = "2026-11-11") -> str:
    return f"at: {day} 07:00, log: {{place: BAT, floor: 0.01A, peak: 0.3A, mean: 0.02A, for: {long}}}"


@pytest.mark.parametrize("day", ["2026-11-11", "2026-03-01", "2024-02-29"])
def test_a_log_longer_than_the_night_shows_nothing(coolbox: Platform, day: str) -> None:
    its = standing(coolbox, *UNDATED, night("30h", day))
    assert (its.stage, its.after.why) == ("mended", "no-room")
    assert "15 h 3" in mended_headline(coolbox, its)
    assert standing(coolbox, *UNDATED, night("15h", day)).stage == "repaired"


def test_it_is_as_though_the_days_were_written(coolbox: Platform) -> None:
    dated = tuple(entry.replace("at: ", "at: 2026-11-10 ") for entry in UNDATED)
    for long in ("15h", "30h"):
        assert mended_headline(coolbox, standing(coolbox, *UNDATED, night(long))) == mended_headline(
            coolbox, standing(coolbox, *dated, night(long))
        )


@pytest.mark.parametrize(
    ("times", "days_before"),
    [
        (("08:00", "2026-11-11 09:00"), 0),
        (("08:00", "2026-11-11 07:00"), 1),
        (("22:00", "06:00", "2026-11-11 07:00"), 1),
        (("22:00", "06:00", "2026-11-11 05:00"), 2),
        (("22:00", "06:00", "05:00", "2026-11-11 07:00"), 2),
        (("07:00:30", "2026-11-11 07:00"), 0),  # the same minute
        (("07:00:30", "2026-11-11 07:00:10"), 1),
        (("2026-11-11 07:00", "08:00"), None),
        (("07:00", "08:00"), None),
        (("07:00", "2026-99-99 08:00"), None),
    ],
)
def test_the_day_of_the_first_time(times: tuple[str, ...], days_before: int | None) -> None:
    text = "entries:\n" + "".join(f"  - {{at: '{at}', state: locked}}\n" for at in times)
    card, problems = read_card(SourceFile("j.yaml", text))
    assert not problems
    first = first_day(card.entries)
    if days_before is None:
        assert first == 0.0
        return
    now: float | None = None
    for at in times:
        now = minute_of(at, now, first)
    assert now is not None
    assert now // A_DAY - first // A_DAY == days_before


def test_a_struck_entry_dates_nothing() -> None:
    text = "entries:\n  - {at: '08:00'}\n  - {at: '2026-11-11 09:00', struck: wrong day}\n  - {at: '10:00'}\n"
    card, _ = read_card(SourceFile("j.yaml", text))
    assert first_day(card.entries) == 0.0

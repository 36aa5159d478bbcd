"""Two things mended on one card: the second does not hide the first, and what took its share with it was no mistake."""

import pytest

from circuitmap.jobs.job import Job
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import bus, job  # noqa: F401

TWO = (
    'at: "10:00", state: locked, meter: low-current clamp', 'at: "11:20", total: 0.90A',
    'at: "11:30", out: [STEP]', 'at: "12:20", total: 0.30A', 'at: "12:30", out: [S12]', 'at: "13:20", total: 0.01A',
    'at: "13:30", back: [S12, STEP]', 'at: "13:40", cause: "S12 sticks", mended: "new S12"',
    'at: "14:00", state: locked',
)  # fmt: skip
STILL = 'at: "15:20", total: 0.60A'
SECOND = (
    'at: "15:30", cause: "STEP burns, its holder is bridged", mended: "STEP renewed"', 'at: "15:40", state: locked',
    'at: "17:00", total: 0.01A',
)  # fmt: skip


def told(bus: Platform, found: Job) -> str:  # noqa: F811
    return " ".join(" ".join(standing_text(bus, found.standing, Clock())).split())


def test_the_second_does_not_hide_the_first(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *TWO, STILL, *SECOND)
    text = told(bus, found)
    assert [(one.entry, one.its_share_is_gone) for one in found.standing.mendings] == [(8, True), (11, True)]
    assert (
        "MENDED Entry 8: new S12. The cause by the card: S12 sticks. S12: BAT 0.30 A with it, 0.010 A without" in text
    )
    assert "BAT 0.90 A before, 0.60 A since: its share is gone." in text
    assert "NOT YET GUILTY" not in text and "The cause by the card: STEP burns" in text


def test_what_took_its_share_is_not_struck(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *TWO, STILL)
    text = told(bus, found)
    assert found.standing.stage == "not-repaired" and found.standing.is_mended_in_part
    assert "S12, door contact: BAT" not in text and "Entry 8: new S12." in text
    (step,) = next_sentences(bus, found.standing)
    assert step.startswith("What was mended stays so") and "SO What was mended" in text


@pytest.mark.parametrize("total", ["0.88A", "0.80A"])
def test_what_took_nothing_may_be_struck(bus: Platform, total: str) -> None:  # noqa: F811
    found = job(bus, *TWO, STILL.replace("0.60A", total))
    assert not found.standing.is_mended_in_part and "MENDED Entry" not in told(bus, found)
    (step,) = next_sentences(bus, found.standing)
    assert "strike entry 8" in step

"""What had gone quiet by itself before anything was mended: a quiet night shows nothing of it, until the vehicle was used
again, and never where use had not brought it back before."""

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import VAN, standing

D1, D2 = "2026-03-01", "2026-03-02"
LOCKED = f"at: {D1} 08:00, state: locked, meter: low-current clamp"
DREW = f"at: {D1} 08:50, total: 1.19A"
OUT = (f"at: {D1} 09:02, out: [HEATER]", f"at: {D1} 09:45, total: 0.03A")
BACK = f"at: {D1} 09:47, back: [HEATER]"
SAID = f"at: {D1} 10:40, change: "
QUIET = f"at: {D1} 10:40, total: 0.03A"
USED = (f"at: {D1} 10:45, state: key on, remark: heater run", f"at: {D1} 11:00, state: locked")
MENDED = f"at: {D1} 12:00, mended: plug cleaned"
USED_SINCE = (f"at: {D1} 12:10, state: key on", f"at: {D1} 12:30, state: locked")
LOCK = f"at: {D1} 13:00, state: locked"
NIGHT = f"at: {D2} 07:00, log: {{floor: 0.03A, peak: 0.05A, mean: 0.03A, for: 15h}}"


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


@pytest.mark.parametrize(
    ("entries", "why"),
    [
        # out, and in again it did not come back
        ((LOCKED, DREW, *OUT, BACK, QUIET, MENDED, LOCK, NIGHT), "gone-by-itself"),
        ((LOCKED, DREW, *OUT, BACK, QUIET, MENDED, *USED_SINCE, NIGHT), ""),
        # nothing was out at all
        ((LOCKED, DREW, QUIET, MENDED, LOCK, NIGHT), "gone-by-itself"),
        # said without a figure
        ((LOCKED, DREW, OUT[0] + ", change: gone", BACK, SAID + "gone", MENDED, LOCK, NIGHT), "gone-by-itself"),
        ((LOCKED, DREW, OUT[0] + ", change: gone", BACK, SAID + "again", MENDED, LOCK, NIGHT), ""),
        # it had stayed away although it was used: use is not what brings it back
        ((LOCKED, DREW, QUIET, *USED, f"at: {D1} 11:50, total: 0.03A", MENDED, *USED_SINCE, NIGHT), "quiet-though-used"),
        # used, and it came again before it was mended
        ((LOCKED, DREW, QUIET, *USED, f"at: {D1} 11:50, total: 1.19A", MENDED, LOCK, NIGHT), ""),
        # asking the modules is no use of the vehicle
        (
            (LOCKED, DREW, QUIET, MENDED, f"at: {D1} 12:10, state: key on, scan: {{answers: [LIFT]}}", LOCK, NIGHT),
            "gone-by-itself",
        ),
        # it was there until something was mended before
        ((LOCKED, DREW, f"at: {D1} 09:00, mended: new fuse", QUIET, MENDED, LOCK, NIGHT), ""),
        # whatever took it was still out
        ((LOCKED, DREW, *OUT, f"at: {D1} 11:00, mended: new heater", BACK.replace("09:47", "11:10"), LOCK, NIGHT), ""),
    ],
)  # fmt: skip
def test_a_quiet_night_after_it(van: Platform, entries: tuple[str, ...], why: str) -> None:
    found = standing(van, *entries)
    assert (found.after.why, found.stage) == (why, "mended" if why else "repaired"), mended_headline(van, found)
    said, steps = mended_headline(van, found), " ".join(next_sentences(van, found))
    assert ("had gone by itself before anything was mended" in said) == bool(why)
    assert ("use it as its owner does" in steps) == (why == "gone-by-itself")


def test_what_was_read_after_it_shows_as_little(van: Platform) -> None:
    found = standing(van, LOCKED, DREW, QUIET, MENDED, LOCK, f"at: {D1} 14:00, total: 0.03A")
    assert "but so it was before it was mended" in mended_headline(van, found)
    there = standing(van, LOCKED, DREW, MENDED, LOCK, f"at: {D1} 14:00, total: 0.03A")
    assert "BAT 0.030 A (1.19 A before), asleep and steady: within the limit" in mended_headline(van, there)
    early = standing(van, LOCKED, DREW, MENDED, LOCK, f"at: {D1} 13:10, total: 0.03A")
    assert "at one moment: within the limit" in mended_headline(van, early)

"""What was out is in again by the words that say so of it: by what it is called, or as the only one that is out and the
cause. Invented sheets."""

import pytest

from circuitmap.evidence.put_right import put_right
from circuitmap.jobs.job import Job
from circuitmap.reports.pages.report import report_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform
from tests.jobs.test_found_cause import job

TRAILER = """\
platform "Vesper Haul 2" sleep 5min..10min limit 40mA
battery BAT 90Ah
fuse F1 10A mini, F2 15A mini, F3 20A mini
heater BEDH "bed heater, 24 W, upper bunk" supply 1 ground 2
lamp DLL "door lamp, left" supply 1 ground 2 running 5W
lamp DLR "door lamp, right" supply 1 ground 2 running 5W
switch LCK "hatch contact, in the lock" positions shut, open closes 1 to 2 in open
ground G1
BAT.+ -> F1 -> BEDH.1
BAT.+ -> F2 -> LCK.1
LCK.2 -> DLL.1
BAT.+ -> F3 -> DLR.1
BEDH.2 -> G1
DLL.2 -> G1
DLR.2 -> G1
BAT.- -> G1
"""


@pytest.fixture(scope="module")
def trailer() -> Platform:
    return platform(TRAILER)


@pytest.mark.parametrize(
    ("out", "words", "names"),
    [
        (("BEDH",), "bed heater renewed, battery charged", ("BEDH",)),
        (("BEDH",), "bed heater, 24 W, upper bunk renewed", ("BEDH",)),
        (("BEDH",), "new bed heater", ("BEDH",)),
        (("BEDH",), "bed heater was replaced", ("BEDH",)),
        (("BEDH",), "bed heater fuse renewed", ()),
        (("BEDH",), "bed heater plug renewed", ()),
        (("BEDH",), "bed heater off, new one ordered", ()),
        (("BEDH",), "new carpet under the bed heater", ()),
        (("LCK",), "hatch contact in the lock renewed", ("LCK",)),
        (("LCK",), "contact of the hatch freed", ("LCK",)),
        (("DLL",), "left door lamp renewed", ("DLL",)),
        (("DLL",), "right door lamp renewed", ()),
        (("DLL", "DLR"), "door lamp renewed", ()),
        (("DLL", "BEDH"), "door lamp and bed heater renewed", ("DLL", "BEDH")),
    ],
)
def test_a_part_is_put_back_by_what_it_is_called(
    trailer: Platform, out: tuple[str, ...], words: str, names: tuple[str, ...]
) -> None:
    assert set(put_right(trailer, words, out, ())) == set(names)


@pytest.mark.parametrize(
    ("out", "cause", "words", "names"),
    [
        (("LCK",), "LCK, stays closed", "lock with its contact renewed", ("LCK",)),
        (("LCK",), "hatch contact stays closed", "lock renewed", ("LCK",)),
        (("LCK",), "", "lock with its contact renewed", ()),
        (("LCK",), "BEDH, stays on", "lock with its contact renewed", ()),
        (("LCK", "BEDH"), "LCK, stays closed", "lock with its contact renewed", ()),
        (("LCK",), "LCK, stays closed", "lock ordered, trim refitted", ()),
        (("LCK",), "LCK, stays closed", "new bed heater", ()),
        (("LCK",), "LCK, stays closed", "new F2", ()),
        (("LCK",), "LCK, stays closed", "new fuse", ()),
        (("LCK",), "LCK, stays closed", "battery renewed", ()),
        (("LCK",), "wire from LCK chafed", "repaired", ()),
        (("LCK",), "LCK, stays closed", "lock to be renewed next week", ()),
        (("LCK",), "LCK, stays closed", "left open", ()),
    ],
)
def test_the_only_one_out_is_put_back_where_it_was_the_cause(
    trailer: Platform, out: tuple[str, ...], cause: str, words: str, names: tuple[str, ...]
) -> None:
    assert put_right(trailer, words, out, (), cause) == names


def told(its: Platform, words: str, cause: str = "LCK, stays closed") -> Job:
    return job(
        its, 'at: "17:00", state: locked, meter: low-current clamp', 'at: "18:20", total: 0.41A',
        'at: "18:30", out: [LCK]', 'at: "19:20", total: 0.01A', f'at: "19:30", cause: "{cause}"',
        f'at: "21:00", mended: "{words}"', 'at: "21:30", state: locked', 'at: "23:00", total: 0.01A',
        'at: "08:00", log: {floor: 0.01A, mean: 0.01A, peak: 0.02A, for: 9h}',
    )  # fmt: skip


def not_checked(found: Job) -> str:
    return " ".join(t for part in report_of(found).customer if part.heading == "Not checked" for t in part.sentences)


def test_the_night_counts_for_what_was_put_back_by_its_words(trailer: Platform) -> None:
    found = told(trailer, "lock with its contact renewed")
    assert (found.standing.still_out, found.standing.taken_in) == ((), ("LCK",))
    assert found.standing.stage == "repaired" and found.evidence.out == ()


def test_a_night_with_it_out_is_not_said_to_be_none(trailer: Platform) -> None:
    found = told(trailer, "lock unplugged, new one ordered")
    assert found.standing.still_out == ("LCK",)
    assert "A night's log is there" in not_checked(found) and "No night's log" not in not_checked(found)

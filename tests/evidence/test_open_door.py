"""A door that was opened is open until somebody writes that it was shut: the page says so, and where its contact wakes
the vehicle for as long as it is open, what is read meanwhile says nothing of the parked one."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import clock_of
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.door_contacts import wakes_while_open
from circuitmap.wiring.platform import Platform

NOTATION = """\
platform "Sedge Carrier" sleep 5min..10min limit 40mA
sheet "1" "All of it" whole
option RIGHT "right door"
battery BAT 90Ah
fuse F1 10A mini
module CABM "cab module" supply 1 ground 2 wake 5 by ground{LASTS} wake 6 by ground for ever asleep 2mA awake 200mA
switch DOOR "{CALLED}" positions shut, open closes 1 to case in open
switch BUZZ "seat button" positions off, pressed closes 1 to case in pressed
connector X1 cavities 2
diode D1 "door"
ground G
BAT.+ -> F1 -> CABM.1
CABM.5 -> X1.1 -> D1 -> DOOR.1
CABM.6 -> X1.2 -> BUZZ.1
CABM.2 -> G
BAT.- -> G
"""


def platform(lasts: str = " for ever", called: str = "door contact") -> Platform:
    text = NOTATION.replace("{LASTS}", lasts).replace("{CALLED}", called)
    notation, found = read_text(SourceFile("c.circuit", text))
    assert not found
    return platform_of([notation])


FOR_EVER, FOR_A_TIME = platform(), platform(" for 10min")


def job(its: Platform, *entries: str) -> Job:
    lines = ["job: 2", "platform: c", "entries:", *(f"  - {entry}" for entry in entries)]
    found = job_of(its, SourceFile("job.yaml", "\n".join(lines) + "\n"))
    assert not found.problems
    return found


def page(its: Job) -> str:
    return " ".join(" ".join(standing_text(its.platform, its.standing, clock_of(its))).split())


OPENED = ("{at: '08:40', state: door opened}", "{at: '08:42', total: 0.27A}")
LATER = "{at: '08:55', total: 0.27A, steady: yes}"


@pytest.mark.parametrize(
    ("its", "found"),
    [
        (FOR_EVER, ("DOOR",)),
        (FOR_A_TIME, ()),
        (platform(""), ()),  # nobody said how long
        (platform(called="bonnet contact"), ()),
    ],
)
def test_which_contact_wakes_as_long_as_it_is_open(its: Platform, found: tuple[str, ...]) -> None:
    assert wakes_while_open(its, {}) == found


def test_one_that_is_not_there_wakes_nobody() -> None:
    assert wakes_while_open(FOR_EVER, {}, ("DOOR",)) == wakes_while_open(FOR_EVER, {}, ("CABM",)) == ()


@pytest.mark.parametrize("its", [FOR_EVER, FOR_A_TIME])
def test_it_is_to_be_shut_before_anything_is_waited_for(its: Platform) -> None:
    found = job(its, *OPENED)
    said = page(found)
    assert "Shut the door, or hold its contact in, and write that down (locked, or door shut)." in said
    assert ("it stood open" in said) == (its is FOR_EVER)
    assert "Once the door is shut, let it sleep, then enter BAT again." in said and "Wait until" not in said
    assert job_json(found)["door_open"] is True


def test_what_is_read_with_the_door_open_is_no_draw_however_long_it_is_waited() -> None:
    assert [r.speaks for r in job(FOR_EVER, *OPENED, LATER).evidence.readings] == ["woken", "woken"]
    assert job(FOR_EVER, *OPENED, LATER).standing.stage == "not-read"
    assert job(FOR_A_TIME, *OPENED, LATER).standing.stage == "draws"


@pytest.mark.parametrize("state", ["locked", "door shut"])
def test_shut_or_locked_it_sleeps_again(state: str) -> None:
    shut = job(FOR_EVER, *OPENED, f"{{at: '08:45', state: {state}}}")
    assert job_json(shut)["door_open"] is False
    assert f"Wait until 8:5{5 if state == 'locked' else 0}, then enter BAT again." in page(shut)
    read = job(FOR_EVER, *OPENED, f"{{at: '08:45', state: {state}}}", LATER)
    assert read.evidence.readings[-1].speaks == "parked" and read.standing.stage == "draws"


def test_a_shut_door_locks_nothing_that_was_opened() -> None:
    entries = ("{at: '08:38', state: opened}", *OPENED, "{at: '08:45', state: door shut}", LATER)
    assert job(FOR_EVER, *entries).evidence.readings[-1].speaks == "woken"

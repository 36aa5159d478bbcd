"""One page names one time: what came too early waits until all of the vehicle sleeps by what was done last, and a try
that is over waits for nothing."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.jobs.trying import TryVerdict
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import clock_of
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.jobs.test_no_change_at_once import diagnosed

NOTATION = """\
platform "Alder Quay" sleep 10min..20min limit 40mA
sheet "1" "All of it" whole
battery BAT 90Ah
fuse F1 10A mini, F2 10A mini, F3 40A maxi
module BODYM "body module" supply 1 ground 2 asleep 2mA awake 300mA
module LOCKM "lock module" supply 1 ground 2 asleep 1mA awake 80mA
module ROOFM "roof module" supply 1 ground 2 asleep 1mA awake 60mA
network BODY can members BODYM, LOCKM, ROOFM
heater SEATH running 3A
switch SSW "seat switch" positions off, on closes 1 to 2 in on
ground G
BAT.+ -> F1 -> BODYM.1
BAT.+ -> F2 -> LOCKM.1
BAT.+ -> F3 -> ROOFM.1
BAT.+ -> SSW.1
SSW.2 -> SEATH -> G
BODYM.2 -> G
LOCKM.2 -> G
ROOFM.2 -> G
BAT.- -> G
"""
EARLY = (
    "{at: '09:00', state: locked}",
    "{at: '09:04', total: 3.45A}",
    "{at: '09:06', out: [F2]}",
    "{at: '09:07', total: 3.37A}",
    "{at: '09:08', back: [F2]}",
    "{at: '09:09', total: 3.45A}",
    "{at: '09:10', state: locked}",
)


def job(*entries: str) -> Job:
    notation, found = read_text(SourceFile("quay.circuit", NOTATION))
    assert not found
    lines = ["job: 4", "platform: quay", "entries:", *(f"  - {entry}" for entry in entries)]
    its = job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))
    assert not its.problems
    return its


def page(its: Job) -> str:
    return " ".join(" ".join(standing_text(its.platform, its.standing, clock_of(its))).split())


def test_locked_again_all_waits_for_that_and_the_try_is_over() -> None:
    its = job(*EARLY)
    said = page(its)
    assert "Wait until 9:30, then enter BAT again." in said
    assert said.count("Wait until") == 1
    assert "TOO EARLY: F2: BAT 3.45 A with it, 3.37 A without." in said
    assert "Take it out once more" not in said  # nobody touches it before it sleeps
    (one,) = job_json(its)["tries"]
    assert (one["verdict"], one["wait"], one["over"], one["read_since"]) == ("too-early", None, True, [])


def test_what_is_still_out_waits_for_the_same_time() -> None:
    its = job(*EARLY[:4], "{at: '09:10', state: locked}", "{at: '09:12', read: {F1: 0.3A}}")
    assert "Wait until 9:30 and read again." in page(its)
    (one,) = job_json(its)["tries"]
    assert (one["wait"], one["over"]) == (23.0, False)


def test_what_was_put_back_and_not_read_is_over_too() -> None:
    its = job(*EARLY[:5])
    assert "and read again" not in page(its) and job_json(its)["tries"][0]["over"]


def test_opened_since_it_is_locked_first() -> None:
    opened = "{at: '09:12', state: opened}"
    assert "Lock it, let it sleep, then enter BAT again." in page(job(*EARLY, opened))
    out = page(job(*EARLY[:4], opened))
    assert "Lock it, let it sleep, and read again." in out and "Wait until" not in out


ASLEEP = (*EARLY, "{at: '09:40', total: 3.00A, steady: yes}")


def tried(its: Job) -> TryVerdict:
    (one,) = its.standing.tries
    return one


def gaps(its: Job) -> str:
    return " ".join(not_known_sentences(its.platform, diagnosed(its)))


def test_read_asleep_the_old_try_is_asked_for_while_nobody_looked_there() -> None:
    its = job(*ASLEEP)
    assert tried(its).reason == "not-asleep"
    assert "Take it out once more, and read when the vehicle has slept with it out." in page(its)
    assert "F2 out" in gaps(its)


def test_what_shows_nothing_since_need_not_be_out_again() -> None:
    its = job(*ASLEEP, "{at: '09:45', read: {F2: 0.0mV}}")
    assert tried(its).verdict == "too-early" and tried(its).reason == "read-since"
    said = page(its)
    assert "Nothing flows there asleep: F2 0.0 mV since. It need not be out again." in said
    assert "Take it out once more" not in said and "F2 out" not in gaps(its)
    assert [one["place"] for one in job_json(its)["tries"][0]["read_since"]] == ["F2"]


@pytest.mark.parametrize(
    "read",
    [
        "{at: '09:45', read: {F2: 1.0mV}}",  # it draws
        "{at: '09:45', read: {F1: 0.0mV}}",  # another place
        "{at: '09:45', out: [F2]}\n  - {at: '09:46', read: {F2: 0.0mV}}",  # with it out
    ],
)
def test_what_says_nothing_of_it_settles_nothing(read: str) -> None:
    its = job(*ASLEEP, read)
    assert all(one.reason != "read-since" for one in its.standing.tries)


def test_a_module_is_settled_by_the_fuse_that_feeds_it() -> None:
    module = tuple(entry.replace("[F2]", "[LOCKM]") for entry in ASLEEP)
    its = job(*module, "{at: '09:45', read: {F2: 0.0mV}}")
    assert tried(its).reason == "read-since" and [one.place for one in tried(its).read_since] == ["F2"]


def test_where_a_large_fuse_may_hide_that_it_is_awake_the_try_is_still_wanted() -> None:
    large = tuple(entry.replace("[F2]", "[F3]") for entry in ASLEEP)
    its = job(*large, "{at: '09:45', read: {F3: 0.0mV}}")
    assert tried(its).reason == "not-asleep"

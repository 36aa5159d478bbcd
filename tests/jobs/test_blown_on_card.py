"""A fuse that blows, on the card: where it blew and held, where the short may be, and what became of it."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.dead_told_text import is_put_right, verdict_of
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import report_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_figures_that_fit import platform

TIPPER = """\
platform "Tipper" sleep 5min..10min limit 40mA
battery B 110Ah
fuse F1 10A mini, F2 10A mini, F9 5A mini
switch SW positions off, on closes 1 to 2 in on
lamp E1 "work lamp" supply 1 ground 2 running 21W
lamp E2 "side lamp" supply 1 ground 2 running 5W
module SRS "airbag" supply 1 ground 2 hands-off restraint
ground G1
connector X1
B.+ -> F1 -> SP
splice SP
SP -> SW.1
SW.2 -> X1.1 -> E1.1
SP -> E2.1
B.+ -> F9 -> SRS.1
B.+ -> F2
E1.2 -> G1
E2.2 -> G1
SRS.2 -> G1
B.- -> G1
"""
BLOWS = '{at: "08:00", dead: [F1@SW=on], works: [F1@SW=off]}'
MENDED = '{at: "09:00", cause: "wire chafed", mended: "wire renewed"}'


@pytest.fixture(scope="module")
def tipper() -> Platform:
    return platform(TIPPER.replace("B.+ -> F2\n", "B.+ -> F2.1\n"))


def job(its: Platform, *entries: str) -> Job:
    return job_from(its, "job: 1\nplatform: p\nentries:\n" + "".join(f"  - {entry}\n" for entry in entries), "job.yaml")


def said(found: Job) -> str:
    return " ".join(" ".join(job_text(found)).split())


def test_where_it_may_be_and_what_to_part_first_stands_on_the_card(tipper: Platform) -> None:
    found = job(tipper, BLOWS)
    assert not found.problems and found.blown.stage == "open" and found.blown.fuse == "F1"
    text = said(found)
    assert "F1 with SW at on blows; F1 with SW at off holds" in text and "part X1" in text
    assert "E2" not in text.partition("A SHORT")[2].partition("NEXT")[0], "it hung there while the fuse held"
    assert "find the short before the next one goes in" in text
    assert verdict_of(found).startswith("F1 with SW at on blows")


@pytest.mark.parametrize(
    ("since", "stage"),
    [
        ((), "mended"),
        (('{at: "09:30", works: [F1@SW=on]}',), "repaired"),
        (('{at: "09:30", works: [F1@SW=off]}',), "mended"),
        (('{at: "09:30", dead: [F1@SW=on]}',), "not-repaired"),
    ],
)
def test_it_is_repaired_once_it_holds_where_it_blew(tipper: Platform, since: tuple[str, ...], stage: str) -> None:
    found = job(tipper, BLOWS, MENDED, *since)
    assert (found.blown.stage, is_put_right(found)) == (stage, stage == "repaired")
    assert ("A SHORT" in said(found)) == (stage == "not-repaired")
    page = report_of(found)
    assert page.repaired == (stage == "repaired") and "F1" in page.verdict


def test_two_fuses_and_one_that_is_hands_off_are_refused_with_their_place(tipper: Platform) -> None:
    two = job(tipper, BLOWS, '{at: "08:10", dead: [F2]}').problems
    assert [one.headline for one in two] == ["One fuse that blew at a time."]
    sealed = job(tipper, '{at: "08:10", dead: [F9]}')
    assert [one.headline for one in sealed.problems] == ["F9 is hands-off: nothing is tested there."]
    assert sealed.blown.stage == ""


def test_loads_that_are_dead_stay_what_they_were(tipper: Platform) -> None:
    found = job(tipper, '{at: "08:00", dead: [E1@SW=on], works: [E2]}')
    assert found.blown.stage == "" and found.dead.stage == "open" and not found.problems

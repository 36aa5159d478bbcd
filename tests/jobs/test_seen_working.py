"""What somebody saw working, or dead, that nobody had complained of: after mending it tells that nothing was cut off, or
that something was, and it is told wherever the job is."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.bay.dead_there import dead_sections
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

NOTATION = """\
platform "Larch Towing" sleep 10min..20min limit 40mA
sheet "1" "All of it" whole
battery BAT 90Ah
fuse F1 20A mini, F2 10A mini
alternator ALT
switch HSW "heater switch" positions off, on closes 1 to 2 in on
heater HEAT "cab heater" running 8A
lamp LAMP "bed lamp" running 1A
ground G
ALT.B+ -> BAT.+
BAT.+ -> F1 -> HSW.1
HSW.2 -> HEAT -> G
BAT.+ -> F2 -> LAMP -> G
BAT.- -> G
"""
DREW = ("{at: '09:00', state: locked}", "{at: '09:40', total: 8.0A, steady: yes}")
MENDED = "{at: '10:00', cause: chafed wire to HEAT, mended: new wire}"
QUIET = ("{at: '10:10', state: locked}", "{at: '10:50', total: 0.00A, steady: yes}")


def job(*entries: str) -> Job:
    notation, found = read_text(SourceFile("larch.circuit", NOTATION))
    assert not found
    lines = ["job: 6", "platform: larch", "entries:", *(f"  - {entry}" for entry in entries)]
    its = job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))
    assert not its.problems
    return its


def page(its: Job) -> str:
    return " ".join(" ".join(job_text(its)).split())


def told_everywhere(its: Job, words: str) -> bool:
    report = report_of(its)
    found = [s for section in report.customer if section.heading == "We found" for s in section.sentences]
    record = [s for section in report.record for s in section.sentences]
    bay = [line for section in dead_sections(its, None) for line in section["lines"]]
    return words in page(its) and all(any(words in one for one in told) for told in (found, record, bay))


def test_what_works_after_mending_is_told_with_its_position() -> None:
    its = job(*DREW, MENDED, "{at: '10:05', works: [HEAT@HSW=on]}", *QUIET)
    words = "Seen working since it was mended: cab heater (HEAT with HSW at on)."
    assert told_everywhere(its, words)
    assert job_json(its)["checked"] == {
        "worked_before": [], "works_since_mending": ["HEAT with HSW at on"], "dead_since_mending": [],
    }  # fmt: skip
    assert its.standing.stage == "mended" and job_json(its)["dead_loads"] is None


@pytest.mark.parametrize("told", ["", "{at: '09:45', dead: [HEAT@HSW=on]}"])
def test_written_beside_what_was_mended_it_is_seen_after_it(told: str) -> None:
    its = job(*DREW, *filter(None, [told]), MENDED.replace("}", ", works: [HEAT@HSW=on]}"), *QUIET)
    assert its.dead.stage == ("repaired" if told else "")
    assert job_json(its)["checked"]["works_since_mending"] == ([] if told else ["HEAT with HSW at on"])


def test_what_worked_before_mending_says_nothing_of_after() -> None:
    its = job(*DREW, "{at: '09:50', works: [LAMP]}", MENDED, *QUIET)
    assert told_everywhere(its, "Seen working, before anything was mended: bed lamp (LAMP).")
    assert "since it was mended: bed" not in page(its)
    assert job_json(its)["checked"]["works_since_mending"] == []


def test_what_is_dead_since_is_not_lost() -> None:
    its = job(*DREW, MENDED, "{at: '10:05', dead: [LAMP]}", *QUIET)
    assert told_everywhere(its, "bed lamp (LAMP) does not work since it was mended, and nobody said so before")
    assert job_json(its)["checked"]["dead_since_mending"] == ["LAMP"]


def test_beside_a_complaint_what_else_works_is_told_too() -> None:
    dead = "{at: '09:45', dead: [HEAT@HSW=on]}"
    its = job(*DREW, dead, MENDED, "{at: '10:05', works: [HEAT@HSW=on, LAMP]}", *QUIET)
    assert "Seen working since it was mended: bed lamp (LAMP)." in page(its)
    assert its.dead.stage == "repaired" and job_json(its)["checked"]["works_since_mending"] == ["LAMP"]


@pytest.mark.parametrize("entries", [(), (MENDED, *QUIET)])
def test_nothing_seen_nothing_told(entries: tuple[str, ...]) -> None:
    its = job(*DREW, *entries)
    assert "CHECKED" not in page(its) and dead_sections(its, None) == []

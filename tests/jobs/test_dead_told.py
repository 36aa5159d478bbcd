"""Loads that do not work, on a card: what proves a place, what shows a repair, and what is said until then."""

from pathlib import Path

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.job import next_steps
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.job import Job, card_source, job_of
from circuitmap.jobs.short_line import entry_of
from circuitmap.reports.job.job_text import job_text
from circuitmap.source import SourceFile

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"


def job(*entries: str) -> Job:
    text = "platform: ..\nabsent: [TOW, AUXHEAT, COLDBOX]\nentries:\n" + "".join(f"  - {its}\n" for its in entries)
    return job_of(open_platform(VAN), SourceFile("a.yaml", text))


DEAD = "{at: 09:00, dead: [SCRL], works: [SCRR, MIRL]}"


def test_the_three_jobs_of_the_samples_end_repaired() -> None:
    for number, name in (("0431", "X31.1l SCRL.1"), ("0432", "G12"), ("0434", "X20.7l REAR.K2.86")):
        its = job_of(open_platform(VAN), card_source(VAN / "jobs" / f"{number}.yaml"))
        assert its.dead.stage == "repaired" and not its.problems
        assert its.dead.shown is not None
        assert set(its.dead.shown.name.split()) <= set(name.replace("l ", " ").split())
        assert any(line.startswith("DEAD") and "REPAIRED" in line for line in job_text(its))


def test_nothing_is_proven_before_both_sides_were_probed() -> None:
    assert job(DEAD).dead.stage == "open"
    assert job(DEAD, "{at: 09:10, probed: {X31.1: 12.1V}}").dead.stage == "open"
    shown = job(DEAD, "{at: 09:10, probed: {X31.1: 12.1V}}", "{at: 09:20, probed: {SCRL.1: 0.02V}}").dead
    assert shown.stage == "proven" and shown.shown is not None and shown.shown.kind == "wire"
    sound = job(DEAD, "{at: 09:10, probed: {X31.1: 12.1V, SCRL.1: 11.9V}}").dead
    assert sound.stage == "open"


def test_volts_on_both_sides_of_the_load_are_its_ground_and_none_is_its_own() -> None:
    own = job(DEAD, "{at: 09:10, probed: {SCRL.1: 12.1V, SCRL.2: 0.05V}}").dead
    assert own.shown is not None and own.shown.kind == "load"
    ground = job(DEAD, "{at: 09:10, probed: {SCRL.1: 12.1V, SCRL.2: 12.0V, G11: 11.9V}}").dead
    assert ground.shown is not None and (ground.shown.kind, ground.shown.name) == ("ground", "G11")


def test_mended_is_not_repaired_until_everything_was_seen_working() -> None:
    both = "{at: 09:00, dead: [SCRL, SCRR], works: [MIRL]}"
    mended = "{at: 10:00, mended: fuse}"
    assert job(both, mended).dead.stage == "mended"
    assert job(both, mended, "{at: 10:05, works: [SCRL]}").dead.unseen == ("SCRR",)
    assert job(both, mended, "{at: 10:05, works: [SCRL, SCRR]}").dead.stage == "repaired"
    again = job(both, mended, "{at: 10:05, works: [SCRL, SCRR]}", "{at: 11:00, dead: [SCRR]}").dead
    assert again.stage == "not-repaired" and again.still_dead == ("SCRR",)


def test_a_blown_fuse_is_not_just_replaced() -> None:
    its = job("{at: 09:00, dead: [SCRL, SCRR], works: [MIRL]}", "{at: 09:10, probed: {F72.1: 12.3V, F72.2: 0.02V}}")
    assert its.dead.shown is not None and its.dead.shown.kind == "fuse"
    assert "find the short before the next one goes in" in " ".join(" ".join(job_text(its)).split())


def test_a_struck_entry_says_nothing() -> None:
    assert job("{at: 09:00, dead: [SCRL], struck: wrong van}").dead.stage == ""


def test_what_makes_no_sense_is_told_with_its_place() -> None:
    its = job("{at: 09:00, dead: [NOBODY]}", "{at: 09:10, dead: [SCRL], probed: {SCRL.1: warm}}")
    assert [problem.span.line for problem in its.problems] == [4, 5]


def test_the_next_step_follows_until_it_is_found() -> None:
    lines = next_steps(job(DEAD)).lines
    assert any(line.startswith("IT MAY BE") for line in lines) and any(line.startswith("NEXT") for line in lines)
    assert next_steps(job(DEAD, "{at: 09:10, probed: {X31.1: 12.1V, SCRL.1: 0.02V}}")).lines == []


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("dead SCRL SCRR; works MIRL", [("dead", ("SCRL", "SCRR")), ("works", ("MIRL",))]),
        ("dead SCRL@IGN=run", [("dead", ("SCRL@IGN=run",))]),
        ("probe F72 0.02 F72.1=12.3V", [("probed", (("REAR.F72.2", "0.02V"), ("REAR.F72.1", "12.3V")))]),
    ],
)
def test_lines(line: str, fields: list[tuple[str, object]]) -> None:
    assert list(entry_of(open_platform(VAN), line).fields) == fields


@pytest.mark.parametrize(
    "line", ["dead F72", "dead SCRL@IGN", "dead SCRL@IGN=sideways", "dead", "probe SCRL.1", "probe"]
)
def test_lines_that_make_no_sense(line: str) -> None:
    with pytest.raises(WrongUse):
        entry_of(open_platform(VAN), line)

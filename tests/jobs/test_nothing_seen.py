"""Fuses read of the sleeping vehicle, all without a drop, and never the total: that is something read, and once nothing
is left to be read, what is worth doing is told as for a vehicle that draws nothing."""

from dataclasses import replace
from typing import Any

import pytest

import circuitmap.diagnosis.nothing_seen as where
from circuitmap.diagnosis.nothing_seen import NothingSeen, nothing_seen
from circuitmap.flows.job import diagnosis_now, next_steps
from circuitmap.jobs.job import Job, job_of, job_on
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report_balance import balance_sentences
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.words.seen_words import hiding_words
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

CARRIERS = "at: 09:00, read: {PRE.M1: 0.0mV, PRE.M2: 0.0mV}"
BEHIND = "at: 09:00, read: {CAB.F1: 0.0mV, CAB.F2: 0.0mV}"


@pytest.fixture(scope="module")
def hoist() -> Platform:
    text = """\
platform "Tail hoist" sleep 5min..10min limit 50mA
battery BAT 80Ah
box PRE "main fuses"
box CAB "cab fuses"
fuse PRE.M1 60A maxi, PRE.M2 40A maxi, CAB.F1 10A mini, CAB.F2 15A mini
module LIFT "lift" supply 1 ground 2 asleep 2mA
lamp SIGN "roof sign" supply 1 ground 2 running 1A
heater HEAT "cab heater" supply 1 ground 2 running 6A
starter STA "starter motor"
switch SIGNSW "sign switch" positions off, on closes 1 to 2 in on
switch HEATSW "heater switch" positions off, on closes 1 to 2 in on
ground G1
BAT.+ -> PRE.M1
BAT.+ -> PRE.M2
PRE.M1 -> CAB.F1 -> LIFT.1
PRE.M1 -> CAB.F2 -> SIGNSW.1
SIGNSW.2 -> SIGN.1
PRE.M2 -> HEATSW.1
HEATSW.2 -> HEAT.1
BAT.- -> G1
LIFT.2 -> G1
SIGN.2 -> G1
HEAT.2 -> G1
"""
    read, problems = read_text(SourceFile("hoist.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def job(platform: Platform, *entries: str) -> Job:
    lines = "".join(f"- {{{entry}}}\n" for entry in ("at: 08:00, state: locked", *entries))
    its = job_of(platform, SourceFile("job.yaml", f"complaint: flat on Mondays\nbattery: 80Ah\nentries:\n{lines}"))
    assert its.problems == ()
    return its


def said(its: Job) -> str:
    return " ".join(" ".join(job_text(its, next_steps(its).lines)).split())


def test_what_was_read_is_not_called_nothing(hoist: Platform) -> None:
    its = job(hoist, BEHIND)
    assert its.standing.stage == "not-read"
    text = said(its)
    assert "THE TOTAL IS NOT READ YET: 2 places read asleep, and nothing draws there" in text
    assert "NOTHING READ YET" not in text
    assert job_json(its)["nothing_seen"]["not_read"] == ["PRE.M1", "PRE.M2"]


def test_once_what_feeds_all_is_read_the_battery_comes_next(hoist: Platform) -> None:
    its = job(hoist, CARRIERS)
    assert its.standing.stage == "nothing-seen"
    text = said(its)
    assert "All that was read hangs on PRE.M1 and PRE.M2, which show nothing" in text
    steps = text[text.index("NEXT (") :]
    assert "harge the battery full" in steps and "volts at the battery" in steps
    assert "No clamp here" in steps and "Unplug " not in steps
    found = diagnosis_now(its)
    assert suspects_json(hoist, found, 3)["tests"] == [] and suspects_json(hoist, found, 3)["nothing_seen"]["is_whole"]
    assert not any(line.startswith("They point to") for line in balance_sentences(hoist, found))


def test_each_fuse_hides_what_its_own_size_hides(hoist: Platform) -> None:
    """Two counts of 0.1 mV: over the 60 A maxi 82.2 x 60^-1.101 mohm (an estimate), over the 40 A one 1.4 mohm (a copy
    of the data sheet)."""
    large, small = 0.2 / (82.2 * 60**-1.101), 0.2 / 1.4
    text = said(job(hoist, CARRIERS))
    assert f"up to {large:.2f} A can hide in PRE.M1 and {small:.2f} A in PRE.M2." in text
    alike = said(job(hoist, "at: 09:00, read: {PRE.M1: 0.00A, PRE.M2: 0.00A}"))
    assert "A can hide in each of these." in alike and "A in PRE.M2" not in alike


def test_many_sizes_are_told_from_the_most_down() -> None:
    hides = (0.05, 0.81, 0.42, 0.42, 0.23, 0.10)
    seen = NothingSeen(
        ("A", "B", "C", "D", "E", "F"), ("A", "B", "C", "D", "E", "F"), 0.0, hides, (), frozenset(), (), True
    )
    assert hiding_words(seen).endswith(
        "; up to 0.81 A can hide in B, 0.42 A in each of C and D, 0.23 A in E and 0.10 A or less in each of the others."
    )


def test_a_failed_battery_is_renewed_and_what_was_done_is_not_asked_for(hoist: Platform) -> None:
    text = said(job(hoist, CARRIERS, "at: 10:00, battery: {test: bad, charging: 14.3V}"))
    steps = text[text.index("NEXT (") :]
    assert "The battery failed its test" in steps and "volts at the battery." not in steps


def test_what_draws_there_or_a_total_is_another_answer(hoist: Platform) -> None:
    drawing = job(hoist, "at: 09:00, read: {PRE.M1: 2.0mV, PRE.M2: 0.0mV, CAB.F1: 3.0mV}")
    assert drawing.standing.stage == "not-read" and drawing.standing.seen is None
    assert job(hoist, CARRIERS, "at: 09:10, read: {BAT: 0.9A}").standing.stage == "draws"
    assert job(hoist, CARRIERS, "at: 09:10, read: {BAT: 0.002A}").standing.seen is None


def test_what_was_read_too_early_is_none_of_it(hoist: Platform) -> None:
    its = job(hoist, "at: 08:02, read: {PRE.M1: 4.0mV, PRE.M2: 2.0mV}")
    assert its.standing.stage == "not-read" and its.standing.seen is None


def test_with_another_meter_there_is_a_clamp(hoist: Platform) -> None:
    text = said(job(hoist, "at: 09:00, read: {PRE.M1: 0.00A, PRE.M2: 0.00A}"))
    assert "No clamp here" not in text and "Clamp the cable of BAT once" in text


def test_a_battery_renewed_is_told_with_what_was_read(hoist: Platform) -> None:
    its = job(
        hoist, CARRIERS, "at: 10:00, battery: {test: bad}", "at: 10:30, cause: BAT worn out",
        "at: 11:00, mended: new battery BAT", "at: 11:10, battery: {rest: 12.8V, test: fine}",
    )  # fmt: skip
    assert "Before it 2 places read asleep, and nothing draws there" in said(its)


def test_a_page_works_it_out_once(hoist: Platform, monkeypatch: pytest.MonkeyPatch) -> None:
    """The standing and the diagnosis ask the same of one vehicle; with one more reading it is asked anew."""
    asked: list[int] = []
    evaluated = where.evaluate

    def counted(*args: Any, **named: Any) -> Any:
        asked.append(1)
        return evaluated(*args, **named)

    monkeypatch.setattr(where, "evaluate", counted)
    its = job(hoist, CARRIERS)
    seen = diagnosis_now(its).nothing_seen
    assert seen is not None and seen == its.standing.seen
    assert len(asked) == 1
    more = job_on(hoist, its.card, circuit=its.circuit)
    assert more.standing.seen == seen and len(asked) == 1
    left = replace(its.evidence, readings=its.evidence.readings[:1])
    assert nothing_seen(its.circuit, left) != seen and len(asked) == 2


def test_of_a_failed_battery_nothing_is_reckoned_that_nobody_read(hoist: Platform) -> None:
    lines = "- {at: 08:00, state: locked}\n- {at: 09:00, read: {PRE.M1: 0.0mV, PRE.M2: 0.0mV}}\n"
    charged = "- {at: 10:00, state: charger on}\n- {at: 18:00, state: charger off}\n"
    for battery, told in (("{rest: 12.5V, test: fine}", True), ("{rest: 12.5V, test: bad}", False)):
        text = f"battery: 80Ah\nflat-after: 3 days\nentries:\n{lines}{charged}- {{at: 23:00, battery: {battery}}}\n"
        its = job_of(hoist, SourceFile("job.yaml", text))
        assert its.problems == ()
        assert ("takes a mean draw of" in said(its)) == told

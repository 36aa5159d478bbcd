"""One page never says both that something is proven and that it is not yet proof, nor that something was not measured
that was tried, nor that a few milliamperes are none."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import Report, report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

TRAM = """\
platform "Small bus" sleep 5min..10min limit 4mA
battery BAT 45Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
module HEATER "parking heater" supply 1 ground 2 asleep 1mA awake 300mA
module LOCKS "locks" supply 1 ground 2 asleep 1mA awake 150mA
BAT.+ -> CAB.B1
BAT.- -> case
CAB.F1 -> HEATER.1
CAB.F2 -> LOCKS.1
HEATER.2, LOCKS.2 -> case
"""
TRIED = (
    "at: 08:00, state: locked, meter: low-current-clamp",
    "at: 09:00, read: {BAT: 0.50A}",
    "at: 09:05, out: [HEATER]",
    "at: 09:30, read: {BAT: 0.002A}",
    "at: 09:35, back: [HEATER]",
    "at: 10:00, read: {BAT: 0.50A}",
)
MENDED = (
    'at: 10:10, cause: "HEATER"',
    'at: 10:20, mended: "new HEATER"',
    "at: 10:30, state: locked",
    "at: 11:30, read: {BAT: 0.002A}, steady: yes",
)


def bus() -> Platform:
    return platform_from((SourceFile("p.circuit", TRAM),))


def card(*entries: str) -> str:
    return "job: X\nbattery: 45Ah\nentries:\n" + "".join(f"- {{{entry}}}\n" for entry in entries)


def report(*entries: str) -> Report:
    return report_of(job_from(bus(), card(*entries), "card.yaml"))


def customer(its: Report) -> str:
    return " ".join(sentence for part in its.customer for sentence in part.sentences)


def test_what_the_head_calls_proven_is_not_doubted_below() -> None:
    before, after = report(*TRIED), report(*TRIED, *MENDED)
    doubts = ("not yet proof", "not proven yet")
    assert any(doubt in customer(before) for doubt in doubts)
    assert "PROVEN" in after.verdict.upper()
    assert not any(doubt in customer(after) for doubt in doubts)


@pytest.mark.parametrize(("claimed", "said"), [
    ("LOCKS never sleep", "(tried here: LOCKS, locks CLEARED)"),
    ("HEATER never sleeps", "(not measured here)"),
])  # fmt: skip
def test_a_claim_that_was_tried_was_measured(claimed: str, said: str) -> None:
    lines = (
        "at: 08:00, state: locked, meter: low-current-clamp", "at: 09:00, read: {BAT: 0.50A}",
        f'at: 09:01, claim: "{claimed}"', "at: 09:05, out: [LOCKS]", "at: 09:40, read: {BAT: 0.50A}",
    )  # fmt: skip
    text = job_text(job_from(bus(), card(*lines), "card.yaml"))
    assert f"{claimed} {said}" in " ".join(" ".join(text).split())
    told = customer(report(*lines))
    assert ("we did not measure this" in told) == (said == "(not measured here)")


def test_milliamperes_are_not_none() -> None:
    lines = ("at: 08:00, state: locked, meter: {low-current-clamp}", "at: 09:00, read: {BAT: 2mA}")
    its = report(lines[0].replace("{low-current-clamp}", "low-current-clamp") + ", resolution: 1mA", lines[1])
    assert [one.before for one in its.figures] == ["0.002 A"]
    told = customer(its)
    assert "it drew 0.002 A; the limit for this vehicle is 0.004 A" in told
    assert "0.00 A" not in told and "At 0.00 " not in told

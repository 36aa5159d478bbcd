"""A wire has no part that can be taken out: it is proven where it was seen, the draw went and came with something that
it leads to, and stays away since it was mended. Common practice, no source."""

import pytest

from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

BARGE = """\
platform "Barge" supply 12V sleep 5min..10min limit 40mA
battery BAT 90Ah
fuse F1 15A mini "pump", F2 10A mini "controller"
relay K1 "pump relay" make
motor PUMP "bilge pump" supply 1 ground 2 running 6A
module CTRL "pump controller" supply 1 ground 2 asleep 2mA
grounds CTRL.3 on request
connector X1 4 way "bow"
ground G
BAT.+ -> F1 -> K1.30
K1.87 -> PUMP.1
BAT.+ -> F2 -> CTRL.1
F2 -> K1.86
K1.85 -> X1.3 -> CTRL.3
PUMP.2, CTRL.2, BAT.- -> G
"""
CAME = (
    'at: "09:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
    'at: "09:20", total: 6.15A, steady: yes',
)
SEEN = 'at: "11:00", found: {X1.3: chafed}'
CAUSE = (
    'at: "11:05", cause: "wire X1.3 to CTRL.3 rubbed through, holds K1; kind chafed", mended: "piece of wire renewed"',
    'at: "11:06", state: locked',
)  # fmt: skip
QUIET = 'at: "11:30", total: 0.00A, steady: yes'


def tried(name: str, again: str = "6.15A") -> tuple[str, ...]:
    return (
        f'at: "10:00", out: [{name}]', 'at: "10:12", total: 0.00A, steady: yes', f'at: "10:15", back: [{name}]',
        f'at: "10:30", total: {again}, steady: yes',
    )  # fmt: skip


@pytest.fixture(scope="module")
def barge() -> Platform:
    return platform_from((SourceFile("barge.circuit", BARGE),))


@pytest.mark.parametrize(
    ("entries", "grade"),
    [
        ((*CAME, *tried("K1"), SEEN, *CAUSE, QUIET), "proven"),
        ((*CAME, *tried("X1"), SEEN, *CAUSE, QUIET), "proven"),
        ((*CAME, *tried("X1"), *CAUSE, QUIET), "borne-out"),  # nobody saw it
        ((*CAME, SEEN, *CAUSE, QUIET), "borne-out"),  # the draw never went with anything
        ((*CAME, *tried("X1", "0.00A"), SEEN, *CAUSE, QUIET), "seen"),  # it had gone by itself
        ((*CAME, *tried("X1"), SEEN, *CAUSE), "seen"),  # nobody read since
        ((*CAME, *tried("X1"), SEEN, *CAUSE, QUIET.replace("0.00A", "6.15A")), "seen"),  # it goes on
        ((*CAME, *tried("X1"), SEEN.replace("X1.3", "PUMP.1"), *CAUSE, QUIET), "borne-out"),  # another wire
    ],
)  # fmt: skip
def test_how_far_a_wire_is_borne_out(barge: Platform, entries: tuple[str, ...], grade: str) -> None:
    text = "job: 1\nbattery: 90Ah\nentries:\n" + "".join(f"  - {{{e}}}\n" for e in entries)
    its = job_from(barge, text, "j.yaml")
    assert not its.problems, its.problems
    assert its.standing.found is not None and its.standing.found.parts == ()
    assert its.standing.found.grade == grade == job_json(its)["after_mending"]["found"]["grade"]
    is_proven = grade == "proven"
    assert headline(barge, its.standing).startswith("PROVEN AND MENDED") == is_proven
    assert is_proven <= ("not proven yet" not in str(report_of(its).customer))

"""A lamp that burns just after the vehicle was locked may go out by itself: it says nothing of the parked vehicle."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

BARROW = """\
platform "Wheatear Barrow" sleep 10min..20min limit 50mA
battery BAT 80Ah
fuse F1 10A mini, F2 10A mini
lamp HOLD running 400mA
heater MAT running 400mA
switch HSW positions shut, open closes 1 to 2 in open
switch MSW positions off, on closes 1 to 2 in on
ground G
BAT.+ -> F1 -> HSW.1
HSW.2 -> HOLD -> G
BAT.+ -> F2 -> MSW.1
MSW.2 -> MAT -> G
BAT.- -> G
"""


def seen(at: str, sign: str = "burning", what: str = "HOLD") -> Job:
    entries = [
        '{at: "08:00", state: locked}',
        f'{{at: "{at}", found: {{{what}: {sign}}}}}',
        '{at: "08:30", total: 0.40A}',
    ]
    text = "\n".join(["job: 8", "platform: b", "entries:", *(f"  - {entry}" for entry in sorted(entries))]) + "\n"
    its = job_of(platform_of([read_text(SourceFile("b.circuit", BARROW))[0]]), SourceFile("j.yaml", text))
    assert not its.problems
    return its


def likeliest(its: Job) -> tuple[str, float]:
    return diagnose(its.circuit, its.evidence).parts[0].part, diagnose(its.circuit, its.evidence).parts[0].probability


@pytest.mark.parametrize(("at", "counts"), [("08:05", False), ("08:19", False), ("08:25", True)])
def test_it_counts_once_the_vehicle_may_sleep(at: str, counts: bool) -> None:
    its = seen(at)
    assert (len(its.evidence.found), len(its.evidence.found_early)) == ((1, 0) if counts else (0, 1))
    said = " ".join(not_known_sentences(its.platform, diagnose(its.circuit, its.evidence)))
    assert ("HOLD was seen burning too early" in said) == (not counts)
    _, sure = likeliest(its)
    assert (sure > 0.9) == counts


def test_what_does_not_go_out_by_itself_counts_at_any_time() -> None:
    assert len(seen("08:05", "warm", "MAT").evidence.found) == 1
    assert len(seen("08:05", "wet", "MAT").evidence.found) == 1

"""What others claim is answered by what was read here of the very part, as by a try of it."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import claim_sentences
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

DRAY = """\
platform "Fieldfare Dray" sleep 10min..20min limit 50mA
battery BAT 80Ah
fuse F1 10A mini, F2 10A mini
relay KHEAT "bed heater relay" make
heater MAT running 4A
lamp HOLD running 400mA
switch HSW positions off, on closes 1 to 2 in on
ground G
BAT.+ -> F1 -> KHEAT.30
KHEAT.87 -> MAT -> G
BAT.+ -> F2 -> HOLD -> HSW.1
HSW.2 -> G
BAT.- -> G
"""
LOOK = 'at: "08:40", read: {F1: 0A, F2: 0.38A}, total: 0.40A'


def claimed(words: str, *entries: str) -> Job:
    first = (
        'at: "08:00", state: locked, meter: low-current clamp, resolution: 10mA, zeroed: yes',
        f'at: "08:10", claim: "{words}"',
    )
    text = "\n".join(["job: 8", "platform: d", "entries:", *(f"  - {{{its}}}" for its in (*first, *entries))]) + "\n"
    its = job_of(platform_of([read_text(SourceFile("d.circuit", DRAY))[0]]), SourceFile("j.yaml", text))
    assert not its.problems
    return its


@pytest.mark.parametrize(
    ("words", "entries", "says"),
    [
        ("F1 draws", (LOOK,), "(measured here: F1 0.00 A)"),
        ("F1 and F2 draw", (LOOK,), "(measured here: F1 0.00 A and F2 0.38 A)"),
        ("the bed heater relay sticks", ('at: "08:45", relays: {KHEAT: open}',), "(measured here: KHEAT open, by its volts)"),
        ("the bed heater relay sticks", (LOOK,), "(not measured here)"),
        ("F1 draws", ('at: "08:12", read: {F1: 0.30A}',), "(not measured here)"),  # too early
        ("F2 draws", (LOOK, 'at: "08:50", out: [HOLD]', 'at: "09:10", read: {F2: 0A}'), "(measured here: F2 0.38 A)"),
        ("F2 draws", (LOOK, 'at: "08:50", mended: lamp', 'at: "09:30", read: {F2: 0A}'), "(measured here: F2 0.38 A)"),
        ("HOLD draws", (LOOK, 'at: "08:50", out: [HOLD], total: 0.01A'), "(tried here: HOLD INVOLVED, NOT YET GUILTY)"),
    ],
)  # fmt: skip
def test_what_was_read_of_it_answers(words: str, entries: tuple[str, ...], says: str) -> None:
    entries = tuple(sorted(entries))
    assert list(claim_sentences(claimed(words, *entries))) == [f"{words} {says}"]


def test_the_customer_reads_it_too() -> None:
    told = [said for section in report_of(claimed("F1 draws", LOOK)).customer for said in section.sentences]
    assert "Others say: F1 draws (we measured: F1 0.00 A)." in told

"""What others claim is answered by what was read here of the very part, as by a try of it."""

import pytest

from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import claim_sentences
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

DRAY = """\
platform "Fieldfare Dray" sleep 10min..20min limit 50mA
battery BAT 80Ah
fuse F1 10A mini, F2 10A mini
relay KHEAT "bed heater relay" make
relay KFAN "fan relay" make
switch DOOR "door contact, left" positions shut, open closes 1 to 2 in open
switch DOORR "door contact, right" positions shut, open closes 1 to 2 in open
alternator DYN "dynamo, 90 A"
fuse F3 30A maxi
fuse F4 "saloon", F5 15A mini, F6 10A mini
switch LATCH "saloon relay, latching" positions reset, set closes 30 to 87 in set
key IGN "ignition switch" positions off, run
module CHILL "cool box, compressor with control" awake 4A
module WAKED "step control" wake 2
switch STEP "step contact" positions in, out closes 1 to 2 in out
lamp SALOON "saloon lamp"
heater MAT running 4A
lamp HOLD running 400mA
switch HSW positions off, on closes 1 to 2 in on
ground G
BAT.+ -> F1 -> KHEAT.30
KHEAT.87 -> MAT -> G
BAT.+ -> F2 -> HOLD -> HSW.1
HSW.2 -> G
BAT.+ -> F3 -> DYN -> G
BAT.+ -> F4 -> LATCH.30
LATCH.87 -> SALOON -> G
F1 feeds IGN
BAT.+ -> F5 -> CHILL -> G
BAT.+ -> F6 -> STEP.1
STEP.2 -> WAKED.2
BAT.- -> G
"""
DEAD = 'at: "08:40", read: {F4: 0.0mV, F5: 0.0mV, F6: 0.0mV}, total: 0.40A'
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
        ("the bed heater relay sticks", (LOOK,), "(measured here: F1 0.00 A)"),  # what feeds its contact
        ("KFAN sticks", (LOOK,), "(not measured here)"),
        ("the relay of the bed heater sticks", (LOOK,), "(measured here: F1 0.00 A)"),
        ("the heater is on", (LOOK,), "(not measured here)"),
        ("left door contact worn", ('at: "08:45", tested: {DOOR: fine}',), "(measured here: DOOR tested by itself: fine)"),
        ("cool box stays on", (DEAD,), "(measured here: F5 0.00 A)"),
        ("the cooling box stays on", (DEAD,), "(measured here: F5 0.00 A)"),
        ("cool compressor", (DEAD,), "(not measured here)"),  # no run of its words
        ("ignition switch worn", (LOOK,), "(measured here: F1 0.00 A)"),  # by the chart alone
        ("LATCH sticks", (DEAD,), "(measured here: F4 0.0 mV)"),  # of no known rating: no current, but nothing
        ("saloon relay sticks", (DEAD,), "(measured here: F4 0.0 mV)"),
        ("step contact sticks", (DEAD,), "(not measured here)"),  # what it passes is a signal, which no fuse shows
        ("the step's contact sticks", ('at: "08:45", tested: {STEP: fine}',), "(measured here: STEP tested by itself: fine)"),
        ("contact of the door worn, left", ('at: "08:45", tested: {DOOR: fine}',), "(not measured here)"),
        ("the door, left contact", ('at: "08:45", tested: {DOOR: fine}',), "(not measured here)"),
        ("it flows back over the dynamo", ('at: "08:40", read: {F3: 0A}, total: 0.40A',), "(measured here: F3 0.00 A)"),
        ("MAT takes 4 A", (LOOK,), "(measured here: F1 0.00 A; 4.00 A is more than all that flows, 0.40 A)"),
        ("somewhere 0.45 A", (LOOK,), "(not measured here)"),
        ("behind the 10 A fuse", (LOOK,), "(not measured here)"),
        ("behind the fuse 10 A", (LOOK,), "(not measured here)"),
        ("somewhere 4 A", ('at: "08:12", total: 0.40A',), "(not measured here)"),  # too early
        ("HOLD draws", ('at: "08:40", read: {F1: 0.38A}, total: 0.40A',), "(not measured here)"),
        ("F1 draws", ('at: "08:12", read: {F1: 0.30A}',), "(not measured here)"),  # too early
        ("F2 draws", (LOOK, 'at: "08:50", out: [HOLD]', 'at: "09:10", read: {F2: 0A}'), "(measured here: F2 0.38 A)"),
        ("F2 draws", (LOOK, 'at: "08:50", mended: lamp', 'at: "09:30", read: {F2: 0A}'), "(measured here: F2 0.38 A)"),
        ("HOLD draws", (LOOK, 'at: "08:50", out: [HOLD], total: 0.01A'), "(tried here: HOLD INVOLVED, NOT YET GUILTY; measured here: F2 0.38 A)"),
    ],
)  # fmt: skip
def test_what_was_read_of_it_answers(words: str, entries: tuple[str, ...], says: str) -> None:
    entries = tuple(sorted(entries))
    assert list(claim_sentences(claimed(words, *entries))) == [f"{words} {says}"]


IN_TURN = 'at: "08:40", log: {floor: 0.01A, mean: 0.15A, peak: 0.40A, period: 9min, for: 8h}'
UP = 'at: "18:00", during: event, read: {F2: 0.38A, F1: 0A}, total: 0.40A'
DOWN = 'at: "18:05", during: floor, read: {F2: 0A, F1: 0A}, total: 0.01A'


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ((IN_TURN, DOWN), "HOLD draws (not measured here)"),
        ((IN_TURN, DOWN.replace("during: floor, ", "")), "HOLD draws (not measured here)"),  # as low as the floor
        ((DOWN.replace("18:05", "08:30"), IN_TURN), "HOLD draws (not measured here)"),
        ((IN_TURN, DOWN.replace("during: floor, ", "").replace(", total: 0.01A", "")), "HOLD draws (measured here: F2 0.00 A)"),
        ((IN_TURN, UP, DOWN), "HOLD draws (measured here: F2 0.38 A)"),
        ((IN_TURN, UP.replace("F2: 0.38A", "F2: 0A")), "HOLD draws (measured here: F2 0.00 A)"),
        ((IN_TURN.replace("floor: 0.01A", "floor: 0.12A"), DOWN.replace("0.01A", "0.12A")), "HOLD draws (measured here: F2 0.00 A)"),
    ],
)  # fmt: skip
def test_between_two_events_nothing_is_measured(entries: tuple[str, ...], says: str) -> None:
    """Over a sound floor the lamp draws nothing there, whether it is the culprit or not; a floor that is itself too much
    is a draw, too."""
    assert list(claim_sentences(claimed("HOLD draws", *entries))) == [says]


def test_the_customer_reads_it_too() -> None:
    told = [said for section in report_of(claimed("F1 draws", LOOK)).customer for said in section.sentences]
    assert "Others say: F1 draws (we measured: F1 0.00 A)." in told


def test_what_would_be_too_much_is_told_everywhere() -> None:
    its = claimed("MAT takes 4 A", LOOK)
    told = [said for section in report_of(its).customer for said in section.sentences]
    more = "4.00 A is more than all that flows, 0.40 A"
    assert f"Others say: MAT takes 4 A (we measured: F1 0.00 A; {more})." in told
    assert job_json(its)["claims"] == [
        {
            "words": "MAT takes 4 A",
            "tried": [],
            "measured": ["F1 0.00 A"],
            "more_than_flows": more,
            "proven_instead": "",
        }
    ]


def test_a_try_of_the_fuse_that_feeds_only_it_is_one_of_it() -> None:
    said = claim_sentences(claimed("KHEAT sticks", 'at: "08:40", total: 0.40A', 'at: "08:50", out: [F1]',
                                   'at: "09:10", total: 0.40A'))  # fmt: skip
    assert list(said) == ["KHEAT sticks (not measured here)"]  # what hangs on F1 is the mat
    found = claimed("DYN leaks", 'at: "08:40", total: 0.40A', 'at: "08:50", out: [F3]', 'at: "09:10", total: 0.40A')
    (said,) = claim_sentences(found)
    assert said == "DYN leaks (tried here: F3 CLEARED)"


def test_once_something_else_is_proven_the_claim_is_said_not_to_be_the_cause() -> None:
    tries = ('at: "08:40", total: 0.40A, steady: yes', 'at: "08:50", out: [F3]',
             'at: "09:10", total: 0.40A, steady: yes', 'at: "09:12", back: [F3]')  # fmt: skip
    proof = ('at: "09:40", total: 0.40A, steady: yes', 'at: "09:42", out: [HSW]',
             'at: "10:10", total: 0.01A, steady: yes', 'at: "10:12", back: [HSW]',
             'at: "10:40", total: 0.40A, steady: yes', 'at: "10:42", out: [HSW]',
             'at: "11:10", total: 0.01A, steady: yes, tested: {HSW: bad}')  # fmt: skip
    open_still, found = claimed("DYN leaks", *tries), claimed("DYN leaks", *tries, *proof)
    assert "not the cause" not in " ".join(claim_sentences(open_still))
    assert "not the cause: that is HSW" in " ".join(claim_sentences(found))
    told = [said for section in report_of(found).customer for said in section.sentences]
    assert "Others say: DYN leaks (we tried it: it is not at fault)." in told
    own = claimed("HSW sticks", *tries, *proof)
    assert "not the cause" not in " ".join(claim_sentences(own))


def test_a_figure_of_what_a_try_found_sound_is_no_answer() -> None:
    look = ('at: "08:40", read: {F3: 0.09A}, total: 0.40A, steady: yes',)
    tried = (*look, 'at: "08:50", out: [F3]', 'at: "09:10", total: 0.40A, steady: yes')
    assert list(claim_sentences(claimed("DYN leaks", *look))) == ["DYN leaks (measured here: F3 0.09 A)"]
    assert list(claim_sentences(claimed("DYN leaks", *tried))) == ["DYN leaks (tried here: F3 CLEARED)"]
    both = claimed("DYN leaks, F2 draws", *(its.replace("F3: 0.09A", "F3: 0.09A, F2: 0.38A") for its in tried))
    assert list(claim_sentences(both)) == ["DYN leaks, F2 draws (tried here: F3 CLEARED; measured here: F2 0.38 A)"]

"""What became of the draw, said without a figure: the verdict of a try, what proof still lacks, the words for it."""

import pytest

from circuitmap.evidence.changes_seen import CHANGES, is_change, written_change
from circuitmap.failures import WrongUse
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB
fuse CAB.F22 20A mini, CAB.F23 15A mini
module LIFT supply 1 ground 2
lamp BUNKL running 300mA
switch BUNKSW positions off, on closes 1 to 2 in on
bar CAB.B1 feeds CAB.F22, CAB.F23
BAT.+ -> CAB.B1
CAB.F22 -> LIFT.1
LIFT.2 -> G1
CAB.F23 -> BUNKL -> BUNKSW.1
BUNKSW.2 -> G1
BAT.- -> G1
ground G1
"""


def job(*entries: str) -> Job:
    notation, found = read_text(SourceFile("van.circuit", VAN))
    assert not found
    lines = ["job: 7", "platform: van", "entries:", '  - {at: "10:00", state: locked}', *entries]
    return job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))


DREW = '  - {at: "10:50", total: 0.47A}'


def text_of(its: Job) -> str:
    return " ".join("\n".join(standing_text(its.platform, its.standing, Clock())).split())


@pytest.mark.parametrize(
    ("change", "verdict"), [("gone", "involved"), ("less", "part"), ("no change", "cleared"), ("down", "part")]
)
def test_a_try_without_a_figure_has_the_verdict_of_one_with(change: str, verdict: str) -> None:
    its = job(DREW, f'  - {{at: "11:00", out: [F22]}}\n  - {{at: "11:30", change: {change}}}')
    assert not its.problems
    assert [one.verdict for one in its.standing.tries] == [verdict]
    assert its.evidence.tries[0].before is not None and its.evidence.tries[0].before.amps == 0.47


def test_no_change_right_after_it_was_taken_out_is_too_early_but_gone_is_not() -> None:
    """What it woke may draw in its stead; but nothing draws less because it is awake."""
    early = job(DREW, '  - {at: "11:00", out: [F22], change: no change}').standing.tries[0]
    assert (early.verdict, early.reason, early.wait) == ("too-early", "not-asleep", 20.0)
    assert job(DREW, '  - {at: "11:00", out: [F22], change: gone}').standing.tries[0].verdict == "involved"


def test_gone_again_and_gone_once_more_is_proof_of_the_draw_as_figures_are() -> None:
    entries = [
        DREW,
        '  - {at: "11:00", out: [LIFT], change: gone}',
        '  - {at: "11:10", back: [LIFT]}',
        '  - {at: "11:40", change: again}',
        '  - {at: "11:50", out: [LIFT], change: gone}',
    ]
    its = job(*entries).standing.tries[0]
    assert its.figures == (0.47, "gone", "again", "gone")
    assert its.needs == ("inputs", "outputs", "feed", "ground")
    assert "BAT 0.47 A with it, gone without, there again with it again, gone without again" in text_of(job(*entries))
    tested = '  - {at: "12:00", tested: {LIFT inputs: fine, LIFT outputs: fine, LIFT feed: 0.05V, LIFT ground: 0.02V}}'
    assert job(*entries, tested).standing.stage == "proven"


def test_what_does_not_come_back_went_by_itself() -> None:
    its = job(DREW, '  - {at: "11:00", out: [LIFT], change: gone}', '  - {at: "11:10", back: [LIFT]}',
              '  - {at: "11:40", change: no change}')  # fmt: skip
    assert its.standing.tries[0].verdict == "gone-by-itself"


def test_a_figure_in_the_same_entry_says_more() -> None:
    its = job(DREW, '  - {at: "11:00", out: [F22], total: 0.20A, change: less}').evidence.tries
    assert len(its) == 1 and its[0].after.amps == 0.20 and not its[0].after.change


def test_a_figure_brings_it_back_after_words() -> None:
    its = job(DREW, '  - {at: "11:00", out: [LIFT], change: gone}', '  - {at: "11:10", back: [LIFT]}',
              '  - {at: "11:40", total: 0.46A}')  # fmt: skip
    assert its.standing.tries[0].needs[:1] == ("out-again",)


def test_nothing_was_read_before_and_still_it_is_a_try() -> None:
    its = job('  - {at: "11:00", out: [LIFT], change: gone}')
    assert its.standing.tries[0].verdict == "involved"
    assert "With it out the draw is gone. No figure was written down" in text_of(its)
    assert "no current known" not in text_of(its)


@pytest.mark.parametrize(
    ("entry", "wrong"),
    [
        ('  - {at: "11:00", change: gone}', "with what out"),
        ('  - {at: "11:00", out: [F22], change: again}', "is still out"),
        ('  - {at: "11:00", out: [F22], change: perhaps}', "does not say what became"),
    ],
)
def test_what_makes_no_sense_is_told_with_its_place(entry: str, wrong: str) -> None:
    its = job(DREW, entry)
    assert [wrong in problem.headline for problem in its.problems] == [True]
    assert its.problems[0].span.text in ("gone", "again", "perhaps")


def test_a_switch_that_was_turned_and_is_left_so_is_the_remedy() -> None:
    """Nothing is put in again to prove it: what remains is to see that the draw stays away."""
    its = job(DREW, '  - {at: "11:00", turned: {BUNKSW: "off"}}', '  - {at: "11:30", total: 0.03A}')
    assert not its.problems
    leading = its.standing.leading
    assert leading is not None and leading.needs == ("left-so",) and not its.standing.still_out
    assert "BUNKSW, turned to off" in text_of(its) and "BAT 0.47 A before, 0.03 A since" in text_of(its)


def test_a_switch_that_made_no_difference_leaves_the_readings_as_they_are() -> None:
    its = job(DREW, '  - {at: "11:00", turned: {BUNKSW: "off"}}', '  - {at: "11:30", total: 0.47A}',
              '  - {at: "11:35", read: {F22: 0.46A}}')  # fmt: skip
    assert its.standing.tries[0].verdict == "cleared"
    assert its.evidence.out == () and its.evidence.readings[-1].without == ()


def test_every_word_is_one_of_the_few() -> None:
    assert all(is_change(change) and written_change(change.upper()) == change for change in CHANGES)
    assert not is_change("perhaps")
    with pytest.raises(WrongUse, match="does not say"):
        written_change("perhaps")

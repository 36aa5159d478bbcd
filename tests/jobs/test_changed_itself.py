"""Two steady looks at one battery that differ with nothing done by the card: it is asked what was done, and what went then is
not put on what was out."""

import pytest

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.changed_words import changed_lines
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_left_so import answer
from tests.jobs.test_one_of_two_mended import job
from tests.jobs.test_standing import standing

CAME = (
    'at: "14:01", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
    'at: "15:10", read: {SB: 0.01A, HB: 3.21A, FL: 1.20A, FW: 2.00A}, steady: yes',
)
OUT = ('at: "15:15", out: [WS]', 'at: "15:40", read: {HB: 1.21A, FL: 1.20A}, steady: yes')
LAMP = 'at: "15:45", remark: "owner pulled the lamp\'s plug"'
LATER = 'at: "15:55", read: {HB: 0.01A, FL: 0.00A}, steady: yes'


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_of([read_text(SourceFile("skiff.circuit", SKIFF))[0]])


def told(platform: Platform, *entries: str) -> Evidence:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    return evidence_on(platform, read_card(SourceFile("job.yaml", text))[0])[0]


def test_it_is_asked_and_what_went_later_is_not_put_on_what_was_out(skiff: Platform) -> None:
    found = standing(skiff, *CAME, *OUT, LAMP, LATER)
    assert [(one.out, one.left) for one in found.tries] == [(("WS",), 1.21)]
    said = " ".join(" ".join(changed_lines(found.changed, Clock().at)).split())
    assert "With the same out (WS) HB fell from 1.21 A to 0.01 A, both steady: what else was switched" in said
    assert 'Entry 5 says: "owner pulled the lamp\'s plug".' in said and "that is held to 1.21 A." in said
    its = job_json(job(skiff, *CAME, *OUT, LAMP, LATER))["changed_itself"]
    assert [(one["earlier"]["amps"], one["later"]["amps"], one["entries"]) for one in its] == [(1.21, 0.01, [5])]


def test_nor_in_the_answer_at_any_place(skiff: Platform) -> None:
    tries = {one.after.place: one.after.amps for one in told(skiff, *CAME, *OUT, LAMP, LATER).tries}
    assert tries == {"HB": 1.21, "FL": 1.20}
    its = answer(skiff, *CAME, *OUT, LAMP, LATER)
    assert {"LS", "LMP"} & {fault.part for fault in its.rows[0].faults[0]}


@pytest.mark.parametrize(
    "between",
    [
        'at: "15:45", out: [LMP]', 'at: "15:45", turned: {LS: "on"}', 'at: "15:45", back: [WS]',
        'at: "15:45", state: opened',
    ],
)  # fmt: skip
def test_what_was_written_down_needs_no_question(skiff: Platform, between: str) -> None:
    assert not standing(skiff, *CAME, *OUT, between, LATER).changed


@pytest.mark.parametrize(
    ("earlier", "later"), [("1.21A", "1.20A"), ("1.21A", "1.15A"), ("0.01A", "0.02A")], ids=["same", "wanders", "small"]
)
def test_what_wanders_is_no_change(skiff: Platform, earlier: str, later: str) -> None:
    one, two = OUT[1].replace("1.21A", earlier), LATER.replace("0.01A", later)
    assert not standing(skiff, *CAME, OUT[0], one, two).changed


def test_a_reading_that_nobody_watched_may_move(skiff: Platform) -> None:
    assert not standing(skiff, *CAME, OUT[0], OUT[1].replace(", steady: yes", ""), LATER).changed


def test_with_everything_in_it_is_asked_too(skiff: Platform) -> None:
    found = standing(skiff, *CAME, 'at: "15:30", read: {HB: 1.21A}, steady: yes')
    said = " ".join(" ".join(changed_lines(found.changed, Clock().at)).split())
    assert (
        said.startswith("ASK With nothing done by the card HB fell from 3.21 A to 1.21 A")
        and "did not go with" not in said
    )
    rose = standing(skiff, *CAME, 'at: "15:30", read: {HB: 5.21A}, steady: yes')
    assert "HB rose from 3.21 A to 5.21 A" in " ".join(" ".join(changed_lines(rose.changed, Clock().at)).split())

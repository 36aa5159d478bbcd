"""A desk that stays open keeps much of what was worked out: its answers are those of a desk that was just opened, and
one more reading costs the work of one reading."""

from datetime import datetime, timedelta
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from circuitmap.diagnosis.explaining.if_two import if_two
from circuitmap.diagnosis.seen.figures_that_fit import MOST_PLACES
from circuitmap.diagnosis.weighing.tables import ways_of
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.desk import Desk
from circuitmap.flows.job import diagnosis_of, open_job
from circuitmap.flows.sent import Sent
from circuitmap.reports.suspects.proving import back_in
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.work_done import calls_of

SAMPLES = Path(__file__).parent.parent.parent / "sample_vehicles"
LINES = ("F1=0.0mV", "F22=0.4mV", "F1=0.3mV", "out LIFT", "less")


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """Fuses were read, and nothing was taken out yet."""
    copytree(SAMPLES / "truck", tmp_path / "truck")
    card = tmp_path / "truck" / "jobs" / "0412.yaml"
    text = card.read_text("utf-8")
    card.write_text(text[: text.rindex("\n  - ", 0, text.index("out:"))] + "\n", "utf-8")
    return card


class Taps:
    """A desk that stays open, and a tap after the other."""

    def __init__(self, card: Path) -> None:
        self.desk, self.at, self.many = Desk(card), datetime.now() - timedelta(minutes=30), 0
        [self.key] = self.desk.cards()

    def tap(self, line: str) -> dict[str, Any]:
        self.many += 1
        self.at += timedelta(minutes=1)
        batch = [Sent(f"device{self.many:08d}", line, 0)]
        assert [its.outcome for its in self.desk.add(self.key, "Ida", batch, 0, self.at).taken] == ["kept"], line
        return self.desk.answer(self.key)


def test_a_desk_that_stays_open_answers_as_one_just_opened(card: Path) -> None:
    taps = Taps(card)
    taps.desk.answer(taps.key)
    for line in LINES:
        got = taps.tap(line)
        if line not in ("F1=0.3mV", "less"):
            continue  # what was kept of these counts for those that follow
        anew = Desk(card)
        assert got == anew.answer(taps.key), line
        job = anew._open(taps.key).job
        told = suspects_text(job.platform, diagnosis_of(job), 100_000)
        for section in got["sections"]:
            if section["label"] in ("LOOK AT", "MAY BE", "OR ELSE", "WHY"):
                assert all(its in told for its in section["lines"]), line
        back = back_in(diagnosis_of(job))  # the text has it once, above all steps
        assert all(step["words"].removeprefix(back) in told for step in got["steps"]), line


def test_every_figure_is_that_of_a_vehicle_opened_anew(card: Path) -> None:
    taps = Taps(card)
    taps.desk.answer(taps.key)
    for line in LINES[:3]:
        taps.tap(line)
    kept = taps.desk._open(taps.key).job
    anew = open_job(card)
    assert kept.circuit is not anew.circuit
    assert suspects_json(anew.platform, diagnosis_of(kept), 40) == suspects_json(anew.platform, diagnosis_of(anew), 40)


def test_one_more_reading_costs_the_work_of_one_reading(card: Path) -> None:
    taps = Taps(card)
    first = calls_of(ways_of, lambda: taps.desk.answer(taps.key))
    assert first > 20, "each reading is laid out for the first answer"
    again = calls_of(ways_of, lambda: taps.tap("F1=0.0mV"))
    more = MOST_PLACES + 1  # the sheets' figures where most is drawn, and what flows in all
    assert again <= 5 + more, "the new reading, those that it is taken off, what the sheets print, and nothing else"


def test_a_card_is_read_against_its_vehicle_once_for_each_entry(card: Path) -> None:
    taps = Taps(card)
    taps.desk.answer(taps.key)
    assert calls_of(evidence_on, lambda: taps.tap("F1=0.0mV")) == 1


def test_pairs_are_worked_out_where_they_are_told(card: Path) -> None:
    job = open_job(card)
    found = diagnosis_of(job)
    assert calls_of(if_two, lambda: found.if_two) == 1 and calls_of(if_two, lambda: found.if_two) == 0

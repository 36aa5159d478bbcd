"""`gone` without a figure is gone all the same: once that is in again and the draw is not back, it has to be made to come
back, and its sheets are told where nothing draws. The time to flat of an event holds while it is up. Source: as in
`evidence/while_gone.py`; the battery's arithmetic is that of `tests/battery`."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.reports.job.next_step import next_sentences
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

HEARSE = """\
platform "Calder Moss estate" supply 12V return body sleep 15min..25min limit 50mA
battery BAT 80Ah
box CAB "cab box" at "dash" reach 2min
fuse CAB.F1 15A mini, CAB.F2 10A mini, CAB.F3 15A mini
bar CAB.B1 feeds CAB.F1..F3
module BCU "body unit" supply 1 ground 2 asleep 9mA awake 350mA reach 3min
module TDM "tail door unit" supply 1 ground 2 asleep 4mA awake 250mA reach 4min
switch TLATCH "tail latch" positions shut, open closes 1 to 2 in open
network CABIN can members BCU, TDM
motor WIN "window" running 9A
switch WSW "window switch" positions off, on closes 1 to 2 in on
ground G1
sheet "1" whole
BAT.+ -> CAB.B1
CAB.F1 -> BCU.1
CAB.F2 -> TDM.1
CAB.F3 -> WSW.1
WSW.2 -> WIN -> G1
TDM.5 -> TLATCH.1
TLATCH.2 -> G1
BCU.2, TDM.2 -> G1
BAT.- -> G1
"""
LOCKED = 'at: "2026-03-01 08:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes'
DREW = 'at: "2026-03-01 08:40", total: 0.60A, steady: yes'
OUT = 'at: "2026-03-01 08:45", out: [CAB.F2], change: gone'
BACK = 'at: "2026-03-01 08:47", back: [CAB.F2]'
STAYED = 'at: "2026-03-01 09:30", total: 0.01A, steady: yes'
AGAIN = 'at: "2026-03-01 11:00", total: 0.58A, steady: yes'


@pytest.fixture(scope="module")
def hearse() -> Circuit:
    return circuit_from(HEARSE)


def job(hearse: Circuit, *entries: str, when: str = "") -> Job:
    head = f"battery: 80Ah\nflat-after: 2 days\n{f'happens-when: {when}' if when else ''}\n"
    text = f"job: 1\nplatform: x\n{head}entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(hearse.platform, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def answer(hearse: Circuit, its: Job) -> str:
    return " ".join(suspects_text(hearse.platform, diagnose(hearse, its.evidence)).split())


def test_gone_in_words_and_not_back_is_gone_for_now(hearse: Circuit) -> None:
    its = job(hearse, LOCKED, DREW, OUT, BACK, STAYED)
    assert headline(hearse.platform, its.standing).startswith(
        "GONE FOR NOW, NOT REPAIRED: it draws 0.01 A, and drew 0.60 A"
    )
    text = answer(hearse, its)
    assert "Make it come back first" in text.partition(" NEXT ")[2] and "charge the battery full" not in text
    assert "open and shut each door and lid, one after another" in text


def test_until_it_is_back(hearse: Circuit) -> None:
    its = job(hearse, LOCKED, DREW, OUT, BACK, STAYED, AGAIN)
    assert headline(hearse.platform, its.standing).startswith("IT DRAWS 0.58 A")
    assert "Make it come back first" not in answer(hearse, its)


def test_less_in_words_says_nothing_of_how_much_is_left(hearse: Circuit) -> None:
    its = job(hearse, LOCKED, DREW, OUT.replace("gone", "less"), BACK, STAYED.replace("0.01A", "0.25A"))
    assert not its.evidence.gone


def test_where_nothing_draws_the_sheets_are_told(hearse: Circuit) -> None:
    text = answer(hearse, job(hearse, LOCKED, STAYED))
    assert "NO DRAW FOUND" in text and "BY SHEETS 13 mA are the sheets' own for all asleep" in text


UP = 'at: "2026-03-01 08:40", total: 0.60A, during: event'


def test_the_time_of_an_event_holds_while_it_is_up(hearse: Circuit) -> None:
    told = " ".join(battery_lines(job(hearse, LOCKED, UP)))
    assert told.startswith("While it is up: at 0.5") and "how often it is up, and for how long, decides" in told
    assert "if it were up all the time, the draw measured is" in told
    steady = " ".join(battery_lines(job(hearse, LOCKED, DREW)))
    assert "while it is up" not in steady.casefold() and "if it were up" not in steady


MENDED = (LOCKED, UP, 'at: "2026-03-01 09:00", mended: "tail door unit new"', LOCKED.replace("08:00", "09:10"))


def test_what_provokes_it_is_asked_for_again_after_mending(hearse: Circuit) -> None:
    quiet = STAYED.replace("09:30", "09:50")
    its = job(hearse, *MENDED, quiet, when="after rain")
    (first, *_) = next_sentences(hearse.platform, its.standing)
    assert "after rain. So make it as it was when it drew: wet it as rain does" in first and "log a night" in first
    (first, *_) = next_sentences(hearse.platform, job(hearse, *MENDED, quiet).standing)
    assert first.startswith("It came and went before: bring about what brought it")
    steady = (LOCKED, DREW, *MENDED[2:], quiet)
    (first, *_) = next_sentences(hearse.platform, job(hearse, *steady).standing)
    assert first.startswith("Lock it, and log a night")

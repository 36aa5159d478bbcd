"""Amperes are told with the digits of the meter, the last digit alone is not nothing, and beside a look the card prints
what tells more."""

from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import job_of
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_text import brief
from circuitmap.reports.job.standing_text import left_sentence
from circuitmap.reports.job.tried_text import try_sentence
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit
from tests.diagnosis.test_keeping_faith import asked

CARD = """\
entries:
- {at: 10:00, state: locked}
- {at: 10:20, meter: low-current-clamp, resolution: 1mA, read: {BAT: 38mA, F1: 1mA}}
- {at: 10:40, out: [REG], read: {BAT: 1mA}}
"""


def test_one_milliampere_is_not_told_as_none() -> None:
    job = job_of(circuit("motorcycle").platform, SourceFile("job.yaml", CARD))
    (one,) = job.standing.tries
    assert "BAT 0.038 A with it, 0.001 A without" in try_sentence(job.platform, one, Clock())
    assert left_sentence(one, job.standing).startswith("0.001 A with it out")


def test_a_coarse_meter_gets_no_third_digit() -> None:
    coarse = Reading(place="BAT", meter=meter_named("clamp"), amps=0.04)
    assert not is_fine(coarse) and ampere_words(0.04, is_fine(coarse)) == "0.04 A"
    assert ampere_words(12.0, fine=True) == "12.00 A"


def test_the_last_digit_alone_is_not_called_nothing() -> None:
    found = asked(
        circuit("truck"), "BAT=0.57A", "MAIN.F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F33=0.1mV", "F30=0.1mV", "F24=0.0mV"
    )
    text = " ".join(suspects_text(circuit("truck").platform, found).split())
    assert "CAB.F24 is quiet; CAB.F30 and CAB.F33 show the last digit alone (up to 0.04 A may flow in them)" in text


def test_beside_a_look_the_step_with_a_meter_is_printed() -> None:
    lines = [
        "LOOK AT    it",
        "",
        "NEXT (keep the total on the clamp)",
        " 1  Look round, no tool.  10 min",
        " 2  Clamp it.",
        " 3  Pull it.",
    ]
    assert [line[:4] for line in brief(lines) if line.startswith(" ")] == [" 1  ", " 2  "]
    lines[3] = " 1  Read it.  3 min"
    assert [line[:4] for line in brief(lines) if line.startswith(" ")] == [" 1  "]

"""What is left with a part out, and is what the sheets say that the vehicle takes with its switches so, is no fault."""

from random import Random

import pytest

from circuitmap.jobs.against_limit import against_limit
from circuitmap.jobs.standing import JobStanding
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.standing_text import headline, left_sentence
from circuitmap.reports.words.limit_words import limit_words
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import standing

LOCKED = "at: 08:00, state: locked"
ON = "at: 07:50, stands: {MAIN: on}"


def camper(detector: int = 80, panel: int = 40, more: str = "") -> Platform:
    """`detector` and `panel` are what these two take behind a main switch that is off when the vehicle is laid up, in
    mA."""
    text = f"""\
platform "Camper" sleep 5min..10min limit 40mA
battery LEIS 100Ah
box LIV "Fuse panel"
fuse LIV.F1 5A mini, LIV.F2 5A mini, LIV.F3 10A mini
switch MAIN "main switch" positions off, on closes 1 to 2 in on
sensor GASDET "gas detector" supply 1 ground 2 running {detector}mA
module PANEL "control panel" supply 1 ground 2 asleep {panel}mA
lamp AWNL "awning lamp" supply 1 ground 2 running 0.7A
switch AWNSW "awning switch" positions off, on closes 1 to 2 in on
ground G1
{more}
LEIS.+ -> MAIN.1
MAIN.2 -> LIV.F1 -> GASDET.1
MAIN.2 -> LIV.F2 -> PANEL.1
MAIN.2 -> LIV.F3 -> AWNSW.1
AWNSW.2 -> AWNL.1
LEIS.- -> G1
GASDET.2 -> G1
PANEL.2 -> G1
AWNL.2 -> G1
"""
    read, problems = read_text(SourceFile("camper.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def left_at(platform: Platform, amps: float, *said: str) -> JobStanding:
    """The awning switch out, and so much left once everything has slept again."""
    return standing(
        platform,
        *said,
        LOCKED,
        "at: 08:30, read: {LEIS: 0.90A}",
        "at: 08:40, out: [AWNSW]",
        f"at: 08:46, read: {{LEIS: {amps:.2f}A}}",
    )


def left_words(found: JobStanding) -> str:
    assert found.leading is not None
    return left_sentence(found.leading, found)


def test_what_the_rest_is_known_to_take_is_no_second_fault() -> None:
    said = left_words(left_at(camper(), 0.12, ON))
    assert "which is normal" in said and "something else draws" not in said
    assert "with MAIN at on" in said and "GASDET 0.08 A" in said and "PANEL 0.04 A" in said


def test_more_than_that_is_still_too_much() -> None:
    assert "something else draws too" in left_words(left_at(camper(), 0.40, ON))


def test_with_the_switch_off_the_limit_counts_as_it_stands() -> None:
    found = left_at(camper(), 0.16)
    assert "something else draws too" in left_words(found)
    assert limit_words(found, "LEIS") == "0.04 A (this platform's)"


def test_what_is_only_assumed_makes_nothing_normal() -> None:
    """Thirty modules of which nobody typed what they take."""
    modules = "\n".join(f"module M{n} supply 1 ground 2\nMAIN.2 -> M{n}.1\nM{n}.2 -> G1" for n in range(30))
    found = left_at(camper(1, 1, modules), 0.20, ON)
    assert "something else draws too" in left_words(found)


def test_a_night_at_what_is_known_shows_it_repaired() -> None:
    found = standing(
        camper(), ON, LOCKED, "at: 08:30, read: {LEIS: 0.90A}", "at: 08:40, out: [AWNSW], read: {LEIS: 0.12A}",
        "at: 08:50, back: [AWNSW], mended: new switch", "at: 09:00, state: locked",
        "at: 19:30, log: {place: LEIS, floor: 0.11A, peak: 0.13A, mean: 0.12A, for: 10h}",
    )  # fmt: skip
    assert found.stage == "repaired"
    assert "GASDET 0.08 A" in headline(camper(), found)


@pytest.mark.parametrize("seed", range(12))
def test_whatever_the_sheets_say_is_left_alone_and_twice_that_is_not(seed: int) -> None:
    random = Random(seed)
    detector, panel = random.randint(30, 300), random.randint(10, 200)
    platform, known = camper(detector, panel), (detector + panel) / 1000.0
    found = left_at(platform, known, ON)
    last = found.tries[-1].after
    assert against_limit(last, found.limits.at("LEIS")) in ("within", "cannot-tell")
    more = left_at(platform, 2.0 * known + 0.2, ON)
    assert against_limit(more.tries[-1].after, more.limits.at("LEIS")) == "above"

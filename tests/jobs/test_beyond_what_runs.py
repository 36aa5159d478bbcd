"""More flows than the sheets give for all that was switched on: what runs may take that, or something draws besides. The
switch tells the two apart, no finer meter and no night."""

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.reports.job.mended_text import mended_headline
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_left_so import FUSES, LOCKED, NOW, OFF, ON, answer
from tests.jobs.test_standing import standing


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_of([read_text(SourceFile("skiff.circuit", SKIFF))[0]])


def read(amps: str) -> tuple[str, ...]:
    return ON, LOCKED, f'at: "15:10", read: {{SB: 0.01A, HB: {amps}}}, steady: yes'


@pytest.mark.parametrize(("amps", "more"), [("4.80A", "0.75 A"), ("5.25A", "1.20 A")])
def test_the_switch_tells_not_a_finer_meter(skiff: Platform, amps: str, more: str) -> None:
    its = answer(skiff, *read(amps))
    said = " ".join(suspects_text(skiff, its).split())
    assert f"CAN'T TELL YET: HB gives {amps[:-1]} A" in said and f"on: {more} more" in said
    assert "NO DRAW FOUND" not in said and "overnight" not in said and "leads off" not in said
    assert "1 Turn ICE, cold box to off" in said and "2 Clamp what feeds COMP while it runs: at FH" in said
    told = suspects_json(skiff, its, 3)["no_draw"]["beyond_what_runs"]
    assert [(one["place"], one["switches"]) for one in told] == [("HB", ["ICE"])]
    found = standing(skiff, *read(amps))
    assert found.stage == "cannot-tell"
    assert f"{more} more than is known with what was switched on (ICE at on: 4.05 A)" in headline(skiff, found)


@pytest.mark.parametrize("amps", ["4.05A", "4.20A", "3.90A"])
def test_what_the_sheets_give_is_normal(skiff: Platform, amps: str) -> None:
    found = standing(skiff, *read(amps))
    assert headline(skiff, found).startswith(f"NO MORE THAN IS KNOWN so far: HB {amps[:-1]} A")
    assert "NO DRAW FOUND" in suspects_text(skiff, answer(skiff, *read(amps)))


def test_turned_off_the_rest_is_hunted(skiff: Platform) -> None:
    its = answer(skiff, *read("5.25A"), OFF, NOW, FUSES)
    assert its.parts[0].part in ("LS", "LMP")


def test_nor_does_it_show_a_repair(skiff: Platform) -> None:
    mended = ('at: "16:00", mended: "new switch LS"', 'at: "16:05", state: locked')
    one = standing(skiff, *read("9.25A"), *mended, 'at: "17:00", read: {SB: 0.01A, HB: 5.25A}, steady: yes')
    said = "HB still draws 5.25 A, but that is 1.20 A more than is known with what was switched on: turn that off"
    assert said in mended_headline(skiff, one)
    two = standing(skiff, *read("9.25A"), *mended, 'at: "17:00", read: {SB: 0.01A, HB: 4.05A}, steady: yes')
    assert [r for r in two.after.quiet if r.place == "HB"]

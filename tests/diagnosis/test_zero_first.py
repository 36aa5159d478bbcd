"""Zeroing the clamp and reading again is a step, and the first one, where much of what was found may be its zero."""

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.read_first import read_first
from circuitmap.reports.bay.steps import tap_of
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import cautions_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

LORRY = """\
platform "Box lorry" sleep 5min..10min limit 40mA
battery B 110Ah
fuse M1 80A bolted, M2 80A bolted, M3 60A bolted, M4 60A bolted
ground G1
"""
for n in range(1, 5):
    LORRY += f'heater H{n} "heater {n}" supply 1 ground 2 running {n + 1}A\nswitch S{n} positions off, on closes 1 to 2 in on\n'
    LORRY += f"B.+ -> M{n} -> S{n}.1\nS{n}.2 -> H{n}.1\nH{n}.2 -> G1\n"
LORRY += "B.- -> G1\n"
LOCKED = "at: 09:00, state: locked, meter: clamp, resolution: 10mA"
ALIKE = "at: 09:40, total: 0.45A, read: {M1: 0.07A, M2: 0.07A, M4: 0.07A, M3: 0.10A}"


def diagnosed(*entries: str) -> tuple[Platform, Diagnosis]:
    its = circuit_from(LORRY)
    return its.platform, told(its, LOCKED, *entries)[0]


def test_places_that_show_the_same_are_read_again_first_with_the_clamp_zeroed() -> None:
    platform, found = diagnosed(ALIKE)
    first = found.tests.choices[0]
    assert (first.action.doing, first.action.parts) == ("zero-again", ("M1", "M2", "M4", "B"))
    assert "zero-first" in {one.code for one in cautions_of(platform, found.switching, first.action)}
    text = " ".join(suspects_text(platform, found).split())
    assert "1 Zero the clamp, away from every cable, and read M1, M2, M4 and B again." in text
    assert not tap_of(first, "").lines


@pytest.mark.parametrize(
    "entry",
    [
        ALIKE.replace("M4: 0.07A", "M4: 0.00A"),
        "at: 09:40, total: 7.45A, read: {M1: 0.07A, M2: 0.07A, M4: 0.07A, M3: 7.10A}",
    ],
)
def test_one_that_shows_less_or_a_total_that_dwarfs_them_asks_for_none(entry: str) -> None:
    _, found = diagnosed(entry)
    assert all(test.action.doing != "zero-again" for test in found.tests.choices)


def test_once_they_were_read_again_it_is_not_asked_for_once_more() -> None:
    again = "at: 09:50, zeroed: yes, total: 0.38A, read: {M1: 0.00A, M2: 0.00A, M4: 0.00A, M3: 0.03A}"
    _, found = diagnosed(ALIKE, again)
    assert all(test.action.doing != "zero-again" for test in found.tests.choices)
    as_much = ALIKE.replace("at: 09:40", "at: 09:50, zeroed: yes")
    _, found = diagnosed(ALIKE, as_much)
    assert all(test.action.doing != "zero-again" for test in found.tests.choices)


def test_a_total_that_nothing_bears_out_is_read_again_first_where_a_slip_is_likely_enough() -> None:
    _, found = diagnosed("at: 09:40, total: 0.15A")
    nets = found.netted
    assert read_first(nets, 0.5, 0.05) == ("B",)
    assert read_first(nets, 0.9, 0.05) == () and read_first(nets, 0.5, 0.20) == ()


def test_such_a_total_stands_second_and_the_doubt_names_the_step() -> None:
    platform, found = diagnosed("at: 09:40, total: 0.30A")
    assert [test.action.doing for test in found.tests.choices][1] == "zero-again"
    assert "the total was misread: NEXT 2 tells." in " ".join(suspects_text(platform, found).split())

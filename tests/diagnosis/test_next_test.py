"""The next test: what is offered, what never is, what is priced in."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.next_test.doing import TAKES_OUT, WORK
from circuitmap.diagnosis.next_test.ranking import best_by_the_minute
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.reports.words.cautions import cautions_of
from circuitmap.wiring.hands_off_words import look_of
from tests.diagnosis.cards import CARDS, after, card_of
from tests.diagnosis.test_netting import circuit

SLOW_AND_QUICK = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
fuse F1 10A mini, F2 10A mini, F3 10A mini reach 1min
module HEATER supply 1 ground 2 awake 100mA..200mA reach 60min at "behind the dashboard"
module LOCKS supply 1 ground 2 awake 100mA..200mA reach 60min at "behind the dashboard"
module AIRBAG "airbag control" supply 1 ground 2 awake 100mA..200mA
network BODY can members HEATER, LOCKS, AIRBAG
sheet "1"
BAT.+ -> F1 -> HEATER.1
BAT.+ -> F2 -> LOCKS.1
BAT.+ -> F3 -> AIRBAG.1
HEATER.2, LOCKS.2, AIRBAG.2 -> case
BAT.- -> case
"""


def advised(*words: str) -> list[tuple[str, tuple[str, ...]]]:
    its = circuit(SLOW_AND_QUICK)
    readings = tuple(written_reading(its.platform, word, meter_named("series", 0.001)) for word in words)
    diagnosis = diagnose(its, Evidence(readings=readings, looked=True))
    return [(test.action.doing, test.action.parts) for test in diagnosis.tests.choices]


AWAKE = ("BAT=0.450A", "F1=0.150A", "F2=0.150A", "F3=0.150A")


def test_a_fuse_a_minute_away_before_a_part_an_hour_away() -> None:
    """Both tell the same; what counts is bits per minute."""
    first, *_ = advised(*AWAKE)
    assert first[0] == "pull-fuses"


def test_most_bits_a_minute_and_of_nearly_equals_the_one_that_tells_most() -> None:
    assert best_by_the_minute([0.9, 0.5], [60.0, 10.0]) == 1
    assert best_by_the_minute([0.5, 0.9], [10.0, 19.0]) == 1
    assert best_by_the_minute([0.5, 0.5], [10.0, 5.0]) == 1


def test_another_fuse_is_not_worth_it_once_the_network_explains_them_all() -> None:
    assert not any(doing == "read-fuse" for doing, _ in advised(*AWAKE))


def test_restraint_parts_are_never_unplugged_nor_their_fuse_pulled() -> None:
    for words in (AWAKE, AWAKE[:2], ("BAT=0.300A", "F3=0.290A")):
        for doing, parts in advised(*words):
            if doing in TAKES_OUT:
                assert "AIRBAG" not in parts and "F3" not in parts


@pytest.mark.parametrize(
    ("name", "description", "never"),
    [
        ("AIRBAG", "", True), ("M7", "air bag control", True), ("SRS", "", True), ("M1", "belt pre-tensioner", True),
        ("INV", "high-voltage inverter", True), ("BAT2", "traction battery", True), ("M2", "restraint control", True),
        ("HEATER", "parking heater", False), ("SUSP", "air suspension control", False), ("HVAC", "cab blower", False),
    ],
)  # fmt: skip
def test_who_is_hands_off(name: str, description: str, never: bool) -> None:
    assert (look_of(name, description) is not None) is never


@pytest.mark.parametrize("name", CARDS)
def test_at_every_step_one_choice_unplugs_nothing_where_any_is_worth_it(name: str) -> None:
    for entries in (2, 3, len(card_of(name).entries) // 2):
        tests = after(name, entries).tests.choices
        if len(tests) == 3:
            assert not all(test.action.is_invasive for test in tests)


@pytest.mark.parametrize("name", CARDS)
def test_waiting_and_waking_are_priced_in(name: str) -> None:
    for test in after(name, 3).tests.choices:
        hands, wakes, *_ = WORK[test.action.doing]
        assert test.action.minutes >= hands + test.action.wait
        if test.action.doing in TAKES_OUT:
            assert wakes > 0.0
            platform = after(name, 3).hands_off.platform
            if any(part in platform.networks_of for part in test.action.parts):
                assert test.action.wait > 0.0  # others on the network may have to fall asleep first
            codes = {caution.code for caution in cautions_of(platform, after(name, 3).switching, test.action)}
            assert codes & {"before-pulling", "before-parting"}


@pytest.mark.parametrize("name", CARDS)
def test_the_branch_table_is_there_before_it_is_done(name: str) -> None:
    for test in after(name, 3).tests.choices:
        assert len(test.branches) >= 2
        assert sum(branch.probability for branch in test.branches) == pytest.approx(1.0)
        assert all(0.0 <= branch.then <= 1.0 + 1e-9 for branch in test.branches)

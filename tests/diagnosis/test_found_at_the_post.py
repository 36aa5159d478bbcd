"""What was found at a battery's post and is on the card is clamped by itself: nobody looks for it there once more."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.planned import PlannedTest
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_post_and_its_cables import DRESSER
from tests.diagnosis.test_steps_worth_doing import on_card, steps

LOCKED = 'at: "10:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes'
FOUND = 'at: "11:15", added: {trickle heater: BAT}'


def told(its: Circuit, *entries: str, read: str = "M1: 0.01A, M2: 0.00A") -> Diagnosis:
    first = f'at: "11:02", total: 0.20A, read: {{{read}}}, steady: yes'
    return on_card(its, LOCKED, first, *entries)


@pytest.fixture(scope="module")
def dresser() -> Circuit:
    return circuit_from(DRESSER)


def at_post(found: Diagnosis) -> PlannedTest | None:
    return next((its for its in found.tests.choices if its.action.doing == "at-the-post"), None)


def test_the_post_is_looked_at_while_nothing_was_found_there(dresser: Circuit) -> None:
    assert steps(told(dresser))[0] == ("at-the-post", ("BAT", "ALT", "STA"))


def test_what_was_found_there_is_clamped_by_itself(dresser: Circuit) -> None:
    found = told(dresser, FOUND)
    assert max(found.parts, key=lambda its: its.probability).part == "trickle heater"
    assert at_post(found) is None
    assert steps(found)[0] == ("clamp", ("trickle heater",))


def test_if_it_carries_nothing_the_post_is_looked_at_and_it_is_not_among_what_is_found(dresser: Circuit) -> None:
    found = told(dresser, FOUND, 'at: "11:20", read: {trickle heater: 0A}')
    first = at_post(found)
    assert first is not None and "trickle heater" not in first.action.parts
    assert "trickle heater" not in {fault.part for fault in first.look_for}


def test_if_it_carries_all_of_it_nobody_looks_there(dresser: Circuit) -> None:
    found = told(dresser, FOUND, 'at: "11:20", read: {trickle heater: 0.19A}')
    assert at_post(found) is None and found.tests.mend == "trickle heater"


def test_the_wire_behind_a_fuse_is_not_followed_to_what_the_card_names_there(dresser: Circuit) -> None:
    found = told(dresser, FOUND.replace("BAT", "CAB.F2"), read="M1: 0.19A, M2: 0.00A, CAB.F1: 0.00A, CAB.F2: 0.19A")
    follows = [its for its in found.tests.choices if its.action.doing == "follow"]
    assert all("trickle heater" not in {fault.part for fault in its.look_for} for its in follows)


OTHERS = 'at: "11:10", added: {step lamp: CAB.F1, awning motor: CAB.F2, tool heater: CAB.F3, locker lamp: CAB.F4}'
QUIET = "M1: 0.01A, M2: 0.00A, CAB.F1: 0A, CAB.F2: 0A, CAB.F3: 0A, CAB.F4: 0A"


def test_what_else_was_fitted_and_draws_nothing_makes_it_no_less_likely(dresser: Circuit) -> None:
    """Four things behind fuses that show nothing: none of them is it, and none of them stands for the one at the post."""
    alone, among = (told(dresser, *entries, read=QUIET) for entries in ((FOUND,), (OTHERS, FOUND)))
    chance = [next(p.probability for p in its.parts if p.part == "trickle heater") for its in (alone, among)]
    assert chance[1] > 0.9 * chance[0] > 0.4
    assert max(among.parts, key=lambda its: its.probability).part == "trickle heater"
    assert at_post(among) is None


def test_its_own_cable_is_read_before_it_is_unplugged_although_the_post_was_read(dresser: Circuit) -> None:
    for entries in ((FOUND,), (OTHERS, FOUND)):
        its = steps(told(dresser, *entries, read=QUIET))
        assert its[0] == ("clamp", ("trickle heater",))

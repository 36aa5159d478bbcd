"""Who does not answer, what waits for a message, and what the lines show: on a made-up row of four modules."""

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.dead.dead_loads import Complaint, DeadLoads, dead_loads
from circuitmap.dead.written_told import written_told
from circuitmap.failures import WrongUse
from circuitmap.power.state import VehicleState
from circuitmap.reports.dead.dead_text import dead_text
from tests.power.random_platforms import platform_from

TEXT = """platform "Made up" supply 12V return body
naming SP* splice, X* connector, G* ground
battery BAT 70Ah
BAT.- -> G1
fuse F1 10A, F2 10A, F3 10A, F4 10A
module HEAD supply 1 ground 2
module LEFT supply 1 ground 2
module REAR supply 1 ground 2 sense 7
module TAIL supply 1 ground 2
output REAR.5 feeds in run
output REAR.6 feeds
lamp SIDE running 1A
lamp WORK running 2A
network LINE can members HEAD (3, 4), LEFT (3, 4), REAR (3, 4), TAIL (3, 4)
BAT.+ -> F1 -> HEAD.1
BAT.+ -> F2 -> LEFT.1
BAT.+ -> F3 -> REAR.1
BAT.+ -> F4 -> TAIL.1
HEAD.2, LEFT.2, REAR.2, TAIL.2 -> G1
REAR.5 -> SIDE -> G1
REAR.6 -> WORK -> G1
HEAD.3 -> SP1
LEFT.3 -> SP1
SP1 -> X1.1 -> SP3
SP3 -> REAR.3
SP3 -> TAIL.3
HEAD.4 -> SP2
LEFT.4 -> SP2
SP2 -> X1.2 -> SP4
SP4 -> REAR.4
SP4 -> TAIL.4
resistor R1 120ohm
R1.1 -> SP1
R1.2 -> SP2
"""


@pytest.fixture(scope="module")
def circuit() -> Circuit:
    return circuit_of(platform_from(TEXT))


def asked(circuit: Circuit, dead: str, works: str = "") -> DeadLoads:
    told = [written_told(circuit, one, False) for one in dead.split()]
    told += [written_told(circuit, one, True) for one in works.split()]
    return dead_loads(circuit, VehicleState(key="run"), Complaint(tuple(told), {}))


def first_row(its: DeadLoads) -> set[str]:
    return {one.name for one in its.weighed.groups[0].breaks}


def test_one_that_does_not_answer_while_the_others_do(circuit: Circuit) -> None:
    row = first_row(asked(circuit, "REAR@scan", "TAIL@scan HEAD@scan LEFT@scan REAR"))
    assert {"REAR@LINE", "SP3 REAR.3", "SP4 REAR.4"} <= row
    assert not row & {"F3", "SP3", "X1.1", "LINE"}


def test_two_behind_the_same_plug(circuit: Circuit) -> None:
    """One broken wire of the pair is enough, and it does not matter which."""
    row = first_row(asked(circuit, "REAR@LINE TAIL@LINE", "HEAD@LINE LEFT@LINE REAR TAIL"))
    assert {"X1.1", "X1.2", "SP3", "SP4"} <= row
    assert not row & {"REAR@LINE", "LINE", "F3", "F4"}


def test_nobody_answers_though_all_are_fed(circuit: Circuit) -> None:
    its = asked(circuit, "HEAD@scan LEFT@scan REAR@scan TAIL@scan", "HEAD REAR")
    assert "LINE" in first_row(its)
    text = " ".join(dead_text(circuit.platform, its).split())
    assert "take one member of LINE off at a time" in text
    assert "R1 120 ohm" in text and "battery off" in text


def test_who_was_said_to_answer_decides_which_part_of_the_line_talks(circuit: Circuit) -> None:
    row = first_row(asked(circuit, "HEAD@LINE LEFT@LINE", "TAIL@LINE HEAD LEFT"))
    assert {"X1.1", "X1.2", "SP1", "SP2"} <= row


def test_an_output_that_follows_the_key_waits_for_a_message_more_likely_than_one_with_inputs(circuit: Circuit) -> None:
    its = asked(circuit, "SIDE REAR@scan", "WORK HEAD@scan TAIL@scan LEFT@scan")
    assert "REAR@LINE" in first_row(its)
    waiting = next(then.perhaps for one, then in its.found.without.items() if one.name == "REAR@LINE")
    names = {its.watched.named(n): one.chance for one in waiting for n in one.loads}
    assert names["SIDE"] > names["WORK"] > 0


def test_without_supply_a_module_does_not_answer_either(circuit: Circuit) -> None:
    row = first_row(asked(circuit, "REAR@scan SIDE WORK", "TAIL@scan HEAD@scan LEFT@scan"))
    assert "F3" in row


def test_the_step_is_at_the_line_and_tells_the_side_of_the_plug(circuit: Circuit) -> None:
    its = asked(circuit, "REAR@LINE TAIL@LINE", "HEAD@LINE LEFT@LINE REAR TAIL")
    step = its.steps[0]
    assert step.step.network == "LINE"
    shown = {outcome.shown: {one.name for one in outcome.left} for outcome in step.outcomes}
    assert set(shown) == {"talks", "still"}
    assert shown["talks"] and shown["still"] and not shown["talks"] & shown["still"]


def test_what_a_module_says_of_itself_is_typed_and_read_alike(circuit: Circuit) -> None:
    for text in ("REAR@LINE", "REAR@scan", "SIDE@key=run", "REAR@LINE@key=run"):
        told = written_told(circuit, text, True)
        assert written_told(circuit, told.typed, True) == told


@pytest.mark.parametrize("text", ["SIDE@LINE", "SIDE@scan", "REAR@OTHER", "REAR@run"])
def test_what_is_on_no_network_cannot_be_silent(circuit: Circuit, text: str) -> None:
    with pytest.raises(WrongUse):
        written_told(circuit, text, False)

"""Modules that a fuse chart names, their pins not typed in: each row is a feed of its own.

The law is that a platform of rows answers like its twin, in which somebody typed the pins and a wire to each.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitmap.circuit.common import in_common
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.failures import WrongUse
from circuitmap.power.carried import carried
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.names import find_terminal
from circuitmap.wiring.parts import Terminal, is_unnamed
from tests.circuit.told import circuit

HEAD = """
battery BAT 80Ah
BAT.+ -> B1
BAT.- -> case
bar B1 feeds F1..F6
fuse F1 10A, F2 10A, F3 10A, F4 10A, F5 10A, F6 10A
"""
FUSES = tuple(f"F{n}" for n in range(1, 7))
Rows = tuple[tuple[str, int], ...]
rows_of_modules = st.sets(st.tuples(st.sampled_from(FUSES), st.integers(0, 3)), min_size=1).map(
    lambda found: tuple(sorted(found))
)


def of_rows(rows: Rows) -> Circuit:
    modules = "".join(f"module M{n}\n" for n in sorted({n for _, n in rows}))
    return circuit(HEAD + modules + "".join(f"{fuse} feeds M{n}\n" for fuse, n in rows))


def twin_of(rows: Rows) -> Circuit:
    """The same, with a pin typed in for each row."""
    modules = ""
    for module in sorted({n for _, n in rows}):
        pins = ", ".join(str(at) for at, (_, n) in enumerate(rows, 1) if n == module)
        modules += f"module M{module} supply {pins}\n"
    return circuit(HEAD + modules + "".join(f"{fuse} -> M{n}.{at}\n" for at, (fuse, n) in enumerate(rows, 1)))


def fuses_of_feeds(its: Circuit, load: str) -> list[list[str]]:
    """For each supply pin of a load, the fuses on its ways."""
    return sorted(
        sorted({fuse for path in pin.supply for fuse in path.fuses}) for pin in trace(its, load).pins if pin.supply
    )


def shared(its: Circuit, fuses: tuple[str, str]) -> list[str]:
    """The loads that two fuses share."""
    return [one.name for one in in_common(its, fuses).common_loads]


@given(rows_of_modules)
def test_rows_answer_like_their_twin_with_pins_and_wires(rows: Rows) -> None:
    charted, twin = of_rows(rows), twin_of(rows)
    for load in {f"M{n}" for _, n in rows}:
        feeds = fuses_of_feeds(charted, load)
        assert feeds == fuses_of_feeds(twin, load) == [[fuse] for fuse, n in rows if f"M{n}" == load]
    for fuse in FUSES:
        assert trace(charted, fuse).loads == trace(twin, fuse).loads
        out = VehicleState(pulled=frozenset((fuse,)))
        mine, other = evaluate(charted, out), evaluate(twin, out)
        assert {name: its.draws for name, its in mine.loads.items()} == {n: its.draws for n, its in other.loads.items()}
        assert mine.supply[Terminal(fuse, "2")] == other.supply[Terminal(fuse, "2")] == Answer.NO, "nothing comes back"
    for pair in pairwise(FUSES):
        assert shared(charted, pair) == shared(twin, pair)


def test_a_row_more_moves_no_other_row() -> None:
    one, two = of_rows((("F2", 0),)), of_rows((("F1", 0), ("F2", 0)))
    assert set(one.platform.wires) < set(two.platform.wires)


def test_a_row_that_is_typed_in_goes_and_the_other_stays_a_feed_of_its_own() -> None:
    its = circuit(HEAD + "module ABS supply 1\nF1 feeds ABS\nF2 feeds ABS\nF1 -> ABS.1\n")
    assert {str(pin) for pin in its.loads["ABS"].supplies} == {"ABS.1", "ABS.?F2"}
    assert fuses_of_feeds(its, "ABS") == [["F1"], ["F2"]]


def test_one_row_is_at_the_only_supply_pin_and_at_none_of_several() -> None:
    its = circuit(HEAD + "module A supply 1\nmodule B supply 1, 2\nF1 feeds A, B\n")
    assert {str(pin) for pin in its.loads["A"].supplies} == {"A.1"}
    assert {str(pin) for pin in its.loads["B"].supplies} == {"B.?F1"}
    assert {str(pin) for pin in its.loads["B"].perhaps} == {"B.1", "B.2"}


def test_which_typed_pin_a_row_means_is_not_known_and_is_said() -> None:
    its = circuit(HEAD + "module ECU supply 1, 2\nF1 feeds ECU\nF2 feeds ECU\n")
    powered = evaluate(its, VehicleState())
    assert powered.loads["ECU"].draws == Answer.YES
    assert powered.supply[Terminal("ECU", "1")] == powered.supply[Terminal("ECU", "2")] == Answer.MAY_BE
    told = {(entry.kind, entry.name) for name in ("ECU", "F1") for entry in trace(its, name).unknown}
    assert {("terminal assumed", "ECU.1"), ("terminal assumed", "ECU.2")} <= told


def test_what_single_pins_are_said_to_take_is_shared_by_the_rows() -> None:
    its = circuit(HEAD + "module ECU supply 1, 2 asleep 3mA on 1, 5mA on 2\nF1 feeds ECU\nF2 feeds ECU\n")
    found = {one.names[0]: one for one in carried(evaluate(its, VehicleState()), {"ECU": True})}
    assert found["F1"].shared == found["F2"].shared == ("ECU",)
    assert found["BAT"].amps.low == pytest.approx(0.008)


def test_a_pin_that_a_module_needs_is_live_perhaps() -> None:
    its = circuit(HEAD + "module ECU supply 1, 2 needs 1\nF1 feeds ECU\nF2 feeds ECU\n")
    assert evaluate(its, VehicleState()).loads["ECU"].draws == Answer.MAY_BE
    both_out = VehicleState(pulled=frozenset(("F1", "F2")))
    assert evaluate(its, both_out).loads["ECU"].draws == Answer.NO


def test_an_output_from_a_typed_pin_is_fed_by_the_row_perhaps() -> None:
    its = circuit(
        HEAD + "module ECU supply 1, 2\nF3 feeds ECU\noutput ECU.7 feeds from 2 always\nmotor M\nECU.7 -> M -> case\n"
    )
    assert evaluate(its, VehicleState()).loads["M"].draws == Answer.MAY_BE
    assert trace(its, "F3").loads == ("ECU", "M")


@pytest.mark.parametrize("kind", ["lamp", "motor", "socket", "alternator", "charger", "load"])
def test_two_rows_of_any_load_are_two_feeds(kind: str) -> None:
    its = circuit(f"{HEAD}{kind} L\nF1 feeds L\nF2 feeds L\n")
    assert fuses_of_feeds(its, "L") == [["F1"], ["F2"]]
    assert evaluate(its, VehicleState(pulled=frozenset(("F1",)))).supply[Terminal("F1", "2")] == Answer.NO


def test_a_row_of_a_hands_off_module_holds_back_no_fuse_beside() -> None:
    its = circuit(HEAD + "module SRS hands-off restraint\nmodule M\nF1 feeds M\nF2 feeds M\nF2 feeds SRS\n")
    assert its.hands_off.why_not("F2") is not None
    assert its.hands_off.why_not("F1") is None, "M joins it to nothing"


def test_a_pin_nobody_named_is_offered_to_nobody() -> None:
    """Where it is asked for, what feeds it is named: a probe can be held there."""
    its = of_rows((("F1", 0), ("F2", 0), ("F3", 1)))
    with pytest.raises(WrongUse) as refused:
        find_terminal(its.platform, "M0")
    assert refused.value.advice == "Nobody named the pins of M0 that the chart feeds by F1, F2: ask there."
    assert is_unnamed(find_terminal(its.platform, "M1").pin), "the only one can be meant without a name"

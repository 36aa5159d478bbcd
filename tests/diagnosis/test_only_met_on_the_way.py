"""What hangs on the battery's side of a main switch, at its stud, goes on with the switch turned off; so does what is
fed on from the pin of a fuse or module that is out. Wires that share a crimp stay joined."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.wiring.parts import Terminal
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

STUD = """\
platform "Small loader" supply 12V sleep 1min..2min limit 20mA
battery BAT 70Ah
box BOX
fuse BOX.F1 10A mini "a", BOX.F2 10A mini "b", BOX.F3 10A mini "c"
switch S1 "main switch" positions on, off closes 1 to 2 in on
ground G1
module A "a" supply 1 ground 2 asleep 2mA awake 200mA
module B "b" supply 1 ground 2 asleep 2mA awake 300mA
module C "c" supply 1 ground 2 asleep 2mA awake 250mA
module D "d" supply 1 ground 2 asleep 2mA awake 250mA
network N can members A (3), B (3)
BAT.- -> G1
BAT.+ -> S1.1
S1.1 -> BOX.F1 -> A.1
S1.2 -> BOX.F2 -> B.1
BOX.F1.1 -> BOX.F3.1
BOX.F3.2 -> C.1
C.1 -> D.1
A.2, B.2, C.2, D.2 -> G1
A.3 -> B.3
"""
DRAWS = (
    "at: 07:00, state: locked, stands: {S1: 'on'}, meter: low current clamp, resolution: 1mA, zeroed: yes",
    "at: 07:40, total: 0.5A, read: {F1: 0.2A, F2: 0.3A, F3: 0.004A}, steady: yes",
    "at: 07:44, turned: {S1: 'off'}",
)


@pytest.fixture(scope="module")
def loader() -> Circuit:
    return circuit_from(STUD)


@pytest.mark.parametrize(
    ("pin", "through", "places"),
    [
        (Terminal("A", "1"), {"A", "BOX.F1", "BAT"}, ("BOX.F1", "BOX", "BAT")),
        (Terminal("B", "1"), {"B", "BOX.F2", "S1", "S1.2", "BAT"}, ("BOX.F2", "BOX", "BAT")),
        (Terminal("D", "1"), {"D", "BOX.F3", "BAT"}, ("BOX.F3", "BOX", "BAT")),
    ],
    ids=("A", "B", "D"),
)
def test_the_way_holds_what_it_runs_through(
    loader: Circuit, pin: Terminal, through: set[str], places: tuple[str, ...]
) -> None:
    way = Parked(loader, {}).ways.to(pin)
    assert way is not None
    assert way.through == through and way.places == places


@pytest.mark.parametrize("name", ["A", "B", "C", "D"])
def test_nothing_is_fed_over_what_opens_its_way(loader: Circuit, name: str) -> None:
    """What is on the way, and nothing else, takes the supply with it."""
    parked = Parked(loader, {})
    supply = Terminal(name, "1")
    through = {part for part in parked.supplies_of(name)[0] if part in loader.platform.parts and part != "BAT"}
    ends = {
        part.name
        for part in loader.platform.parts.values()
        if part.kind in ("fuse", "switch", "module")
        and not parked.looked_at(parked.state, frozenset({part.name})).supply[supply]
    }
    assert through - {name} == ends - {name}


@pytest.mark.parametrize(("left", "leads"), [("0.004A", "B"), ("0.2A", "A")])
def test_a_main_switch_turned_off_takes_what_is_behind_it_only(loader: Circuit, left: str, leads: str) -> None:
    """A sleeps with the switch off: B keeps it awake. A goes on: it is A, or the network's line, and B can't be it."""
    now = f"at: 08:04, total: {left}, read: {{F1: {left}}}, steady: yes"
    its = chances(told(loader, *DRAWS, now)[0])
    other = {"A": "B", "B": "A"}[leads]
    assert its[leads] > 10.0 * its.get(other, 0.0)

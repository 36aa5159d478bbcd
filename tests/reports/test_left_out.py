"""What `list` says is not there: slots, wires and pins of a car without some equipment, sizes that nobody typed."""

from circuitmap.reports.circuit.inventory import LeftOut, inventory_of
from circuitmap.reports.circuit.list_text import list_text
from circuitmap.wiring.platform import Platform
from tests.circuit.told import circuit

TEXT = """
option TOW
option WARM "air heater"
option WATER "water heater" or WARM
box CAB
battery BAT
naming SP* splice, X* connector
fuse CAB.F1 10A
fuse CAB.F2 10A if TOW
fuse CAB.F3 10A if WATER
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3
BAT.+ -> CAB.B1
lamp L1
lamp L2 if TOW
lamp L3 supply 1, 2 ground 3
CAB.F1 -> SP1
SP1 -> L1 -> case
SP1 -> L3.1
SP1 -> X2.10 -> L2.1 if TOW
L2.2 -> case if TOW
CAB.F2 -> X2.9 -> L3.2 if TOW
"""


def of_car(**fitting: bool) -> LeftOut:
    return inventory_of(platform(), fitting=fitting).left_out


def platform() -> Platform:
    return circuit(TEXT).platform


def test_what_is_empty_or_bare_without_some_equipment() -> None:
    its = of_car(TOW=False)
    assert its.options == (("TOW", False),)
    assert its.slots == ("CAB.F2",)
    assert its.fewer == ("SP1",)
    assert list(dict.fromkeys(map(str, its.bare))) == ["L3.2", "X2.9", "X2.10"]


def test_nothing_is_left_out_where_nobody_said_what_the_car_has() -> None:
    assert of_car() == of_car(TOW=True) == LeftOut()


def test_it_is_told_in_words_of_the_whole_platform() -> None:
    told = " ".join(list_text(inventory_of(platform(), fitting={"TOW": False})).split())
    assert "LEFT OUT with TOW not fitted empty slots CAB.F2 no such wires 3 wires: " in told
    assert "fewer wires SP1 without a wire L3.2, X2.9, X2.10" in told
    assert "LEFT OUT" not in list_text(inventory_of(platform()))


def test_wires_without_a_size_are_told_where_nearly_all_have_one() -> None:
    sized = "naming F* fuse, L* lamp\n" + "".join(
        f'F{n} -> L{n} in RD 1 code "{n}"\nL{n} -> case in BN 1\n' for n in range(10)
    )
    few = circuit(f'{sized}F20 -> L20 in RD code "a"\nL20 -> case in BN\nL21 -> case\n').platform
    assert "NO SIZE 2 wires: L20.2 -> case, a." in " ".join(list_text(inventory_of(few)).split())
    many = circuit(f"{sized.replace('RD 1 ', 'RD ')}F20 -> L20 in RD\n").platform
    assert "NO SIZE" not in list_text(inventory_of(many))

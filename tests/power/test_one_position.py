"""What could be live or grounded: a switch stands in one position at a time, and a whole sheet shows all of a splice."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.power.checks import problems_of
from circuitmap.wiring.parts import Terminal
from tests.wiring.written import platform_from

HEAD = """platform "T"
naming SP* splice
ground W1
battery G
G.- -> W1
key IGN positions off, run closes 30 to 15 in run
G.+ -> IGN.30
"""
TWO_LAMPS = """fuse F1 10A
lamp L2
lamp L3
IGN.15 -> F1 -> L2.1, L3.1
"""


def told(text: str) -> list[str]:
    return [f"{p.severity.word} {p.code}: {p.headline}" for p in problems_of(circuit_of(platform_from(HEAD + text)))]


def test_a_splice_of_a_whole_sheet_that_leads_nowhere_grounds_nothing() -> None:
    splice = TWO_LAMPS + "L2.2, L3.2 -> SP9\n"
    assert told('sheet "1" whole\n' + splice) == [
        "warning no-way-to-ground: L2 and L3 have a feed and no way to ground: the ground wire leads to nothing that is "
        "grounded."
    ]
    assert told('sheet "1"\n' + splice) == [], "more may hang on it on a sheet that is not typed in yet"
    assert told('sheet "1" whole\n' + splice + 'SP9 -> ? "sheet 2"\n') == []


def test_a_sensor_at_a_signal_pin_is_fed_by_what_reads_it() -> None:
    sensor = "sensor B1\nmodule M supply 1 ground 2 {} 3\nG.+ -> M.1\nM.2 -> W1\nB1.S -> M.3\nB1.M -> W1\n"
    for role in ("signal", "sense"):
        assert told('sheet "1" whole\n' + sensor.format(role)) == []
    lamp = sensor.format("signal").replace("B1", "L1").replace("sensor", "lamp")
    assert told('sheet "1" whole\n' + lamp) == [
        "warning never-live: L1 is live in no state: no way leads there from a battery."
    ], "a lamp takes more than a signal gives"


def test_a_splice_of_a_whole_sheet_that_nothing_feeds_feeds_nothing() -> None:
    splice = "lamp L1\nlamp L2\nSP31 -> L1.+\nSP31 -> L2.+\nL1.-, L2.- -> W1\n"
    assert told('sheet "1" whole\n' + splice) == [
        "warning never-live: L1 and L2 are live in no state: no way leads there from a battery."
    ]
    assert told('sheet "1"\n' + splice) == []


@pytest.mark.parametrize(
    ("positions", "messages"),
    [("1 to 31 in on closes 1 to D in door", 1), ("1 to 31 in on, door closes 1 to D in door", 0)],
)
def test_contacts_never_closed_together_are_no_way(positions: str, messages: int) -> None:
    """L2 stands alone on W6, which has no wire to the body; the way over both contacts of S would ground it."""
    text = f"""{TWO_LAMPS}ground W6 wired
switch S positions off, on, door closes {positions}
L2.2 -> W6
L3.2 -> S.1
S.31 -> W6
S.D -> W1
"""
    assert len(told('sheet "1" whole\n' + text)) == messages


def test_no_way_leads_through_one_switch_twice_in_two_positions() -> None:
    """Over a second switch and back: PARK stands in one position only, so FEED is no way to ground."""
    text = """fuse F1 10A
lamp A
lamp B
switch PARK positions parked, moving closes 31b to 31 in parked closes 31b to 53a in moving
switch S positions off, on closes 1 to 31b in off closes 1 to 2 in on
IGN.15 -> F1 -> SP1
SP1 -> PARK.53a
PARK.31 -> W1
PARK.31b -> S.31b
SP1 -> A -> B.1
B.2 -> SP1
S.1 -> ? "motor"
"""
    assert told('sheet "1" whole\n' + text) == [
        "warning no-way-to-ground: A has a feed and no way to ground: the ground wire leads to nothing that is grounded."
    ]


def test_a_sensor_between_two_pins_of_a_module_is_fed_by_it() -> None:
    text = """module M supply 1 ground 2 sense 3
output M.4 grounds always "sensor ground"
sensor B
IGN.15 -> M.1
M.2 -> W1
M.3 -> B -> M.4
"""
    assert told('sheet "1" whole\n' + text) == []
    alone = text.replace("M.3 -> B -> M.4", "SP1 -> B -> M.4\nSP1 -> B.3")
    assert [line.split(":")[0] for line in told('sheet "1" whole\n' + alone)] == ["warning never-live"]


TWO_BATTERIES = """platform "T" return wired
ground N wired
battery A
battery B
key IGN positions off, run closes 30 to 15 in run
resistor R1 "shunt"
fuse F1 10A
lamp L
switch S positions off, auto, manual closes C to A in auto closes C to M in manual
A.- -> N
B.- -> R1 -> N
A.+ -> IGN.30
IGN.15 -> L -> N
B.+ -> F1 -> S.C
S.A -> L.1
"""


@pytest.mark.parametrize(
    ("changed", "codes"),
    [
        ("S.M -> N\n", ["contact-shorts"]),
        ("S.M -> L.1\n", []),
    ],
)
def test_a_shunt_in_a_minus_cable_is_as_good_as_wire(changed: str, codes: list[str]) -> None:
    platform = platform_from(TWO_BATTERIES + changed)
    assert [p.code for p in problems_of(circuit_of(platform))] == codes


def test_a_shunt_that_leads_nowhere_leaves_its_battery_without_ground() -> None:
    platform = platform_from(TWO_BATTERIES.replace("R1 -> N", "R1.1") + "S.M -> L.1\n")
    assert [p.code for p in problems_of(circuit_of(platform))] == ["battery-grounds-nothing"]


@pytest.mark.parametrize(("amperes", "is_told"), [(8.3, False), (83, True)])
def test_the_typed_currents_behind_fuses_side_by_side(amperes: float, is_told: bool) -> None:
    text = f"""fuse F1 10A, F2 10A
relay K make
lamp A running {amperes}A
lamp B running {amperes}A
bar B1 feeds F1, F2
G.+ -> B1
F1, F2 -> SP1
SP1 -> K.30
K.87 -> A.1, B.1
A.2, B.2 -> W1
IGN.15 -> K.86
K.85 -> W1
"""
    note = "note fuse-far-too-small: A and B take 166 A, as typed; F1 and F2 before them let through 20 A."
    assert told(text) == [note] * is_told


def test_a_fuse_with_both_ends_at_one_place_is_too_small_for_nothing() -> None:
    text = """fuse F1 10A
lamp A running 83A
SP1 -> F1 -> SP2 -> A -> W1
SP2 -> SP1
"""
    assert not [its for its in told(text) if "fuse-far-too-small" in its]


def test_where_many_ways_meet_the_search_stays_small() -> None:
    """Twelve selectors in a row, each with twelve ways: what is not remembered joins."""
    rows = "".join(
        f"switch S{n} positions {', '.join(f'p{k}' for k in range(12))} "
        + " ".join(f"closes C to {k + 1} in p{k}" for k in range(12))
        + "\n"
        for n in range(12)
    )
    wires = "".join(f"S{n}.{k} -> S{n + 1}.C\n" for n in range(11) for k in range(1, 13))
    circuit = circuit_of(platform_from(HEAD + rows + wires + "IGN.15 -> S0.C\nlamp L\nS11.12 -> L -> W1\n"))
    from circuitmap.power.possible import possible

    could_be = possible(circuit, {})
    assert could_be.can_be_live(circuit.number[Terminal("L", "1")])

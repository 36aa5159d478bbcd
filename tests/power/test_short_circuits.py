"""A contact that joins plus to ground: reported in the state where it does so, and by the check."""

from circuitmap.power.checks import problems_of
from circuitmap.power.short_circuits import shorts_in

from .vehicle import live, vehicle

HEAD = """
platform "Made up" supply 12V
naming SP* splice, G* ground
battery BAT 70Ah
fuse F1 10A
key IGN positions off, run closes 30 to 15 in run
switch S positions off, on closes 1 to 2 in on closes 1 to 3 in off
lamp L
BAT.- -> G1
BAT.+ -> F1 -> IGN.30
L.2 -> G1
"""


def test_a_switch_to_the_body_without_a_load_is_a_short_circuit_once_it_is_closed() -> None:
    circuit = vehicle(HEAD + "F1 -> S.1\nS.2 -> G2\nS.3 -> L.1\n")
    assert shorts_in(live(circuit)) == ()
    assert shorts_in(live(circuit, switches={"S": "on"})) == (("S.2", "F1"),)
    assert shorts_in(live(circuit, switches={"S": "on"}, pulled=frozenset({"F1"}))) == ()
    assert [p.headline for p in problems_of(circuit) if p.code == "contact-shorts"] == [
        "S.2 joins plus to ground with no load in between, with S in on: F1 would blow."
    ]


def test_on_a_whole_sheet_a_wired_fuse_that_nothing_feeds_is_told() -> None:
    text = HEAD + 'fuse F9 5A\nsheet "1" "Lamp"{}\nF9 -> L.1\n'
    for whole, expected in ((" whole", ["Nothing is typed in that feeds F9."]), ("", [])):
        platform = vehicle(text.format(whole)).platform
        assert [p.headline for p in platform.problems if p.code == "fuse-no-feed"] == expected


def test_of_a_chain_the_contact_next_to_ground_is_told() -> None:
    circuit = vehicle(HEAD + "IGN.15 -> S.1\nS.3 -> G2\nIGN.15 -> L.1\n")
    assert shorts_in(live(circuit)) == ()
    assert shorts_in(live(circuit, key="run")) == (("S.3", "F1"),)
    assert shorts_in(live(circuit, key="run", switches={"S": "on"})) == ()


def test_a_load_or_a_resistor_in_between_is_none() -> None:
    for between in ("F1 -> L.1\nL.2 -> S.1\nS.2 -> G1", "resistor R 1kohm\nF1 -> R -> S.1\nS.2 -> G1"):
        circuit = vehicle(HEAD.replace("L.2 -> G1\n", "") + between + "\n")
        assert shorts_in(live(circuit, switches={"S": "on"})) == ()
        assert "contact-shorts" not in {problem.code for problem in problems_of(circuit)}

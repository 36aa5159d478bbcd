"""Relays that switch relays: chains, buzzers, races, circuits that hold themselves."""

from tests.power.vehicle import MAY_BE, NO, YES, drawing, live, vehicle

HEAD = """
naming SP* splice, G* ground
battery BAT 60Ah
BAT.- -> G1
fuse F1 10A
BAT.+ -> F1
"""


def test_a_chain_of_relays_settles() -> None:
    lines = ["switch S positions off, on closes 1 to 2 in on", "F1 -> S.1", "S.2 -> K1.86"]
    for n in range(1, 31):
        lines += [f"relay K{n} make", f"F1 -> K{n}.30", f"K{n}.85 -> G1"]
        lines.append(f"K{n}.87 -> " + (f"K{n + 1}.86" if n < 30 else "L -> G1"))
    circuit = vehicle(HEAD + "\n".join([*lines, "lamp L"]) + "\n")
    assert drawing(live(circuit)) == {}
    assert drawing(live(circuit, switches={"S": "on"})) == {"L": "yes"}
    assert drawing(live(circuit, switches={"S": "on"}, pulled=frozenset({"K17"}))) == {}


def test_a_break_contact_is_closed_at_rest() -> None:
    circuit = vehicle(
        HEAD
        + """
relay K break
switch S positions off, on closes 1 to 2 in on
lamp L
F1 -> S.1
S.2 -> K.86
K.85 -> G1
F1 -> K.30
K.87a -> L -> G1
"""
    )
    assert drawing(live(circuit)) == {"L": "yes"}
    assert drawing(live(circuit, switches={"S": "on"})) == {}
    assert drawing(live(circuit, pulled=frozenset({"K"}))) == {}, "with the relay out of its socket both are open"


def test_a_coil_pulls_in_whichever_end_is_fed() -> None:
    """A coil has no plus and minus of its own (physics); DIN 72552 only says which end is which by habit."""
    for fed, grounded in (("86", "85"), ("85", "86")):
        circuit = vehicle(
            HEAD
            + f"""
relay K make
switch S positions off, on closes 1 to 2 in on
lamp L
F1 -> S.1
S.2 -> K.{fed}
K.{grounded} -> G1
F1 -> K.30
K.87 -> L -> G1
"""
        )
        assert drawing(live(circuit)) == {}
        on = live(circuit, switches={"S": "on"})
        assert on.energised["K"] == YES
        assert drawing(on) == {"L": "yes"}


def test_a_relay_that_takes_its_own_coil_away_buzzes() -> None:
    circuit = vehicle(
        HEAD
        + """
relay K break
horn H
F1 -> K.30
K.87a -> SP1 -> K.86
K.85 -> G1
SP1 -> H -> G1
"""
    )
    powered = live(circuit)
    assert powered.buzzing == ("K",)
    assert powered.energised["K"] == MAY_BE
    assert drawing(powered) == {"H": "may be"}
    assert live(circuit, driven=frozenset({"K"})).buzzing == ()


def test_two_relays_that_keep_each_other_out_depend_on_which_is_quicker() -> None:
    circuit = vehicle(
        HEAD
        + """
relay K1 changeover
relay K2 changeover
lamp L1
lamp L2
F1 -> K1.30
F1 -> K2.30
K1.87a -> K2.86
K2.87a -> K1.86
K1.85 -> G1
K2.85 -> G1
K1.87 -> L1 -> G1
K2.87 -> L2 -> G1
"""
    )
    powered = live(circuit)
    assert powered.racing == ("K1", "K2")
    assert powered.buzzing == ()
    assert drawing(powered) == {"L1": "may be", "L2": "may be"}
    won = live(circuit, driven=frozenset({"K1"}))
    assert won.racing == ()
    assert drawing(won) == {"L1": "yes"}


def test_a_relay_that_feeds_its_own_coil_stays_once_it_was_pulled_in() -> None:
    circuit = vehicle(
        HEAD
        + """
relay K make
switch START positions free, pressed closes 1 to 2 in pressed
lamp L
F1 -> START.1
START.2 -> SP1 -> K.86
K.85 -> G1
F1 -> K.30
K.87 -> SP1
SP1 -> L -> G1
"""
    )
    parked = live(circuit)
    assert parked.energised["K"] == NO
    assert drawing(parked) == {}
    assert parked.held.relays == ("K",)
    assert parked.held.loads == ("L",)
    pressed = live(circuit, switches={"START": "pressed"})
    assert pressed.energised["K"] == YES
    assert pressed.held.relays == (), "nothing more would be held than is pulled in anyway"


def test_a_module_that_holds_its_own_main_relay_lets_go_when_it_sleeps() -> None:
    circuit = vehicle(
        HEAD
        + """
key IGN positions off, run closes 30 to 15 in run
relay MAIN make
module ECM supply 1 ground 2 wake 3
network DRIVE can members ECM
output ECM.5 grounds while awake
F1 -> IGN.30
IGN.15 -> ECM.3
F1 -> MAIN.30
F1 -> MAIN.86
MAIN.85 -> ECM.5
MAIN.87 -> ECM.1
ECM.2 -> G1
"""
    )
    assert live(circuit).energised["MAIN"] == NO
    assert live(circuit).held.relays == ()
    held = live(circuit, key="run").held
    assert held.relays == ("MAIN",), "with the key on it would hold itself, once somebody had started it"


def test_a_coil_between_two_batteries() -> None:
    circuit = vehicle("""
naming G* ground
battery BAT 70Ah
battery AUX 95Ah
relay K make
lamp L
BAT.- -> G1
AUX.- -> G1
BAT.+ -> K.86
K.85 -> AUX.+
BAT.+ -> K.30
K.87 -> L -> G1
""")
    assert live(circuit).energised["K"] == NO, "plus on both sides"


def test_a_coil_that_is_taken_to_be_let_go_pulls_only_where_it_is_driven() -> None:
    circuit = vehicle(HEAD + "relay K make\nlamp L\nF1 -> K.30\nF1 -> K.86\nK.85 -> G1\nK.87 -> L -> G1\n")
    assert drawing(live(circuit)) == {"L": "yes"}
    assert drawing(live(circuit, released=frozenset({"K"}))) == {}
    assert drawing(live(circuit, released=frozenset({"K"}), driven=frozenset({"K"}))) == {"L": "yes"}
    assert drawing(live(circuit, released=frozenset({"K"}), stuck=frozenset({"K.87"}))) == {"L": "yes"}

"""Textbook circuits worked out by hand, state by state.

Terminal numbers are those of DIN 72552. The circuits are common practice, no source: a headlamp relay fed from the
battery and controlled by ignition and light switch; a wiper that runs on to its parked place through a changeover
contact and is braked there by a short circuit; a window motor between two changeover relays; a starter circuit.
"""

import pytest

from tests.power.vehicle import MAY_BE, NO, YES, drawing, live, terminal, vehicle

HEADLAMPS = vehicle("""
naming SP* splice, G* ground
battery BAT 60Ah
key IGN positions off, run, start closes 30 to 15 in run closes 30 to 50 in start
switch LIGHTS positions off, on closes 15 to 56 in on
relay K1 "headlamp relay" make
fuse F1 15A, F2 5A
lamp LEFT supply 56b ground 31
lamp RIGHT supply 56b ground 31
BAT.- -> G1
BAT.+ -> F1 -> K1.30
BAT.+ -> F2 -> IGN.30
IGN.15 -> LIGHTS.15
LIGHTS.56 -> K1.86
K1.85 -> G1
K1.87 -> SP1 -> LEFT.56b, RIGHT.56b
LEFT.31 -> G1
RIGHT.31 -> G2
""")
BOTH = {"LEFT": "yes", "RIGHT": "yes"}


@pytest.mark.parametrize(
    ("state", "relay", "lamps"),
    [
        ({}, NO, {}),
        ({"switches": {"LIGHTS": "on"}}, NO, {}),
        ({"key": "run"}, NO, {}),
        ({"key": "run", "switches": {"LIGHTS": "on"}}, YES, BOTH),
        ({"key": "start", "switches": {"LIGHTS": "on"}}, NO, {}),
        ({"key": "run", "switches": {"LIGHTS": "on"}, "pulled": frozenset({"F1"})}, YES, {}),
        ({"key": "run", "switches": {"LIGHTS": "on"}, "pulled": frozenset({"F2"})}, NO, {}),
        ({"key": "run", "switches": {"LIGHTS": "on"}, "pulled": frozenset({"K1"})}, NO, {}),
        ({"stuck": frozenset({"K1.87"})}, NO, BOTH),
        ({"stuck": frozenset({"K1.87"}), "pulled": frozenset({"K1"})}, NO, {}),
        ({"driven": frozenset({"K1"})}, YES, BOTH),
        ({"unplugged": frozenset({"LEFT"}), "driven": frozenset({"K1"})}, YES, {"RIGHT": "yes"}),
        ({"unplugged": frozenset({"G2"}), "driven": frozenset({"K1"})}, YES, {"LEFT": "yes"}),
        ({"unplugged": frozenset({"BAT.-"}), "driven": frozenset({"K1"})}, YES, {}),
        ({"unplugged": frozenset({"BAT"}), "driven": frozenset({"K1"})}, YES, {}),
        # The control wire is rubbed through to a live one: the relay is held in and nothing shows at its switch.
        ({"bridged": frozenset({(terminal("K1.86"), terminal("F1.2"))})}, YES, BOTH),
        # The feed of the lamps rubs on the body: the fuse blows or current flows, the lamps stay as they are.
        ({"bridged": frozenset({(terminal("K1.30"), terminal("G1"))})}, NO, {}),
        # The lamps' wire, dead when parked, rubs on the body: nothing happens.
        ({"bridged": frozenset({(terminal("SP1"), terminal("G1"))})}, NO, {}),
        # The lamps' wire rubs on a live one.
        ({"bridged": frozenset({(terminal("SP1"), terminal("F2.2"))})}, NO, BOTH),
    ],
)
def test_headlamps(state: dict[str, object], relay: object, lamps: dict[str, str]) -> None:
    powered = live(HEADLAMPS, **state)
    assert powered.energised["K1"] == relay
    assert drawing(powered) == lamps


WIPER = vehicle("""
naming G* ground
battery BAT 60Ah
key IGN positions off, run closes 30 to 15 in run
switch STALK positions off, slow, fast closes 53a to 53 in slow closes 53a to 53b in fast closes 31b to 53 in off
switch PARK positions parked, sweeping closes 31 to 31b in parked closes 53a to 31b in sweeping
fuse F1 15A
motor WIPER supply 53, 53b ground 31
BAT.- -> G1
BAT.+ -> IGN.30
IGN.15 -> F1 -> STALK.53a
F1 -> PARK.53a
PARK.31b -> STALK.31b
STALK.53 -> WIPER.53
STALK.53b -> WIPER.53b
PARK.31 -> G1
WIPER.31 -> G1
""")


@pytest.mark.parametrize(
    ("key", "stalk", "park", "runs", "braked"),
    [
        ("off", "off", "parked", NO, YES),
        ("off", "off", "sweeping", NO, NO),
        ("run", "off", "parked", NO, YES),
        ("run", "off", "sweeping", YES, NO),  # runs on to its parked place
        ("run", "slow", "parked", YES, NO),
        ("run", "slow", "sweeping", YES, NO),
        ("run", "fast", "sweeping", YES, NO),
        ("off", "slow", "sweeping", NO, NO),
    ],
)
def test_a_wiper_runs_on_to_its_parked_place_and_is_braked_there(
    key: str, stalk: str, park: str, runs: object, braked: object
) -> None:
    powered = live(WIPER, key=key, switches={"STALK": stalk, "PARK": park})
    assert powered.loads["WIPER"].draws == runs
    assert powered.ground[terminal("WIPER.53")] == braked, "both brushes on ground brake the armature"


WINDOW = vehicle("""
naming G* ground
battery BAT 60Ah
fuse F1 30A
switch UP positions free, pressed closes 1 to case in pressed
switch DOWN positions free, pressed closes 1 to case in pressed
relay KU changeover
relay KD changeover
motor WINDOW
BAT.- -> G1
BAT.+ -> F1 -> KU.87
F1 -> KD.87
F1 -> KU.86
F1 -> KD.86
KU.85 -> UP.1
KD.85 -> DOWN.1
KU.87a -> G1
KD.87a -> G1
KU.30 -> WINDOW.1
WINDOW.2 -> KD.30
""")


@pytest.mark.parametrize(
    ("up", "down", "runs"),
    [("free", "free", NO), ("pressed", "free", YES), ("free", "pressed", YES), ("pressed", "pressed", NO)],
)
def test_a_motor_between_two_relays_runs_both_ways_and_stands_with_both_sides_alike(
    up: str, down: str, runs: object
) -> None:
    assert live(WINDOW, switches={"UP": up, "DOWN": down}).loads["WINDOW"].draws == runs


def test_a_changeover_contact_stuck_at_its_working_side_is_not_at_rest() -> None:
    """One blade: while it sticks at 87 it cannot ground the motor, and the motor runs; no short circuit."""
    powered = live(WINDOW, stuck=frozenset({"KU.87"}))
    assert powered.contacts["KU.87"] == YES
    assert powered.contacts["KU.87a"] == NO
    assert drawing(powered) == {"WINDOW": "yes"}


STARTER = vehicle("""
naming G* ground
battery BAT 60Ah
key IGN positions off, run, start closes 30 to 15 in run, start closes 30 to 50 in start
switch GEARSW positions neutral, geared closes 1 to 2 in neutral
relay K9 "starter relay" make
starter STARTER supply 30, 50
fuse F1 30A
BAT.- -> G1
BAT.+ -> STARTER.30
BAT.+ -> IGN.30
BAT.+ -> F1 -> K9.30
IGN.50 -> GEARSW.1
GEARSW.2 -> K9.86
K9.85 -> G1
K9.87 -> STARTER.50
""")


def test_a_starter_cranks_in_neutral_only() -> None:
    cranking = live(STARTER, key="start")
    assert cranking.supply[terminal("STARTER.50")] == YES
    assert live(STARTER, key="start", switches={"GEARSW": "geared"}).supply[terminal("STARTER.50")] == NO
    assert live(STARTER, key="run").supply[terminal("STARTER.50")] == NO
    assert live(STARTER).supply[terminal("STARTER.30")] == YES, "its main terminal is always live and unfused"
    assert live(STARTER).loads["STARTER"].ground == YES, "its case is its ground"
    assert MAY_BE not in cranking.energised.values()

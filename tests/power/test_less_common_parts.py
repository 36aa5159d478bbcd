"""Parts that a diagram shows now and then: what each does in a state, from notation.

How a door contact, a latching relay, a timer relay, a wake-up line with one source and an H-bridge work is common
practice, no source. Watts to amperes is P = U I.
"""

import pytest

from circuitmap.circuit.trace import trace
from circuitmap.failures import WrongUse
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.feeds import feeds_of
from circuitmap.power.latching import thrown
from circuitmap.power.state import VehicleState
from circuitmap.reports.live.live_beside import fuses_live
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.way_words import through_words
from circuitmap.wiring.fitting import Answer, fitting_of
from circuitmap.wiring.parts import Load, Terminal
from tests.circuit.told import circuit

HEAD = """
naming SP* splice, G* ground, E* lamp, F* fuse
battery B 70Ah
B.- -> G1
key IGN positions off, run closes 30 to 15 in run
B.+ -> F9 -> IGN.30
"""


def state(text: str, **said: object) -> Powered:
    return evaluate(circuit(HEAD + text), VehicleState(**said))  # type: ignore[arg-type]


DOOR = """
module M supply 1 ground 2 wake 3 {by}
switch D positions shut, open closes 1 to case in {closed}
B.+ -> F1 -> M.1
M.2 -> G1
D.1 -> M.3
"""


@pytest.mark.parametrize(
    ("by", "closed", "awake"),
    [
        ("", "open", ["no", "yes"]),  # only ground can come: it wakes
        ("", "shut", ["no", "yes"]),  # grounded in the parked car: that the ground goes wakes
        ("by ground", "open", ["no", "yes"]),
        ("by ground", "shut", ["yes", "no"]),
        ("by opening", "shut", ["no", "yes"]),
        ("by plus", "open", ["no", "no"]),
    ],
)
def test_a_wake_pin_wakes_as_it_is_said_or_as_its_wire_leads(by: str, closed: str, awake: list[str]) -> None:
    text = DOOR.format(by=by, closed=closed)
    found = [state(text, switches={"D": position}).awake["M"].words for position in ("shut", "open")]
    assert found == awake


def test_a_wake_pin_on_what_a_sheet_labels_as_hot_wakes_by_plus() -> None:
    text = DOOR.format(by="", closed="open") + "stated F7 always\nF7 -> D.1\n"
    assert state(text).awake["M"] == Answer.YES


def test_only_a_ground_that_this_vehicle_has_can_go() -> None:
    text = DOOR.format(by="", closed="shut").replace("D.1 -> M.3", "D.1 -> M.3 if SIDE") + "option SIDE\n"
    found = [state(text, fitting={"SIDE": its}, switches={"D": "open"}).awake["M"].words for its in (True, False)]
    assert found == ["yes", "no"]


NETWORK = """
module A supply 1 ground 2
module C supply 1 ground 2
module L supply 1 ground 2
network N can members A, C drives, L listens
F1 -> A.1, C.1, L.1
B.+ -> F1
A.2, C.2, L.2 -> G1
"""


def test_who_listens_wakes_nobody_and_who_drives_is_not_woken() -> None:
    def up(name: str) -> set[str]:
        return {m for m, answer in state(NETWORK, awake=frozenset({name})).awake.items() if answer == Answer.YES}

    assert up("A") == {"A", "L"}
    assert up("C") == {"A", "C", "L"}
    assert up("L") == {"L"}
    assert up("N") == {"A", "L"}


@pytest.mark.parametrize(
    ("lines", "gateway"),
    [
        ("network A wake members M\nnetwork B can members M listens\n", ""),
        ("network A can members M drives\nnetwork B can members M\n", ""),
        ("network A can members M\nnetwork B can members M listens\n", "gateway M joins A, B passes A to B\n"),
    ],
)
def test_waking_crosses_only_from_what_wakes_a_part_to_what_it_keeps_awake(lines: str, gateway: str) -> None:
    text = "module M supply 1 ground 2\nB.+ -> F1 -> M.1\nM.2 -> G1\n"
    assert state(text + lines + gateway, awake=frozenset({"A"})).networks["B"] == Answer.NO
    both_ways = lines.replace(" listens", "").replace(" drives", "")
    assert state(text + both_ways + gateway, awake=frozenset({"A"})).networks["B"] != Answer.NO


LATCHING = """
relay K9 latching coil 1 to 2 reset 3 to 2 contact 30 to 87 rest 88
switch S positions rest, on, off closes 1 to 2 in on closes 1 to 3 in off
B.+ -> F1 -> K9.30
K9.87 -> E1 -> G1
K9.88 -> E2 -> G1
B.+ -> F2 -> S.1
S.2 -> K9.1
S.3 -> K9.3
K9.2 -> G1
"""


def test_a_latching_relay_stays_as_it_was_left_and_its_coils_draw_while_they_are_fed() -> None:
    def drawing(**switches: str) -> set[str]:
        return {n for n, its in state(LATCHING, switches=switches).loads.items() if its.draws == Answer.YES}

    assert drawing() == {"E2"} and drawing(K9="set") == {"E1"}
    assert drawing(S="on") == {"E2", "K9"} and drawing(S="off", K9="set") == {"E1", "K9"}
    its = trace(circuit(HEAD + LATCHING), "K9")
    assert {str(pin.terminal) for pin in its.pins if any(path.known for path in pin.supply)} == {
        "K9.30",
        "K9.1",
        "K9.3",
    }


def test_the_coil_of_a_latching_relay_takes_current_either_way() -> None:
    text = """
relay K9 latching coil 1 to 2 contact 30 to 87
module M supply 1 ground 2
output M.5, M.6 feeds from 1
output M.5, M.6 grounds
B.+ -> F1 -> M.1
M.2 -> G1
M.5 -> K9.1
M.6 -> K9.2
"""
    for on in ({"M.5+", "M.6-"}, {"M.6+", "M.5-"}):
        assert state(text, stuck=frozenset(on)).loads["K9"].draws == Answer.YES
    assert state(text, stuck=frozenset({"M.5-"})).loads["K9"].draws == Answer.MAY_BE


TIMED = """
relay K make holds 10min..15min
IGN.15 -> K.86
K.85 -> G1
B.+ -> F1 -> K.30
K.87 -> E1 -> G1
"""


def test_a_relay_that_holds_may_be_in_until_its_time_is_over() -> None:
    draws = [state(TIMED, minutes=minutes).loads["E1"].draws.words for minutes in (1.0, 14.9, 15.0)]
    assert draws == ["may be", "may be", "no"]


INPUT = """
module M supply 1 ground 2
output M.5 feeds from 1 while EN
B.+ -> F1 -> M.1
M.2 -> G1
IGN.15 -> M.EN
M.5 -> E1 -> G1
"""


def test_an_output_that_is_on_while_an_input_has_plus() -> None:
    assert [state(INPUT, key=key).loads["E1"].draws.words for key in ("", "run")] == ["no", "yes"]
    assert state(INPUT, key="run", pulled=frozenset({"F1"})).loads["E1"].draws == Answer.NO


SEVERAL_INPUTS = """
module M supply 1 ground 2 wake D by ground
output M.5 feeds from 1 while EN and not OFF
output M.6 feeds from 1 while D
switch A positions off, on closes 1 to 2 in on
switch DOOR positions shut, open closes 1 to case in open
B.+ -> F1 -> M.1
M.2 -> G1
IGN.15 -> M.EN
IGN.15 -> A.1
A.2 -> M.OFF
M.D -> DOOR.1
M.5 -> E1 -> G1
M.6 -> E2 -> G1
"""


@pytest.mark.parametrize(
    ("key", "switches", "draws"),
    [
        ("", {}, ("no", "no")),
        ("run", {}, ("yes", "no")),
        ("run", {"A": "on"}, ("no", "no")),
        ("", {"DOOR": "open"}, ("no", "yes")),
    ],
)
def test_an_output_that_hangs_on_several_inputs(key: str, switches: dict[str, str], draws: tuple[str, str]) -> None:
    loads = state(SEVERAL_INPUTS, key=key, switches=switches).loads
    assert (loads["E1"].draws.words, loads["E2"].draws.words) == draws


def test_a_module_with_such_an_output_is_awake_also_where_a_relay_feeds_it() -> None:
    text = """
module M supply 1 ground 2
output M.5 feeds from 1 while EN
output M.6 feeds from 1 while awake
relay K make
IGN.15 -> K.86
K.85 -> G1
B.+ -> F1 -> K.30
K.87 -> M.1
M.2 -> G1
M.6 -> E1 -> G1
"""
    powered = state(text, key="run", awake=frozenset({"M"}))
    assert powered.awake["M"] == powered.loads["E1"].draws == Answer.YES
    assert set(powered.awake) == {"M"}


BRIDGE = """
module M supply 1 ground 2
output M.5, M.6 feeds from 1
output M.5, M.6 grounds
motor MOT
B.+ -> F1 -> M.1
M.2 -> G1
M.5 -> MOT.1
M.6 -> MOT.2
"""


def test_two_pins_that_feed_and_ground_drive_a_motor_both_ways() -> None:
    def motor(*on: str) -> Answer:
        return state(BRIDGE, stuck=frozenset(on)).loads["MOT"].draws

    assert motor("M.5+", "M.6-") == motor("M.6+", "M.5-") == Answer.YES
    parked = evaluate(circuit(HEAD + BRIDGE), VehicleState(stuck=frozenset({"M.5+"})), requests=Answer.NO)
    assert parked.loads["MOT"].draws == Answer.NO


INSIDE = """
lamp L supply 3 ground 2 running 24W
switch LS inside L positions off, on closes 1 to 3 in on
B.+ -> F1 -> L/1
L/2 -> G1
"""


def test_a_lamp_with_a_switch_of_its_own_burns_when_that_is_on_and_comes_off_with_it() -> None:
    assert [state(INSIDE, switches={"LS": its}).loads["L"].draws.words for its in ("off", "on")] == ["no", "yes"]
    unplugged = state(INSIDE, switches={"LS": "on"}, unplugged=frozenset({"L"}))
    assert unplugged.loads["L"].draws == Answer.NO
    assert classes_of(circuit(HEAD + INSIDE), {})["L"].turned_off_by == ("LS.3",)
    optional = INSIDE.replace("running 24W", "if OPT") + "option OPT\n"
    apart = state(optional, switches={"LS": "on"}, fitting={"OPT": False})
    assert apart.supply[Terminal("L", "3")] == Answer.NO
    lamp = circuit(HEAD + INSIDE).platform.parts["L"]
    assert isinstance(lamp, Load) and lamp.running is not None and lamp.running.low == 24 / 12


def test_a_ground_pin_that_only_a_switch_inside_touches_is_not_known_to_be_open() -> None:
    text = """
motor M supply 53 ground 31
switch MP inside M positions parked, wiping closes 53a to 31b in wiping closes 31 to 31b in parked
B.+ -> F1 -> M.53
"""
    wiping = {"MP": "wiping"}
    assert state(text, switches=wiping).loads["M"].draws == Answer.YES  # its ground is not typed in: assumed
    typed = text + "M.31b -> G1\n"
    assert state(typed, switches=wiping).loads["M"].draws == Answer.NO
    assert state(typed).loads["M"].draws == Answer.YES


def test_a_sensor_in_the_minus_cable_joins_its_two_sides_until_it_is_unplugged() -> None:
    text = (
        "battery B\nfuse F1 10A\nlamp L\nground G2 wired\nsensor S joins 1 to 2\n"
        "B.+ -> F1 -> L -> G2\nG2 -> S.2\nS.1 -> B.-\n"
    )
    its = circuit(text)
    assert evaluate(its, VehicleState()).loads["L"].draws == Answer.YES
    assert evaluate(its, VehicleState(unplugged=frozenset({"S"}))).loads["L"].draws == Answer.NO


def test_of_alternatives_a_car_has_exactly_one() -> None:
    its = circuit('option HW\noption HF "fuel heater" or HW\n' + "fuse F1 10A if HF\nfuse F2 10A if HW\n").platform
    assert fitting_of(its, ("HF",)) == {"HF": True, "HW": False}
    assert fitting_of(its, (), ("HF",)) == {"HF": False, "HW": True}
    assert fitting_of(its) == {}
    for both in ((("HF", "HW"), ()), ((), ("HF", "HW"))):
        with pytest.raises(WrongUse):
            fitting_of(its, *both)


def test_amperes_of_single_pins() -> None:
    its = circuit(
        "lamp H running 60W on 56a, 55W on 56b supply 56a, 56b ground 31\n"
        "module M supply 4, 5 ground 7 awake 300mA on 4, 0A on 5\nF1 -> H.56a, M.4\nfuse F1 5A\n"
    ).platform
    lamp, module = its.parts["H"], its.parts["M"]
    assert isinstance(lamp, Load) and isinstance(module, Load)
    assert lamp.running is not None and lamp.running == pytest.approx((55 / 12, 115 / 12))
    assert {pin: band.low for pin, band in module.awake_at.items()} == {"4": 0.3, "5": 0.0}
    assert module.awake is not None and module.awake.low == 0.3


CHARGED = """
alternator ALT supply B+ ground 31
switch MAIN positions on, off closes 1 to 2 in on
B.+ -> MAIN.1
MAIN.2 -> F1 -> E1 -> G1
ALT.B+ -> MAIN.2
ALT.31 -> G1
"""


def test_an_alternator_feeds_while_the_engine_runs_also_with_the_battery_switched_off() -> None:
    off = {"MAIN": "off"}
    assert state(CHARGED, switches=off).loads["E1"].draws == Answer.NO
    running = state(CHARGED, switches=off, feeding=frozenset({"ALT"}))
    assert running.loads["E1"].draws == Answer.YES and running.loads["ALT"].draws == Answer.NO
    assert through_words(running, Terminal("E1", "1")) == "ALT feeding, F1"


def test_what_feeds_is_a_source_of_its_own_and_only_where_it_is_fitted() -> None:
    text = """
option SUN
charger C supply B+ ground 31 if SUN
C.B+ -> E1 -> G1
"""
    feeding = frozenset({"C"})
    fitted = [state(text, feeding=feeding, fitting=its).loads["E1"].draws.words for its in ({"SUN": False}, {})]
    assert fitted == ["no", "may be"]
    assert state(text, feeding=feeding, fitting={"SUN": True}).loads["E1"].draws == Answer.YES
    # From the plus of one to the minus of another, neither joined otherwise: no way round for any current.
    apart = "charger C supply B+ ground 31\nalternator A supply B+ ground 31\nC.31 -> G1\nC.B+ -> E1 -> A.31\n"
    assert state(apart, feeding=frozenset({"A", "C"})).loads["E1"].draws == Answer.NO


def test_nothing_flows_through_loads_beside_a_closed_switch() -> None:
    text = """
switch S positions off, on closes 1 to 2 in on
B.+ -> F1 -> E1 -> S.1
S.2 -> E2 -> G1
S.1 -> E3 -> SP3 -> E4 -> S.2
"""
    off, on = (state(text, switches={"S": its}).in_series for its in ("off", "on"))
    assert (set(off), set(on)) == ({"E1", "E2", "E3", "E4"}, {"E1", "E2"})


def test_a_change_over_contact_brings_no_plus_over_ground() -> None:
    """A wiper's park contact touches plus and ground in turn: it says nothing of the door contact beside it."""
    text = (
        "battery B\nfuse F1 10A, F2 10A\nground GB wired\nB.- -> GB\nmotor W supply 53 ground 31\n"
        "switch WP inside W positions parked, wiping closes 53a to 31b in wiping closes 31 to 31b in parked\n"
        "B.+ -> F2 -> W.53a\nW.31 -> GB\nmodule M supply 1 ground 2 wake 3\n"
        "switch D positions shut, open closes 1 to 2 in open\nB.+ -> F1 -> M.1\nM.2, D.2 -> GB\nM.3 -> D.1\n"
    )
    states = [evaluate(circuit(text), VehicleState(switches={"D": its})).awake["M"] for its in ("shut", "open")]
    assert states == [Answer.NO, Answer.YES]


def test_every_position_in_which_a_long_way_conducts_is_told() -> None:
    its = circuit(
        "battery B\nfuse F1 10A\nB.- -> case\nkey IGN positions off, acc, run closes 30 to 15 in acc, run\n"
        "switch S positions off, low, high closes 1 to 2 in low, high\nswitch T positions off, on closes 1 to 2 in on\n"
        "lamp L\nB.+ -> IGN.30\nIGN.15 -> F1 -> S.1\nS.2 -> T.1\nT.2 -> L -> case\n"
    )
    feed = feeds_of(its, {}, [Terminal("L", "1")])[Terminal("L", "1")]
    assert feed_words(feed) == "live in acc, run with S low or high and T on"


def test_a_fuse_behind_one_that_is_out_is_said_to_be() -> None:
    its = circuit("battery B\nfuse F1 10A, F2 5A\nlamp L\nB.- -> case\nB.+ -> F1 -> F2 -> L -> case\n")
    out = evaluate(its, VehicleState(pulled=frozenset({"F1"})))
    assert any("F2: no way from a battery with F1 out" in line for line in fuses_live(out, 96))


WAKE_WIRE = """
connector X1
module A supply 1, 5 ground 2
module M supply 1 ground 2 wake 3 by plus
module C supply 1 ground 2
output A.4 feeds from 1 while awake
network W wake members A (4) drives, M (3) listens{more}
B.+ -> F1 -> A.1
B.+ -> F5 -> A.5
B.+ -> F2 -> M.1
B.+ -> F3 -> C.1
A.4 -> X1.1 -> M.3
A.2, M.2, C.2 -> G1
"""


@pytest.mark.parametrize(
    ("more", "said", "awake", "line"),
    [
        ("", {"awake": frozenset({"A"})}, Answer.YES, Answer.YES),
        ("", {}, Answer.NO, Answer.NO),
        # The wire is parted, or the output that drives it has lost the pin that it feeds from.
        ("", {"awake": frozenset({"A"}), "unplugged": frozenset({"X1.1"})}, Answer.NO, Answer.YES),
        ("", {"awake": frozenset({"A"}), "pulled": frozenset({"F1"})}, Answer.NO, Answer.NO),
        # Plus from elsewhere on the line, by a chafed wire, still wakes who listens.
        ("", {"awake": frozenset({"W"})}, Answer.YES, Answer.YES),
        # Where not all of the line is drawn, its list of members is all that there is to go by.
        (", C listens", {"awake": frozenset({"A"}), "pulled": frozenset({"F1"})}, Answer.YES, Answer.YES),
    ],
)
def test_a_wake_line_that_is_all_drawn_wakes_by_its_wire(
    more: str, said: dict[str, object], awake: Answer, line: Answer
) -> None:
    powered = state(WAKE_WIRE.format(more=more), **said)
    assert (powered.awake["M"], powered.networks["W"]) == (awake, line)


def test_the_output_that_drives_a_wake_line_is_no_wake_pin_of_its_module() -> None:
    its = circuit(HEAD + WAKE_WIRE.format(more=""))
    module = its.platform.parts["A"]
    assert isinstance(module, Load)
    assert module.pins_with("wake") == ()
    feed = feeds_of(its, {}, [Terminal("M", "3")])[Terminal("M", "3")]
    assert "while A is awake" in feed_words(feed)


def test_a_fuse_that_only_a_charger_could_feed_is_not_simply_dead() -> None:
    text = """
breaker Q1 80A
charger SOL supply 1 ground 2 care feeds-in
alternator GEN supply B+ ground case
lamp L
B.+ -> Q1 -> F1 -> SOL.1
Q1 -> F2 -> L.1
Q1 -> GEN.B+
SOL.2, L.2 -> G1
"""
    told = " ".join(fuses_live(state(text, pulled=frozenset({"Q1"})), 100))
    assert "dead  F1, F2: no way from a battery with Q1 out; but live while SOL feeds" in told
    assert "GEN" not in told
    assert "SOL" not in " ".join(fuses_live(state(text), 100))


THROWN = """
relay K5 latching coil 3 to 5 reset 4 to 5 contact 1 to 2
switch S positions middle, ON, OFF closes 1 to 2 in ON closes 1 to 3 in OFF
lamp L
B.+ -> F1 -> S.1
B.+ -> K5.1
S.2 -> K5.3
S.3 -> K5.4
K5.2 -> F4 -> L.1
L.2, K5.5 -> G1
"""


@pytest.mark.parametrize(
    ("said", "moved", "lit"),
    [
        ({}, {}, Answer.NO),
        ({"S": "ON"}, {"K5": "set"}, Answer.YES),
        ({"S": "ON", "K5": "reset"}, {}, Answer.NO),  # as somebody said it stands, perhaps because it sticks
        ({"S": "OFF"}, {}, Answer.NO),
        ({"K5": "set"}, {}, Answer.YES),
    ],
)
def test_a_latching_relay_goes_where_its_coil_throws_it(
    said: dict[str, str], moved: dict[str, str], lit: Answer
) -> None:
    found = thrown(circuit(HEAD + THROWN), VehicleState(switches=said))
    assert (found.moved, found.powered.loads["L"].draws, found.restless) == (moved, lit, ())


def test_a_latching_relay_that_throws_itself_back_is_left_as_it_was() -> None:
    text = THROWN.replace("S.3 -> K5.4", "K5.2 -> K5.4").replace("relay K5", "naming X* lamp\nrelay K5")
    text = text.replace("S.2 -> K5.3", "K5.1a -> K5.3").replace("contact 1 to 2", "contact 1 to 2 rest 1a")
    found = thrown(circuit(HEAD + text), VehicleState())
    assert found.restless == ("K5",)


def test_who_drives_a_network_keeps_it_awake_whatever_woke_him() -> None:
    text = """
module A supply 1 ground 2
module D supply 1 ground 2
module M supply 1 ground 2
network C can members A, D
network L lin members A (5) drives, M (3) listens
B.+ -> F1 -> A.1, D.1, M.1
A.5 -> M.3
A.2, D.2, M.2 -> G1
"""
    powered = state(text, awake=frozenset({"C"}))
    assert (powered.networks["L"], powered.awake["M"]) == (Answer.YES, Answer.YES)
    apart = state(text + "gateway A joins C, L passes nothing\n", awake=frozenset({"C"}))
    assert apart.networks["L"] == Answer.NO

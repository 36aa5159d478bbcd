"""What is live, may be live and is not, in small vehicles."""

from circuitmap.circuit.links import circuit_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import PARKED
from tests.power.vehicle import MAY_BE, NO, YES, drawing, live, terminal, vehicle
from tests.wiring.written import platform_from as platform_with_problems

HEAD = """
naming SP* splice, X* connector, G* ground
battery BAT 60Ah
BAT.- -> G1
"""


def test_a_load_draws_only_with_supply_and_ground() -> None:
    circuit = vehicle(
        HEAD
        + """
lamp BOTH
lamp FED
lamp GROUNDED
switch DOOR positions shut, open closes 1 to case in open
key IGN positions off, run closes 30 to 15 in run
BAT.+ -> BOTH -> G1
BAT.+ -> FED -> DOOR.1
BAT.+ -> IGN.30
IGN.15 -> GROUNDED -> G1
"""
    )
    parked = evaluate(circuit, PARKED)
    assert drawing(parked) == {"BOTH": "yes"}
    assert (parked.loads["FED"].supply, parked.loads["FED"].ground) == (YES, NO)
    assert (parked.loads["GROUNDED"].supply, parked.loads["GROUNDED"].ground) == (NO, YES)
    assert drawing(live(circuit, switches={"DOOR": "open"}, key="run")) == {
        "BOTH": "yes", "FED": "yes", "GROUNDED": "yes",
    }  # fmt: skip


def test_undrawn_supplies_and_grounds_are_never_a_no() -> None:
    circuit = vehicle(
        HEAD
        + """
lamp A
lamp B
lamp C
lamp D
module M supply 1, 2 ground 3
relay K make
? -> A -> G1
BAT.+ -> B -> ? "goes on"
BAT.+ -> C
D.2 -> G1
BAT.+ -> M.1
K.87 -> SP1
BAT.+ -> K.30
BAT.+ -> K.86
"""
    )
    parked = evaluate(circuit, PARKED)
    assert parked.loads["A"].draws == MAY_BE
    assert parked.loads["B"].draws == MAY_BE
    assert parked.loads["C"].draws == YES, "a ground that nobody typed is taken to be complete"
    assert parked.loads["C"].ground_assumed
    assert parked.loads["D"].draws == MAY_BE, "a supply that nobody typed may be live"
    assert parked.loads["M"].draws == YES
    assert parked.supply[terminal("M.2")] == MAY_BE
    assert parked.energised["K"] == MAY_BE, "nobody typed what 85 leads to"


def test_on_a_whole_sheet_a_missing_ground_is_not_taken_for_granted() -> None:
    circuit = vehicle(
        HEAD
        + """
lamp C
sheet "1" whole
BAT.+ -> C
"""
    )
    assert evaluate(circuit, PARKED).loads["C"].draws == MAY_BE


def test_a_whole_fuse_chart_shows_no_ground() -> None:
    """A chart says what hangs on a fuse; a load that it alone knows is grounded as one on no whole sheet is."""
    chart = (
        HEAD
        + """
module M
lamp L
sheet "1" "fuse chart" whole
fuse F1 10A
BAT.+ -> F1
F1 feeds M
"""
    )
    module = evaluate(vehicle(chart), PARKED).loads["M"]
    assert (module.draws, module.ground_assumed) == (YES, True)
    drawn = evaluate(vehicle(chart.replace("F1 feeds M", "F1 -> M")), PARKED).loads["M"]
    assert drawn.draws == MAY_BE, "a sheet that draws it would have shown its ground"


def test_what_hangs_on_a_fuse_chart() -> None:
    """A module hangs directly on its fuse; between a fuse and a lamp there may be a switch that nobody typed in."""
    circuit = vehicle(
        HEAD
        + """
fuse F1 10A
module M
lamp L
BAT.+ -> F1
F1 feeds M, L
"""
    )
    assert drawing(evaluate(circuit, PARKED)) == {"M": "yes", "L": "may be"}


def test_options_not_said_may_be() -> None:
    circuit = vehicle(
        "option TOW\n"
        + HEAD
        + """
lamp WITH if TOW
lamp WITHOUT if not TOW
BAT.+ -> WITH -> G1
BAT.+ -> WITHOUT -> G1
"""
    )
    assert drawing(live(circuit)) == {"WITH": "may be", "WITHOUT": "may be"}
    assert drawing(live(circuit, fitting={"TOW": True})) == {"WITH": "yes"}
    assert drawing(live(circuit, fitting={"TOW": False})) == {"WITHOUT": "yes"}


OUTPUTS = vehicle(
    HEAD
    + """
key IGN positions off, run closes 30 to 15 in run
module M supply 1 ground 2
module DEAD supply 1 ground 2
network BODY can members M, DEAD
output M.11 feeds while awake
output M.12 feeds in run
output M.13 feeds
output M.14 feeds always
output M.15 grounds while awake
output DEAD.11 feeds always
lamp L1
lamp L2
lamp L3
lamp L4
lamp L5
lamp L6
BAT.+ -> M.1
M.2 -> G1
BAT.+ -> IGN.30
IGN.15 -> DEAD.1
DEAD.2 -> G1
M.11 -> L1 -> G1
M.12 -> L2 -> G1
M.13 -> L3 -> G1
M.14 -> L4 -> G1
BAT.+ -> L5 -> M.15
DEAD.11 -> L6 -> G1
"""
)


def test_outputs_conduct_while_awake_in_positions_always_or_on_request() -> None:
    modules = {"M": "yes"}
    assert drawing(live(OUTPUTS)) == {**modules, "L3": "may be", "L4": "yes"}
    assert drawing(live(OUTPUTS, awake=frozenset({"BODY"}))) == {
        **modules, "L1": "yes", "L3": "may be", "L4": "yes", "L5": "yes",
    }  # fmt: skip
    assert drawing(live(OUTPUTS, key="run")) == {
        "M": "yes", "DEAD": "yes", "L2": "yes", "L3": "may be", "L4": "yes", "L6": "yes",
    }  # fmt: skip
    assert drawing(live(OUTPUTS, stuck=frozenset({"M.12"})))["L2"] == "yes"
    assert "L4" not in drawing(live(OUTPUTS, unplugged=frozenset({"M"})))


def test_a_diode_conducts_one_way() -> None:
    circuit = vehicle(
        HEAD
        + """
diode D1, D2
switch S1 positions off, on closes 1 to 2 in on
switch S2 positions off, on closes 1 to 2 in on
lamp OWN
lamp SHARED
BAT.+ -> S1.1
BAT.+ -> S2.1
S1.2 -> D1 -> SP1 -> SHARED -> G1
S2.2 -> D2 -> SP1
S1.2 -> OWN -> G1
"""
    )
    assert drawing(live(circuit, switches={"S1": "on"})) == {"OWN": "yes", "SHARED": "yes"}
    assert drawing(live(circuit, switches={"S2": "on"})) == {"SHARED": "yes"}


def test_behind_a_load_is_no_supply_but_a_little_current_may_flow_on() -> None:
    """A relay's coil on the far side of a lamp: the lamp's other way to ground is open."""
    circuit = vehicle(
        HEAD
        + """
switch S positions off, on closes 1 to case in on
lamp L
lamp ALONE
relay K make
BAT.+ -> L -> S.1
S.1 -> K.86
K.85 -> G1
BAT.+ -> K.30
K.87 -> ?
BAT.+ -> ALONE -> SP9
SP9 -> S.1
"""
    )
    parked = live(circuit)
    assert parked.supply[terminal("K.86")] == NO
    assert parked.energised["K"] == MAY_BE
    assert parked.in_series == ("ALONE", "L", "K")
    assert drawing(parked) == {"ALONE": "may be", "L": "may be"}
    switched = live(circuit, switches={"S": "on"})
    assert switched.energised["K"] == NO
    assert switched.in_series == ()
    assert drawing(switched) == {"ALONE": "yes", "L": "yes"}


SERIES = vehicle("""
platform "Made up" supply 24V
naming G* ground
battery BAT 180Ah series
BAT.- -> G1
lamp HIGH
lamp LOW
lamp UPPER
BAT.+ -> HIGH -> G1
BAT.mid -> LOW -> G1
BAT.+ -> UPPER -> BAT.mid
""")


def test_two_batteries_in_series_are_two_sources() -> None:
    assert drawing(live(SERIES)) == {"HIGH": "yes", "LOW": "yes", "UPPER": "yes"}
    assert drawing(live(SERIES, unplugged=frozenset({"BAT.-"}))) == {"UPPER": "yes"}
    assert drawing(live(SERIES, unplugged=frozenset({"BAT.mid"}))) == {}


TWO_BATTERIES = vehicle("""
naming G* ground
battery BAT 70Ah
battery AUX 95Ah
relay K make
switch SPLIT positions off, on closes 1 to case in on
lamp CAB
lamp LIVING
fuse F1 10A, F2 10A
BAT.- -> G1
AUX.- -> G2
BAT.+ -> F1 -> CAB -> G1
AUX.+ -> F2 -> LIVING -> G2
BAT.+ -> K.30
K.87 -> AUX.+
BAT.+ -> K.86
K.85 -> SPLIT.1
""")


def test_which_battery_feeds_what() -> None:
    apart, joined = live(TWO_BATTERIES), live(TWO_BATTERIES, stuck=frozenset({"K.87"}))
    assert apart.batteries(terminal("LIVING.1")) == ("AUX",)
    assert apart.batteries(terminal("CAB.1")) == ("BAT",)
    assert joined.batteries(terminal("LIVING.1")) == ("AUX", "BAT")
    assert drawing(live(TWO_BATTERIES, unplugged=frozenset({"AUX.+"}))) == {"CAB": "yes"}
    flat = {"stuck": frozenset({"K.87"}), "unplugged": frozenset({"AUX.-"})}
    assert live(TWO_BATTERIES, **flat).batteries(terminal("LIVING.1")) == ("BAT",)


def test_without_a_body_return_each_battery_has_its_own_circuit() -> None:
    circuit = vehicle("""
platform "Made up" return wired
naming G* ground
battery BAT 70Ah
battery AUX 95Ah
lamp OWN
lamp ACROSS
BAT.- -> G1
AUX.- -> G2
BAT.+ -> OWN -> G1
BAT.+ -> ACROSS -> G2
""")
    assert drawing(live(circuit)) == {"OWN": "yes"}


def test_unplugging() -> None:
    circuit = vehicle(
        HEAD
        + """
module M supply A.1, B.1 ground A.2, B.2
lamp L1
lamp L2
BAT.+ -> X1.1 -> M.A.1
BAT.+ -> X1.2 -> M.B.1
M.A.2 -> G1
M.B.2 -> X2.1 -> G2
BAT.+ -> SP1 -> L1 -> G1
SP1 -> X1.3 -> L2 -> G2
"""
    )

    def left(*names: str) -> set[str]:
        return set(drawing(live(circuit, unplugged=frozenset(names))))

    assert left() == {"M", "L1", "L2"}
    assert left("M") == {"L1", "L2"}
    assert left("M.A") == {"M", "L1", "L2"}
    assert left("M.A", "M.B") == {"L1", "L2"}
    assert left("M.A", "X2") == {"L1", "L2"}, "plug B has its supply and has lost its ground"
    assert left("X1") == {"L1"}
    assert left("X1.3") == {"M", "L1"}
    assert left("SP1") == {"M"}
    assert left("G2") == {"M", "L1"}


def test_a_label_stands_in_for_a_feed_that_is_not_drawn() -> None:
    circuit = vehicle(
        HEAD
        + """
key IGN positions off, acc, run closes 30 to 15 in run
fuse F1 10A, F2 10A, F3 10A
lamp L1
lamp L2
lamp L3
stated F1 always
stated F2 in run
F1 -> L1 -> G1
F2 -> L2 -> G1
F3 -> L3 -> G1
"""
    )
    assert drawing(live(circuit)) == {"L1": "yes", "L3": "may be"}
    assert drawing(live(circuit, key="run")) == {"L1": "yes", "L2": "yes", "L3": "may be"}
    assert drawing(live(circuit, key="acc")) == {"L1": "yes", "L3": "may be"}


def test_a_label_does_not_overrule_wires_that_lead_to_a_battery() -> None:
    circuit = vehicle(
        HEAD
        + """
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A
lamp L1
stated F1 always
BAT.+ -> IGN.30
IGN.15 -> F1 -> L1 -> G1
"""
    )
    assert drawing(live(circuit)) == {}


def test_an_open_minus_makes_everything_dead() -> None:
    circuit = vehicle("""
naming G* ground
battery BAT 60Ah
switch MASTER positions off, on closes 1 to 2 in on
BAT.- -> MASTER.1
MASTER.2 -> G1
lamp L
BAT.+ -> L -> G2
""")
    assert drawing(live(circuit)) == {}
    assert drawing(live(circuit, switches={"MASTER": "on"})) == {"L": "yes"}


def test_a_contact_whose_positions_were_not_understood_may_be_closed() -> None:
    circuit = circuit_of(
        platform_with_problems(
            HEAD
            + """
switch S positions off, on closes 1 to 2 in onn
lamp L
BAT.+ -> S.1
S.2 -> L -> G1
"""
        )
    )
    assert drawing(live(circuit)) == {"L": "may be"}

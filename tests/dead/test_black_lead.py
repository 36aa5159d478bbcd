"""Where the black lead goes is said once, where any metal will not do. By Kirchhoff: against a body that an open or bad
switch in the minus cuts off, every point of a dead circuit shows next to nothing, and all looks alike."""

from circuitmap.circuit.links import BODY, Circuit
from circuitmap.dead.black_lead import BlackLead
from circuitmap.dead.dead_loads import Complaint, DeadLoads, dead_loads
from circuitmap.dead.probed_through import probed_through
from circuitmap.dead.probing import probing
from circuitmap.dead.written_told import written_told
from circuitmap.power.functions import function_named
from circuitmap.power.state import VehicleState
from circuitmap.reports.dead.dead_json import dead_json
from circuitmap.reports.dead.dead_text import dead_text
from circuitmap.reports.pages.probing_sheet import probing_sheet
from tests.power.test_minus_switch import CHANGED_TO_PLUS, DUMPER
from tests.power.vehicle import terminal, vehicle

SWITCHED, PLAIN = vehicle(DUMPER), vehicle(CHANGED_TO_PLUS)
ISO_ON = {"ISO": "on"}


def answer(circuit: Circuit, dead: str, works: str = "", **switches: str) -> DeadLoads:
    return dead_loads(circuit, VehicleState(switches=switches), complaint(circuit, dead, works))


def complaint(circuit: Circuit, dead: str, works: str = "") -> Complaint:
    told = [written_told(circuit, one, False) for one in dead.split()]
    return Complaint((*told, *(written_told(circuit, one, True) for one in works.split())), {})


def test_with_a_switch_in_the_minus_it_is_on_the_post() -> None:
    its = answer(SWITCHED, "WORK SEAT", WS="on", **ISO_ON)
    assert its.black_lead == BlackLead(terminal("ACC.-"), "switched", ("ISO",))
    text = " ".join(dead_text(SWITCHED.platform, its).split())
    said = "On the minus post of ACC, not on the body or the frame: ISO lies between."
    assert text.count(said) == 1 and f"BLACK LEAD {said}" in text
    assert dead_json(SWITCHED.platform, its)["black_lead"] == said


def test_a_suspected_ground_is_no_place_for_it() -> None:
    """The heater alone: its own way to ground is suspected."""
    its = answer(PLAIN, "SEAT", "WORK", WS="on")
    assert its.black_lead == BlackLead(terminal("ACC.-"), "suspected", ())
    assert "not on the body or a ground point: a way to ground may be what is open" in " ".join(
        dead_text(PLAIN.platform, its).split()
    )


def test_where_no_ground_is_suspected_nothing_is_said() -> None:
    """Two lamps on one fuse and one ground: with a third one at that ground alive, the ground is sound."""
    lamps = "lamp A running 1A\nlamp B running 1A\nlamp C running 1A\nfuse F7 10A\nACC.+ -> F7\n"
    wires = "F7 -> J7\nJ7 -> A -> J8\nJ7 -> B -> J8\nF3 -> C -> J8\nJ8 -> E1\n"
    its = answer(vehicle(CHANGED_TO_PLUS + lamps + wires), "A B", "C")
    assert {one.name for one, odds in its.suspects if odds >= 0.05} >= {"F7", "J7"}
    assert its.black_lead is None


MAST = vehicle("""
platform "Camera mast" supply 48V
naming E* ground, F* fuse, J* splice
battery PACK 48V
module CONV "converter" supply IN ground 0V asleep 4mA
output CONV.OUT feeds 12V from IN always
lamp CAM "camera lamp" running 1A
switch BOND "pack to body" positions open, closed closes 1 to 2 in closed
PACK.+ -> F1 -> CONV.IN
CONV.0V -> J1
PACK.- -> J1
J1 -> BOND.1
BOND.2 -> E1
CONV.OUT -> F2 -> CAM -> J1
battery START 12V
lamp SIDE running 5W
START.- -> E1
START.+ -> F3 -> SIDE -> E1
""")


def test_what_a_converter_makes_is_read_against_its_own_ground() -> None:
    """While the pack has no way to the body a lead there floats."""
    its = answer(MAST, "CAM")
    assert its.black_lead == BlackLead(terminal("CONV.0V"), "made", ("CONV",))
    assert "On CONV.0V, the ground of CONV itself, not on the body" in " ".join(dead_text(MAST.platform, its).split())
    lead = answer(MAST, "CAM", BOND="closed").black_lead
    assert lead is None or lead.why == "suspected"


def test_the_sheet_of_probes_says_it_once() -> None:
    its = probing(SWITCHED, VehicleState(switches={"WS": "on", **ISO_ON}), complaint(SWITCHED, "WORK SEAT"))
    sheet = probing_sheet(SWITCHED.platform, its, {})
    told = [line for line in (*sheet.before, *sheet.notes) if "lack lead" in line]
    assert told == ["Black lead: on the minus post of ACC, not on the body or the frame: ISO lies between."]
    plain = probing(PLAIN, VehicleState(switches={"WS": "on"}), complaint(PLAIN, "WORK", "SEAT"))
    sheet = probing_sheet(PLAIN.platform, plain, {})
    assert sum("lack lead" in line for line in (*sheet.before, *sheet.notes)) == 1


def test_the_post_stands_for_nothing_where_the_body_may_float() -> None:
    """Volts against the post: 12 V on the body's side of the switch and 0 V at the post is the switch; against the body
    it would be the wire before it."""
    heater = function_named(SWITCHED, "SEAT")
    assert heater is not None
    shown = probed_through(SWITCHED, {terminal("ISO.B"): 11.9, terminal("ISO.A"): 0.02}, (heater,))
    assert shown is not None and shown.name == "ISO.B"
    assert probed_through(SWITCHED, {terminal("E1"): 11.9}, (heater,)) is None
    point = probed_through(PLAIN, {terminal("E1"): 11.9}, (heater,))
    assert point is not None and point.kind == "ground"
    assert BODY in PLAIN.returns and BODY not in SWITCHED.returns

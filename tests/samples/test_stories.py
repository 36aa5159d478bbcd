"""What the READMEs of the sample vehicles say is what the circuit says.

The readings and the culprits are invented; which loads are live in which state follows from the diagrams by hand.
"""

from functools import cache
from pathlib import Path

from circuitmap.circuit.common import in_common
from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit
from circuitmap.circuit.links import circuit_of as links_of
from circuitmap.flows.questions import open_platform
from circuitmap.power.evaluate import Powered, evaluate
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
TRUCK_DRAWING = ("MAIN.F6", "CAB.F11", "CAB.F19", "CAB.F24", "CAB.F33")
BARE_VAN = {"TOW": False, "AUXHEAT": False, "COLDBOX": False}
WITH_RELAY = {"BOOST": False, "SOLAR": False, "BATT2": False, "AWN": False}


@cache
def circuit(name: str) -> Circuit:
    return links_of(open_platform(SAMPLES / name))


def drawing(its: Powered) -> set[str]:
    return {name for name, load in its.loads.items() if load.draws is Answer.YES}


def perhaps(its: Powered) -> set[str]:
    return {name for name, load in its.loads.items() if load.draws is not Answer.NO}


def awake(its: Powered) -> set[str]:
    return {name for name, load in its.loads.items() if load.awake is Answer.YES}


def test_truck_asleep_nobody_is_awake_and_no_relay_is_in() -> None:
    parked = evaluate(circuit("truck"), VehicleState())
    assert not [load for load in parked.loads.values() if load.awake is not Answer.NO]
    assert not [relay for relay, in_ in parked.energised.items() if in_ is Answer.YES]


def test_truck_the_chassis_network_awake_wakes_its_seven_members_and_no_other() -> None:
    state = VehicleState(awake=frozenset({"CHASSIS"}))
    its = evaluate(circuit("truck"), state)
    assert awake(its) == {"LIFT", "SUSP", "LAMPS", "REEFER", "TRLMOD", "HEATER", "GATE"}
    assert its.networks["INTERIOR"] is Answer.NO and its.networks["DRIVE"] is Answer.NO


def test_truck_each_drawing_fuse_feeds_one_member_and_two_members_hang_on_none() -> None:
    truck = circuit("truck")
    members = set(truck.platform.networks["CHASSIS"].member_names)
    on_fuse = feeding_of(truck).on_fuse
    feeding = {fuse: {taking.part for taking in on_fuse[fuse]} & members for fuse in TRUCK_DRAWING}
    assert feeding == {
        "MAIN.F6": {"REEFER"},
        "CAB.F11": {"HEATER"},
        "CAB.F19": {"GATE"},
        "CAB.F24": {"TRLMOD"},
        "CAB.F33": {"LAMPS"},
    }
    assert members - set().union(*feeding.values()) == {"LIFT", "SUSP"}


def test_truck_the_five_fuses_share_a_network_and_nothing_nearer() -> None:
    quiet = ("CAB.F12", "CAB.F20", "CAB.F21", "CAB.F31")
    shared = in_common(circuit("truck"), TRUCK_DRAWING, quiet)
    assert not [thing for thing in shared.shared if not thing.missing and thing.kind in ("splice", "ground", "module")]
    assert shared.supply.chain[-1].part == "MAIN.B1" and shared.supply_quiet == quiet[:3]
    assert shared.supply_open == {"CAB.F31": ("CAB.K1.87",)}
    first = shared.networks[0]
    assert first.name == "CHASSIS" and not first.missing and not first.quiet and not first.through
    assert [member.part for member in first.members if not member.fuses] == ["LIFT", "SUSP"]
    assert {network.name for network in shared.networks if not network.through} == {"CHASSIS"}


def test_truck_the_lift_has_two_feeds_and_one_of_them_out_leaves_it_up() -> None:
    def lift(*pulled: str) -> Answer:
        state = VehicleState(awake=frozenset({"CHASSIS"}), pulled=frozenset(pulled))
        return evaluate(circuit("truck"), state).loads["LIFT"].draws

    assert lift("FRM.F40") is lift("FRM.F41") is Answer.YES
    assert lift("FRM.F40", "FRM.F41") is Answer.NO


def test_truck_master_switch_off_leaves_what_sits_before_it() -> None:
    its = evaluate(circuit("truck"), VehicleState(switches={"MASTER": "off"}))
    assert {"TACHO", "TELEM", "EQ", "CBRADIO"} <= drawing(its)
    assert not {"LIFT", "REEFER", "GATE", "HEATER", "CLUSTER", "DDM"} & perhaps(its)


def test_truck_daytime_lamps_go_out_and_the_beam_changes_over() -> None:
    day = drawing(evaluate(circuit("truck"), VehicleState(key="run")))
    assert {"DRLL", "DRLR"} <= day and "HEADL" not in day
    its = evaluate(circuit("truck"), VehicleState(key="run", switches={"LSW": "head"}))
    assert not {"DRLL", "DRLR"} & drawing(its)
    assert its.supply[Terminal("HEADL", "56b")] is Answer.YES and its.supply[Terminal("HEADL", "56a")] is Answer.NO
    its = evaluate(circuit("truck"), VehicleState(key="run", switches={"LSW": "head", "BEAMSW": "main"}))
    assert its.supply[Terminal("HEADL", "56b")] is Answer.NO and its.supply[Terminal("HEADL", "56a")] is Answer.YES


def test_truck_wiper_runs_on_to_its_park_position() -> None:
    def wiper(*unplugged: str, **switches: str) -> Answer:
        state = VehicleState(key="run", switches=switches, unplugged=frozenset(unplugged))
        return evaluate(circuit("truck"), state).loads["WIPER"].draws

    assert wiper(WIPSW="slow") is wiper(WIPSW="fast") is Answer.YES
    assert wiper(WPARK="sweeping") is wiper() is Answer.MAY_BE  # the gateway may ask for the interval
    assert wiper("GATE", WPARK="sweeping") is Answer.YES and wiper("GATE") is Answer.NO


def test_truck_passengers_door_lights_both_cab_lamps_through_its_diode() -> None:
    its = evaluate(circuit("truck"), VehicleState(switches={"DOORP": "open"}))
    assert {"DOME1", "DOME2"} <= drawing(its)
    assert its.ground[Terminal("DOORD", "1")] is not Answer.YES  # may be: a buzzer not typed in hangs on it


def test_van_parked_the_screens_are_cold_unless_the_body_computer_asks() -> None:
    its = evaluate(circuit("van"), VehicleState(fitting=BARE_VAN))
    assert its.energised["REAR.K2"] is Answer.MAY_BE  # an output on request: never assumed on
    assert not {"SCRL", "SCRR", "MIRL", "MIRR"} & drawing(its)


def test_van_control_wire_on_ground_holds_the_relay_with_the_body_computer_unplugged() -> None:
    rubbed = frozenset({(Terminal("REAR.K2", "85"), Terminal("case"))})
    its = evaluate(circuit("van"), VehicleState(bridged=rubbed, unplugged=frozenset({"BCM"}), fitting=BARE_VAN))
    assert its.energised["REAR.K2"] is Answer.YES
    assert {"SCRL", "SCRR", "MIRL", "MIRR"} <= drawing(its)
    healthy = evaluate(circuit("van"), VehicleState(unplugged=frozenset({"BCM"}), fitting=BARE_VAN))
    assert not {"SCRL", "SCRR", "MIRL", "MIRR"} & perhaps(healthy)


def test_van_coil_current_passes_a_fuse_that_a_welded_contact_would_leave_quiet() -> None:
    on_fuse = feeding_of(circuit("van")).on_fuse
    assert ("REAR.K2", "coil") in {(taking.part, taking.kind) for taking in on_fuse["CAB.F27"]}
    assert "SCRL" not in {taking.part for taking in on_fuse["CAB.F27"]}
    stuck = evaluate(circuit("van"), VehicleState(stuck=frozenset({"REAR.K2.87"}), fitting=BARE_VAN))
    assert {"SCRL", "SCRR"} <= drawing(stuck) and stuck.energised["REAR.K2"] is not Answer.YES


def test_van_screens_and_mirrors_share_the_contact_of_their_relay() -> None:
    shared = in_common(circuit("van"), ("REAR.F72", "REAR.F73"), ("CAB.F21", "CAB.F22", "CAB.F24"), BARE_VAN)
    contacts = [point for point in shared.supply.chain if point.kind == "contact"]
    assert [point.part for point in contacts] == ["REAR.K2"] and not shared.supply_quiet


def test_van_headlamps_wait_for_their_relay_and_the_cab_lamp_for_its_door() -> None:
    parked = perhaps(evaluate(circuit("van"), VehicleState(fitting=BARE_VAN)))
    assert not {"HORN", "DOME", "FUELPUMP", "WIPER", "CAMERA"} & parked
    assert "DOME" in drawing(evaluate(circuit("van"), VehicleState(switches={"DOORD": "open"})))


def test_motorhome_laid_up_the_living_area_is_dead_until_the_relay_sticks() -> None:
    living = {"FRIDGE", "GASDET", "PANEL", "HEAT", "FROST"}
    parked = evaluate(circuit("motorhome"), VehicleState(fitting=WITH_RELAY))
    assert not living & perhaps(parked)
    stuck = evaluate(circuit("motorhome"), VehicleState(fitting=WITH_RELAY, stuck=frozenset({"KSPLIT.87"})))
    assert living <= drawing(stuck)
    assert {pin.batteries for pin in stuck.loads["FRIDGE"].pins if pin.live} == {("BAT",)}


def test_motorhome_what_draws_shares_the_living_area_bar_that_both_batteries_feed() -> None:
    drawing_fuses = ("LIV.F3", "LIV.F12", "LIV.F5", "LIV.F9")
    shared = in_common(circuit("motorhome"), drawing_fuses, ("CAB.F20", "CAB.F22"), WITH_RELAY)
    assert [point.name for point in shared.supply.chain] == ["LIV.B1"]


def test_motorhome_charging_needs_the_engine_and_the_relay_lets_go_without_it() -> None:
    running = evaluate(circuit("motorhome"), VehicleState(key="run", fitting=WITH_RELAY))
    assert running.energised["KSPLIT"] is Answer.YES and "FRIDGE" in drawing(running)
    boosted = evaluate(circuit("motorhome"), VehicleState(key="run", fitting={**WITH_RELAY, "BOOST": True}))
    assert boosted.energised.get("KSPLIT", Answer.NO) is Answer.NO and "FRIDGE" in drawing(boosted)


def test_motorhome_two_way_lamp_and_pump_at_the_tap() -> None:
    def lit(**switches: str) -> set[str]:
        powered = {"LIVSW": "on", "PANSW": "on", **switches}
        return drawing(evaluate(circuit("motorhome"), VehicleState(switches=powered, fitting=WITH_RELAY)))

    assert "CEIL1" not in lit() and "CEIL1" not in lit(CEILSW="b", CEILSW2="b")
    assert "CEIL1" in lit(CEILSW="b") and "CEIL1" in lit(CEILSW2="b")
    assert "WPUMP" not in lit(PUMPSW="on") and "WPUMP" not in lit(TAP1="open")
    assert "WPUMP" in lit(PUMPSW="on", TAP1="open") and "WPUMP" in lit(PUMPSW="on", TAP2="open")


def test_motorcycle_the_rectifier_is_on_no_fuse() -> None:
    takings = feeding_of(circuit("motorcycle")).of_part["REG"]
    assert all(taking.unfused for taking in takings)
    assert all(not taking.unfused for taking in feeding_of(circuit("motorcycle")).of_part["DASH"])


def test_motorcycle_every_ground_goes_back_by_wire_to_the_battery() -> None:
    ways = feeding_of(circuit("motorcycle")).ground_paths
    assert [str(step.end) for step in ways[Terminal("REG", "31")].direct[0].steps] == ["E1", "BAT.-"]
    assert ways[Terminal("CUT", "85")].direct  # through the diodes: neutral, or clutch and side stand


def test_motorcycle_tail_lamp_in_park_without_the_headlamp_and_no_start_in_gear() -> None:
    park = drawing(evaluate(circuit("motorcycle"), VehicleState(key="park")))
    assert {"TAIL", "POS"} <= park and "HEAD" not in park

    def cranks(**switches: str) -> bool:
        state = VehicleState(key="on", switches={"STARTBTN": "pressed", **switches})
        return evaluate(circuit("motorcycle"), state).energised["SOL"] is Answer.YES

    assert cranks() and not cranks(NEUTRAL="gear") and not cranks(NEUTRAL="gear", CLUTCH="pulled")
    assert cranks(NEUTRAL="gear", CLUTCH="pulled", STAND="up") and not cranks(KILL="stop")


FUEL = {"WATERH": False, "FUELH": True}


def test_sweeper_the_screen_is_dead_when_parked_and_live_with_its_relay_welded() -> None:
    parked = evaluate(circuit("sweeper"), VehicleState(fitting=FUEL))
    welded = evaluate(circuit("sweeper"), VehicleState(fitting=FUEL, stuck=frozenset({"CAB.K13.87"})))
    assert drawing(welded) - drawing(parked) == {"SCREEN"}


def test_sweeper_for_a_quarter_of_an_hour_the_screen_may_be_on() -> None:
    at = [evaluate(circuit("sweeper"), VehicleState(fitting=FUEL, minutes=its)) for its in (5.0, 40.0)]
    assert [its.loads["SCREEN"].draws for its in at] == [Answer.MAY_BE, Answer.NO]


def test_sweeper_what_turns_and_what_wakes() -> None:
    def state(**switches: str) -> Powered:
        return evaluate(circuit("sweeper"), VehicleState(fitting=FUEL, switches=switches))

    assert {"E20", "E21"} <= drawing(state(**{"S3.TURN": "left"})) and "E12" in drawing(state(**{"E12.S": "on"}))
    assert awake(state(DOOR="open")) == {"CTRL"}  # the brush controller has its feed behind the key
    assert "M5" not in drawing(state(K9="set", SEAT="taken"))
    running = VehicleState(fitting=FUEL, key="run", switches={"K9": "set", "SEAT": "taken"})
    assert "M5" in drawing(evaluate(circuit("sweeper"), running))

"""A main switch in the minus: while it is open the body is no ground, and what lies across it carries a current."""

import pytest

from circuitmap.circuit.links import BODY
from circuitmap.circuit.trace import trace
from circuitmap.power.carried import carried
from circuitmap.power.charging import charged_batteries
from circuitmap.power.classes import classes_of
from circuitmap.power.expected import expected_draw
from circuitmap.power.feeds import feeds_of
from circuitmap.power.series_currents import currents_in_series
from circuitmap.reports.circuit.grounded_text import grounded_lines
from circuitmap.reports.live.at_text import at_lines
from circuitmap.reports.live.carried_text import carried_lines
from circuitmap.reports.live.live_text import live_text
from circuitmap.wiring.parts import Terminal
from tests.power.vehicle import MAY_BE, NO, YES, drawing, live, terminal, vehicle

DUMPER = """
platform "Quarry dumper" supply 12V
naming E* ground, F* fuse, J* splice
battery ACC 12V
key IGN positions off, run closes 30 to 15 in run
switch ISO "isolator, in the minus" positions off, on closes A to B in on
lamp WARN "isolator open" running 3W
module TEL "telematics" supply 1 ground 2 asleep 12mA
module PANEL "panel" supply 1 ground 31 wake W by ground asleep 10mA awake 300mA
switch HATCH positions shut, open closes 1 to case in open
heater SEAT "seat heater" running 4A
lamp WORK "work lamp" running 60W
switch WS positions off, on closes 1 to 2 in on
relay KH "horn relay" make
horn HORN running 4A
switch HB positions released, pressed closes 1 to 2 in pressed
lamp DOME running 6W
output PANEL.O1 feeds from 1 while W
ACC.- -> ISO.A in BK 50
ISO.B -> E1 in BK 50
ISO.B -> WARN.1 in GY 0.75
WARN.2 -> ISO.A in GY 0.75
ACC.+ -> F1 -> TEL.1
TEL.2 -> ACC.-
ACC.+ -> F2 -> PANEL.1
PANEL.31 -> E2
HATCH.1 -> PANEL.W
PANEL.O1 -> DOME -> E2
ACC.+ -> F3 -> SEAT -> J1
J1 -> E2 in BN 4
ACC.+ -> F4 -> WS.1
WS.2 -> WORK -> E1
ACC.+ -> F5 -> KH.30
IGN.15 -> HB.1
HB.2 -> KH.86
KH.85 -> E2
KH.87 -> HORN -> E1
ACC.+ -> F6 -> IGN.30
"""
CHANGED_TO_PLUS = DUMPER.replace("ACC.- -> ISO.A in BK 50\nISO.B -> E1 in BK 50", "ACC.- -> E1 in BK 50")
"""The same without the switch in the minus."""
ON = {"ISO": "on"}


def test_the_body_is_a_ground_of_its_own_only_where_no_contact_lies_before_it() -> None:
    minus = Terminal("ACC", "-")
    assert vehicle(DUMPER).returns == (minus,)
    assert vehicle(DUMPER).on_ground == (BODY, minus)
    assert vehicle(CHANGED_TO_PLUS).returns == (BODY, minus)
    shunt = DUMPER.replace("ISO.B -> E1 in BK 50", "resistor SH 0.0001ohm\nACC.- -> SH -> E1\nISO.B -> E1")
    assert vehicle(shunt).returns == (BODY, minus)  # a shunt beside the switch always joins the two


def test_two_batteries_of_which_one_has_the_switch_leave_the_body_grounded() -> None:
    second = DUMPER + "battery AUX 12V\nAUX.- -> E2 in BK 50\nAUX.+ -> F9\n"
    assert BODY in vehicle(second).returns


@pytest.mark.parametrize(("switched", "warn", "seat"), (({}, MAY_BE, MAY_BE), (ON, NO, YES)))
def test_what_is_lit_with_the_switch_open(switched: dict[str, str], warn: object, seat: object) -> None:
    powered = live(vehicle(DUMPER), switches=switched)
    assert powered.loads["TEL"].draws == YES
    assert powered.loads["WARN"].draws == warn
    assert powered.loads["SEAT"].draws == seat
    assert powered.ground[terminal("E1")] == (YES if switched else NO)
    assert powered.ground[terminal("ACC.-")] == YES


LIT = 0.2416


def test_how_much_flows_across_it() -> None:
    """By Ohm's law: the lamp takes 0.25 A at 12 V, and less at less as a filament does (`power/filament`), the heater is
    12 V / 4 A = 3 ohm, in series at 12 V: 0.25 s^0.55 = 4 (1 - s) for the share s of the volts at the lamp, which is
    0.9396: 0.2416 A. The panel takes 10 mA, next to nothing beside 4 A."""
    powered = live(vehicle(DUMPER))
    found = {its.name: its for its in currents_in_series(powered)}
    assert found["WARN"].amps == pytest.approx(LIT, abs=1e-4)
    assert found["WARN"].volts == pytest.approx(12 - 3 * LIT, abs=1e-3)
    assert found["SEAT"].amps == pytest.approx(LIT, abs=1e-4)
    assert found["PANEL"].amps is None and found["PANEL"].volts == pytest.approx(3 * LIT, abs=1e-3)
    assert found["WARN"].most == pytest.approx(0.25)  # the lamp alone at 12 V


def test_what_the_meter_shows_is_what_is_lit_and_what_is_straight_on_the_minus() -> None:
    """By Kirchhoff: 12 mA of the telematics and 0.242 A through heater and lamp, and nothing else."""
    circuit = vehicle(DUMPER)
    assert expected_draw(circuit, {}).total.high == pytest.approx(0.012 + LIT, abs=1e-4)
    assert not expected_draw(circuit, {}).perhaps
    battery = next(its for its in carried(live(circuit), {}) if its.kind == "battery")
    assert battery.amps.high == pytest.approx(0.012 + LIT, abs=1e-4)


def test_beside_a_module_that_takes_as_much_nothing_is_reckoned() -> None:
    much = DUMPER.replace("awake 300mA", "awake 3A")
    found = {its.name: its for its in currents_in_series(live(vehicle(much)))}
    assert found["WARN"].amps is None and found["WARN"].untyped == ("PANEL",)


def test_a_volt_meter_at_the_body_shows_no_ground() -> None:
    told = " ".join(at_lines(live(vehicle(DUMPER)), [terminal("E1")], 100))
    assert "between the two: plus through PANEL and SEAT; ground through WARN" in " ".join(told.split())
    assert "no current" not in told
    closed = at_lines(live(vehicle(DUMPER), switches=ON), [terminal("E1")], 100)
    assert closed[-1].split() == ["E1", "ground,", "through", "ISO", "in", "on"]


def test_the_lamp_over_the_switch_is_told() -> None:
    circuit = vehicle(DUMPER)
    powered = live(circuit)
    text = " ".join(live_text(powered, classes_of(circuit, {})).split())
    assert "WARN, isolator open about 11.3 V of 12 V (242 mA)" in text


def test_an_alternator_at_rest_passes_nothing_on() -> None:
    """Its rectifier blocks what comes from the battery (common practice, no source)."""
    more = DUMPER + "alternator ALT supply B+ ground 31\nACC.+ -> ALT.B+\nALT.31 -> E1\n"
    assert "ALT" not in drawing(live(vehicle(more)))


def test_each_load_is_told_with_the_switch_and_its_own() -> None:
    classes = classes_of(vehicle(DUMPER), {})
    said = {name: {frozenset(map(str, its)) for its in one.drawn_in} for name, one in classes.items()}
    assert said["WORK"] == {frozenset({"ISO=on", "WS=on"})}
    assert said["HORN"] == {frozenset({"ISO=on", "HB=pressed", "IGN=run"})}
    assert said["DOME"] == {frozenset({"ISO=on", "HATCH=open"})}
    assert not any(classes[name].perhaps_in for name in ("WORK", "HORN", "DOME"))


def test_two_things_are_told_as_two() -> None:
    """An output that waits for an input of a module whose ground is the body: hatch and isolator, nothing more."""
    feed = feeds_of(vehicle(DUMPER), {}, [terminal("DOME.1")])[terminal("DOME.1")]
    assert feed.kind == "in"
    assert [set(map(str, its)) for its in feed.conditions] == [{"HATCH=open", "ISO=on"}]


def test_the_trace_of_the_switch_lists_what_needs_it() -> None:
    circuit = vehicle(DUMPER)
    its = trace(circuit, "ISO")
    here = {str(end) for end, _ in its.grounded_here}
    assert {"PANEL.31", "SEAT.2", "WORK.2", "DOME.2", "HORN.2", "KH.85", "PANEL.W"} <= here
    assert "TEL.2" not in here
    lines = " ".join(" ".join(map(" ".join, grounded_lines(circuit.platform, its, 100))).split())
    assert "WARN.1 isolator open; lies across it" in lines
    assert "SEAT.2 seat heater; when ISO is on" in lines


def test_a_ground_goes_on_to_the_battery_over_the_switch() -> None:
    (path,) = trace(vehicle(DUMPER), "SEAT").ground
    assert [end.part for end in path.terminals] == ["SEAT", "J1", "E2", "case", "E1", "ISO", "ISO", "ACC"]
    (sound,) = trace(vehicle(CHANGED_TO_PLUS), "SEAT").ground
    assert sound.end == BODY


def test_the_lamp_over_it_takes_its_plus_from_the_body() -> None:
    its = vehicle(DUMPER).loads["WARN"]
    assert [str(end) for end in (*its.supplies, *its.grounds)] == ["WARN.1", "WARN.2"]
    through = next(pin.through for pin in trace(vehicle(DUMPER), "WARN").pins if str(pin.terminal) == "WARN.1")
    assert set(through) == {"SEAT", "WORK", "DOME", "HORN"}


ENGINE = DUMPER + "alternator ALT supply B+ ground 31\nACC.+ -> ALT.B+\nALT.31 -> E1\n"


@pytest.mark.parametrize("position", ("off", "on"))
def test_what_the_alternator_feeds_over_the_body_is_not_the_battery_s(position: str) -> None:
    """With the switch open nothing returns to the battery from the body (Kirchhoff): it gives what is on its own minus,
    12 mA, and is not charged."""
    powered = live(vehicle(ENGINE), switches={"ISO": position}, feeding=frozenset({"ALT"}))
    assert powered.loads["SEAT"].draws == YES
    amps = {its.names: its.amps.high for its in carried(powered, {}) if its.kind != "return"}
    assert amps["ACC",] == pytest.approx(0.012 if position == "off" else 0.012 + 0.010 + 4.0)
    assert amps["F3",] == pytest.approx(4.0)
    (charging,) = charged_batteries(powered)
    assert charging.returns == (position == "on")
    assert charging.open_at == (("ISO",) if position == "off" else ())
    said = " ".join(" ".join(part) for part in carried_lines(powered, {}, 100))
    assert ("not ACC: its way back is open at ISO" in " ".join(said.split())) == (position == "off")


def test_a_place_whose_current_goes_on_through_others_is_not_left_out() -> None:
    """A fan without its ground, in series with the lamp across the switch: of a fan nobody knows how much, and that
    something flows there is told."""
    fan = DUMPER.replace("heater SEAT", "motor SEAT")
    said = " ".join(" ".join(part) for part in carried_lines(live(vehicle(fan)), {}, 100))
    assert "F3 a share of SEAT" in " ".join(said.split())


def test_at_the_point_where_the_switch_comes_to_the_body_all_else_comes_over_the_body() -> None:
    circuit = vehicle(DUMPER)
    lines = " ".join(" ".join(map(" ".join, grounded_lines(circuit.platform, trace(circuit, "E1"), 100))).split())
    assert "SEAT.2 seat heater; when ISO is on; over the body" in lines

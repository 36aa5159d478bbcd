"""The wire that tells a module something, and the module itself: told apart by the module's own pin, lifted out of its
plug, and by the volts there."""

from itertools import product

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.input_wires import is_input_wire
from circuitmap.evidence.written_names import removable, written_volts
from circuitmap.failures import WrongUse
from circuitmap.jobs.job import Job, job_of
from circuitmap.jobs.short_line import entry_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.fault_kind_words import look_words
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

READ = (
    "at: 07:30, state: locked",
    "at: 08:10, read: {BAT: 0.18A}",
    "at: 08:14, read: {F5: 1.4mV, F6: 0.0mV}",
    "at: 08:25, out: [DOOR]",
    "at: 08:50, read: {BAT: 0.18A}",
)
WRONG = "at: 08:55, inputs: {DOOR: wrong}"


def platform(diode: bool = False, plugs: int = 0, lamp: bool = False, hands_off: bool = False) -> Platform:
    """A door contact that a controller watches, through so many plugs, and behind a diode or not; a cab lamp may hang
    on the contact, too."""
    way = (
        "DOOR.1" + (" -> D1 -> " if diode else " -> ") + "".join(f"X{n}.4 -> " for n in range(1, plugs + 1)) + "CTRL.5"
    )
    text = f"""\
platform "Small sweeper" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB "Cab fuse box"
fuse CAB.F5 10A mini, CAB.F6 10A mini
module CTRL "cab controller" supply 1 ground 2 wake 5 by ground asleep 2mA awake 180mA{" hands-off sealed" if hands_off else ""}
lamp PUMP "pump" supply 1 ground 2 running 3A
switch PUMPSW positions off, on closes 1 to 2 in on
switch DOOR "door contact" positions shut, open closes 1 to 2 in open
diode D1
lamp DOME "cab lamp" supply 1 ground 2 running 0.4A
{"".join(f"connector X{n}" + chr(10) for n in range(1, plugs + 1))}ground G1
BAT.+ -> CAB.F5 -> CTRL.1
BAT.+ -> CAB.F6 -> PUMPSW.1
PUMPSW.2 -> PUMP.1
PUMP.2 -> G1
BAT.- -> G1
CTRL.2 -> G1
DOOR.2 -> G1
"""
    if diode:  # ground comes through against the arrow of the diode
        text += way.replace("DOOR.1 -> D1 -> ", "D1.1 -> ") + "\nD1.2 -> DOOR.1\n"
    else:
        text += way + "\n"
    if lamp:
        text += "CAB.F6 -> DOME.1\nDOME.2 -> DOOR.1\n"
    read, problems = read_text(SourceFile("small.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def card(its: Platform, *entries: str) -> Job:
    found = job_of(its, SourceFile("job.yaml", "entries:\n" + "".join(f"- {{{entry}}}\n" for entry in entries)))
    assert found.problems == ()
    return found


def asked(its: Platform, *entries: str) -> Diagnosis:
    job = card(its, *entries)
    return diagnose(job.circuit, job.evidence)


def chances(found: Diagnosis) -> tuple[float, float]:
    """How likely it is the wire, and how likely the module."""
    names = {f.part for f in found.faults if is_input_wire(found_platform(found), f)}
    wire = sum(part.probability for part in found.parts if part.part in names)
    return wire, next((part.probability for part in found.parts if part.part == "CTRL"), 0.0)


def found_platform(found: Diagnosis) -> Platform:
    return found.hands_off.platform


WAYS = [
    pytest.param(d, n, id=f"{'diode' if d else 'straight'}, {n} plugs") for d, n in product((False, True), (0, 1, 2))
]


@pytest.mark.parametrize(("diode", "plugs"), WAYS)
def test_the_pin_out_tells_the_wire_from_the_module(diode: bool, plugs: int) -> None:
    its = platform(diode, plugs)
    gone = asked(its, *READ, WRONG, "at: 09:10, out: [CTRL.5], read: {BAT: 0.00A}")
    wire, module = chances(gone)
    assert wire > 0.9 and module < 0.05
    stays = asked(its, *READ, WRONG, "at: 09:10, out: [CTRL.5]", "at: 09:30, read: {BAT: 0.18A}")
    wire, module = chances(stays)
    assert module > 0.9 and wire < 0.05


@pytest.mark.parametrize(("diode", "plugs"), WAYS)
def test_the_volts_at_the_pin_tell_them_apart_with_nothing_out(diode: bool, plugs: int) -> None:
    its = platform(diode, plugs)
    before = chances(asked(its, *READ))
    on_ground = chances(asked(its, *READ, "at: 08:52, volts: {CTRL.5: 0.0V}"))
    not_there = chances(asked(its, *READ, "at: 08:52, volts: {CTRL.5: 11.8V}"))
    assert on_ground[0] > before[0] > not_there[0]
    assert on_ground[1] < before[1] < not_there[1]


def test_volts_and_live_data_that_contradict_each_other_are_the_module_s_own_input() -> None:
    wire, module = chances(asked(platform(), *READ, WRONG, "at: 08:57, volts: {CTRL.5: 11.8V}"))
    assert module > 0.5 > wire


def test_the_pin_is_offered_where_no_plug_parts_the_wire() -> None:
    its = platform()
    found = asked(its, *READ, WRONG)
    assert any(test.action.parts == ("CTRL.5",) for test in found.tests.choices)
    assert "Lift the terminal of pin 5 alone out of the plug of CTRL" in suspects_text(its, found).replace(
        "\n    ", " "
    )


def test_what_is_hands_off_is_never_offered() -> None:
    its = platform(hands_off=True)
    found = asked(its, *READ, WRONG)
    assert not any("CTRL" in part for test in found.tests.choices for part in test.action.parts)


def test_a_lamp_on_the_same_contact_goes_on_with_the_pin_out() -> None:
    """Its ground does not come through the pin."""
    lamp = [*READ[:1], "at: 08:10, read: {BAT: 0.58A}", "at: 08:25, out: [DOOR]", "at: 08:50, read: {BAT: 0.58A}"]
    found = asked(platform(lamp=True), *lamp, "at: 09:10, out: [CTRL.5]", "at: 09:30, read: {BAT: 0.40A}")
    wire, _ = chances(found)
    assert wire > 0.5


def test_nobody_looks_for_a_parted_wire_where_ground_is_what_is_believed() -> None:
    its = platform()
    found = asked(its, *READ, WRONG)
    wires = [fault for fault in found.faults if is_input_wire(its, fault)]
    assert wires and "rubbed" in look_words(its, wires) and "parted" not in look_words(its, wires)


def test_a_part_that_was_cleared_is_not_involved_because_it_is_still_out() -> None:
    job = card(platform(), *READ, "at: 09:10, out: [CTRL.5], read: {BAT: 0.00A}")
    assert [(one.verdict, one.out) for one in job.standing.tries] == [
        ("cleared", ("DOOR",)), ("involved", ("CTRL.5",)),
    ]  # fmt: skip


def test_how_volts_and_a_pin_are_typed() -> None:
    its = platform()
    assert removable(its, "CTRL.5") == "CTRL.5"
    assert dict(entry_of(its, "volts CTRL.5 0.0").fields)["volts"] == (("CTRL.5", "0.0"),)
    assert written_volts(its, "CTRL.5", "0.0").volts == 0.0
    assert written_volts(its, "CTRL.5", "-120mV").volts == pytest.approx(-0.12)
    for line in ("volts CTRL.5", "volts CTRL 0.0V", "volts CTRL.9 0.0V", "volts CTRL.5 wet", "volts BAT 12V"):
        with pytest.raises(WrongUse):
            entry_of(its, line)

"""Where only what feeds the boxes was read, the box that takes the current is read before anything is pulled."""

from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from
from tests.diagnosis.test_steps_worth_doing import steps

LORRY = """\
platform "Alder Wren 12 lorry" supply 24V return body sleep 5min limit 60mA
battery BAT 120Ah
key IGN positions off, run closes 30 to 15 in run
box MAIN "carrier at the battery" reach 3min
box CAB "cab panel" at "behind the flap" reach 2min
fuse MAIN.F1 60A bolted, MAIN.F2 60A bolted
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini, CAB.F5 10A mini, CAB.F6 10A mini
bar CAB.B1 feeds CAB.F1..F6
module VCM "vehicle control" supply 1 ground 2 asleep 2mA awake 180mA reach 12min
module DISP "display" supply 1 ground 2 asleep 2mA awake 250mA reach 12min
module SCREEN "windscreen heater control" supply 1 ground 2 asleep 1mA awake 40mA reach 12min
switch BUNK "bunk lamp switch" positions off, on closes 1 to 2 in on reach 3min
lamp E1 "bunk lamp" running 450mA
heater SEAT "seat heater" running 3A
switch SEATSW "seat heater switch" positions off, on closes 1 to 2 in on reach 3min
network BUS can members VCM (5, 6), DISP (5, 6), SCREEN (5, 6)
sheet "1"
BAT.+ -> MAIN.F1 -> CAB.B1
BAT.+ -> MAIN.F2 -> SEATSW.1
SEATSW.2 -> SEAT -> case
CAB.F1 -> VCM.1
CAB.F2 -> DISP.1
CAB.F3 -> SCREEN.1
CAB.F4 -> BUNK.1
BUNK.2 -> E1 -> case
CAB.F5 -> IGN.30
VCM.2, DISP.2, SCREEN.2 -> case
BAT.- -> case
"""
CARRIERS = ("BAT=0.48A", "MAIN.F1=0.48A", "MAIN.F2=0A")
BOX = ("read-box", tuple(f"CAB.F{n}" for n in range(1, 7)))


def test_the_whole_box_is_one_step_and_comes_before_anything_is_taken_out() -> None:
    its = circuit_from(LORRY)
    found = asked(its, *CARRIERS)
    assert steps(found)[0] == BOX
    assert not any(doing in ("pull-fuses", "read-fuse", "unplug") for doing, _ in steps(found))
    assert not found.tests.mend
    text = " ".join(suspects_text(its.platform, found).split())
    assert "Read the rest of CAB, cab panel, behind the flap: millivolts across 6 fuses, F1..F6" in text
    assert "STOP" not in text and "Not worth it: more fuses" not in text


def test_what_is_missing_of_a_box_that_was_read_in_part_is_read_next() -> None:
    found = asked(circuit_from(LORRY), *CARRIERS, "CAB.F1=0A", "CAB.F3=0.04A")
    assert steps(found)[0] == ("read-box", ("CAB.F2", "CAB.F4", "CAB.F5", "CAB.F6"))


def test_a_box_that_was_read_is_owed_nothing() -> None:
    read = ("CAB.F1=0A", "CAB.F2=0A", "CAB.F3=0A", "CAB.F4=0.48A")
    found = asked(circuit_from(LORRY), *CARRIERS, *read)
    assert not any(doing == "read-box" for doing, _ in steps(found))


def test_a_network_that_was_measured_awake_is_followed_as_before() -> None:
    found = asked(circuit_from(LORRY), *CARRIERS, networks=("BUS=2.5V",))
    assert steps(found)[0] != BOX


BUNK_ON = LORRY.replace("CAB.F4 10A mini", "CAB.F4")


def is_owed(text: str, *read: str) -> bool:
    found = asked(circuit_from(text), *read)
    return steps(found)[0][0] == "read-box"


def test_where_a_fuse_that_draws_without_a_figure_can_take_it_nothing_is_owed() -> None:
    """By hand: the bunk lamp takes 0.45 A; of 0.46 A all can be its own, of 0.98 A half is somewhere else."""
    assert not is_owed(BUNK_ON, "BAT=0.46A", "MAIN.F1=0.46A", "MAIN.F2=0A", "CAB.F4=1.6mV")
    assert is_owed(BUNK_ON, "BAT=0.98A", "MAIN.F1=0.98A", "MAIN.F2=0A", "CAB.F4=1.6mV")


def test_with_two_that_draw_without_a_figure_or_one_with_nothing_to_take_it_the_box_is_owed() -> None:
    two = BUNK_ON.replace("CAB.F3 10A mini", "CAB.F3")
    assert is_owed(two, "BAT=0.46A", "MAIN.F1=0.46A", "MAIN.F2=0A", "CAB.F3=0.3mV", "CAB.F4=1.6mV")
    key = LORRY.replace("CAB.F5 10A mini", "CAB.F5")
    assert is_owed(key, "BAT=0.46A", "MAIN.F1=0.46A", "MAIN.F2=0A", "CAB.F5=1.6mV"), "a key takes nothing"
